"""What the text tells about the build of the machine: belt drive, gas, side by side."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence, Set
from typing import Final, NamedTuple

from bot.language.words.lexicon import data
from bot.language.words.phrases import Phrases
from bot.language.words.text import plain_words, word_set
from knowledge.schema import Pack

_NOT: Final = word_set("no not without isnt doesnt sin wont never nunca aint dont")
Table = Mapping[tuple[str, ...], tuple[str, str]]


class Builds(NamedTuple):
    """A family's tables for lines that are nothing but builds: `alone` without the words that alone speak of a part,
    `had` with them; `names` are the words that the machine is called by."""

    names: frozenset[str]
    alone: Table
    had: Table


def builds_of(pack: Pack) -> Builds:
    """The tables of one family."""
    return Builds(name_words(pack), build_phrases(pack), build_phrases(pack, parts=True))


def variant_table(pack: Pack) -> Phrases[tuple[str, str]]:
    """Words -> (axis, value). Words that are said of other things too stand in data/variants.yaml as `not_alone`."""
    extra = data("variants")
    weak = frozenset(extra["not_alone"])
    table: dict[tuple[str, ...], tuple[str, str]] = {}
    for axis, entry in pack.family.variants.items():
        for value, said in entry.values.items():
            more = extra.get(pack.family.id, {}).get(axis, {}).get(value, [])
            for phrase in [*(p for group in said.phrases.values() for p in group), *more]:
                words = plain_words(phrase)
                if words and (len(words) > 1 or words[0] not in weak) and " ".join(words) not in weak:
                    table.setdefault(words, (axis, value))
    return Phrases(table)


def variants_in(table: Phrases[tuple[str, str]], words: Sequence[str]) -> dict[str, tuple[str, int, int]]:
    """Axis -> (value, first word, last word + 1); longest phrase first, denied ones left out."""
    found: dict[str, tuple[str, int, int]] = {}
    place = 0
    while place < len(words):
        length, hit = next(iter(table.at(words, place)), (1, None))
        if (hit is None or _denied(words, place) or _of_gas(words, place, place + length)
                or _of_the_house(words, place, place + length) or _supposed(words, place, place + length, hit[0])):
            length = 1
        else:
            found.setdefault(hit[0], (hit[1], place, place + length))
            if length > 2:
                for axis, inner in _within(table, words, place, length).items():
                    found.setdefault(axis, inner)
        place += length
    return found


def _within(table: Phrases[tuple[str, str]], words: Sequence[str], first: int, length: int
            ) -> dict[str, tuple[str, int, int]]:
    """What a part of a longer phrase tells beside: in 'electric wall oven' the wall oven."""
    end = first + length
    return {axis: (value, place, place + size) for place in range(first + 1, end)
            for size, (axis, value) in table.at(words, place) if place + size <= end}


def _denied(words: Sequence[str], place: int) -> bool:
    """'No timer', 'not a belt drive'; in 'wont spin belt drive' the denial is of the verb."""
    before = words[max(0, place - 2):place]
    return not _NOT.isdisjoint(before[-1:]) or (before[-1:] != before and before[-1] in _ARTICLES and before[0] in _NOT)


def _of_gas(words: Sequence[str], place: int, end: int) -> bool:
    """'No gas smell', 'no gas at the burner': a word on the gas of a machine that burns it, and no build."""
    then = words[end:end + 1]
    return words[place:end] == ["no", "gas"] and bool(then) and then[0][0].isalnum() and then[0] not in _ELECTRIC


def _of_the_house(words: Sequence[str], place: int, end: int) -> bool:
    """'They're on a solar inverter': what feeds the house, and no motor of the machine."""
    if _INVERTER not in words[place:end] or not _OF_A_MACHINE.isdisjoint(words[place:end + 1]):
        return False
    before = [word for word in words[max(0, place - 3):place] if word not in _ARTICLES]
    return not _FEEDS.isdisjoint(words) or not _FED_BY.isdisjoint(before[-1:])


def _supposed(words: Sequence[str], place: int, end: int, axis: str) -> bool:
    """'My guess is belt', 'customer thinks the belt broke', 'a direct drive problem maybe', 'is there a shift
    actuator', 'shift actuator no': a guess at the cause, a question or a no leaves the build open. 'Belt drive i
    think' and 'i think its gas' are words on the build."""
    before, then = words[max(0, place - 4):place], [word for word in words[end:end + 6] if word[0].isalnum()]
    if not _CAUSE.isdisjoint(then[:1]) or tuple(before[-3:-1]) in _ASKED or tuple(before[-2:]) in _ASKED:
        return True
    none = then[:1] == ["none"] and then[1:2] != ["of"]  # 'none of the burners' is said of those
    if none or (then[:1] == ["no"] and (len(then) == 1 or then[1] in _NONE_THERE)):
        return True
    part = axis != FUEL and _OF_A_BUILD.isdisjoint(words[place:end + 1])
    return part and not (_GUESSED.isdisjoint(before) and _GUESSED_AFTER.isdisjoint(then))


_CAUSE: Final = word_set("problem problems issue issues trouble")
_ASKED: Final = frozenset({("is", "there"), ("are", "there")})
_NONE_THERE: Final = word_set("none there nope")
_OF_A_BUILD: Final = word_set("drive driven type model style")
_GUESSED: Final = word_set("guess guesses guessing guessed think thinks thinking thought suspect suspects suspecting "
                           "bet blames blaming maybe perhaps probably possibly creo")
_GUESSED_AFTER: Final = word_set("guess must supposedly")
_INVERTER: Final = "inverter"
_OF_A_MACHINE: Final = word_set("motor drive driven compressor comp fridge direct board washer type")
_FEEDS: Final = word_set("solar battery batteries panels grid generator ups backup rv camper van boat cabin")
_FED_BY: Final = word_set("on off from through thru via by power house whole")
_ELECTRIC: Final = word_set("all its electric just only here range stove oven")
_ARTICLES: Final = word_set("a an the any really have got has un una el la")


def name_words(pack: Pack) -> frozenset[str]:
    """All words that the machine itself is called by."""
    return frozenset(word for said in pack.family.names.values() for name in said for word in plain_words(name))


def said_alone(pack: Pack, text: str) -> dict[str, str]:
    """Axis -> value of builds that stand by themselves beside the machine's name: 'dryer, electric, timer dial'.

    There a word tells the build that in a sentence could be said of anything else.
    """
    table = build_phrases(pack)
    names = name_words(pack)
    told = [plain_words(part) for part in _PARTS.split(text)]
    hits = [_named(table, words, names) for words in told]
    run = [bool(hit) or bool(names & set(words)) for hit, words in zip(hits, told, strict=True)]
    found: dict[str, str] = {}
    for place, hit in enumerate(hits):
        if hit is not None and any(names & set(told[n]) for n in _run_around(run, place)):
            found.setdefault(*hit)
    return found


def builds_named(builds: Builds, text: str) -> dict[str, str]:
    """Axis -> value where a line is nothing but builds: 'gas, timer knob'. Empty where anything else is said."""
    table = builds.had if _HAS.search(text) is not None else builds.alone
    told = [words for part in _PARTS.split(_LEAD.sub("", text)) if set(words := plain_words(part)) - _AROUND - _HAVING]
    hits = [_named(table, words, builds.names) for words in told]
    named: dict[str, str] = {}
    for hit in hits:
        if hit is None:
            return {}
        named.setdefault(*hit)
    return named


def fuel_after_name(pack: Pack, text: str) -> dict[str, str]:
    """'Dryer electric no heat': the fuel right behind the machine's name; a gas smell or an electric shock is none."""
    fuels = {words[0]: value for words, (axis, value) in build_phrases(pack).items()
             if axis == FUEL and len(words) == 1}
    names = name_words(pack)
    words = plain_words(text)
    for name, fuel, then in zip(words, words[1:], [*words[2:], ""], strict=False):
        if name in names and fuel in fuels and then not in _OF_FUEL:
            return {FUEL: fuels[fuel]}
    return {}


def fuel_at_end(pack: Pack, text: str) -> dict[str, str]:
    """'Broil no heat bake ok electric', 'temp wrong, electric digital': a line that ends in its fuel, and in other
    builds beside it; 'smell gas', 'no gas' and 'out of gas' tell of the gas itself."""
    words = [word for word in plain_words(text) if word[0].isalnum()]
    table, found, end = build_phrases(pack), dict[str, str](), len(words)
    while end:
        length = next((n for n in range(min(end, 4), 0, -1) if tuple(words[end - n:end]) in table), 0)
        if not length:
            break
        axis, value = table[tuple(words[end - length:end])]
        found.setdefault(axis, value)
        end -= length
    return found if FUEL in found and 0 < end < len(words) and words[end - 1] not in _OF_THE_GAS else {}


_OF_THE_GAS: Final = word_set(
    "smell smells smelling smelled no the of off out any some to a leak leaks leaking more less without little enough "
    "getting gets get got has have not isnt wont via by with cut low weak raw for on and or is are")


def _run_around(run: Sequence[bool], place: int) -> range:
    """The unbroken row of parts around one that name the machine or its build."""
    first, last = place, place
    while first > 0 and run[first - 1]:
        first -= 1
    while last + 1 < len(run) and run[last + 1]:
        last += 1
    return range(first, last + 1)


def _named(table: Table, words: Sequence[str], names: Set[str]) -> tuple[str, str] | None:
    plain = [w for w in words if w not in names and w not in _AROUND]
    for left in (plain, [w for w in plain if not w.isdigit()], [w for w in plain if w not in _HAVING]):
        if (named := _tiled(table, left)) is not None:
            return named
    return None


_PARTS: Final = re.compile(r"[,;/\n]|\.(?!\d)|\s-+\s|\s(?:with|w/?|and|n|con|y)\s", re.IGNORECASE)
_AROUND: Final = word_set("a an the its it is this that one kind type model old new my it's un una es la el")
_THE: Final = word_set("a an the un una el la")
_HAVING: Final = word_set("got has of style")
_LEAD: Final = re.compile(
    r"^\W*(?:(?:no|nope|nah|dunno|idk|dont know|don't know|not sure|um|uh|well|wait|actually|sorry|oops|hold on)"
    r"\b[,.:; ]*)+(?=(?:(?:but|cuz|only) )?(?:its?|it's|this|that|one|the|a|old|new|has|got)\b)", re.IGNORECASE)
"""What leads in: 'no its got a display', 'dunno, one w a knob'."""


def tells_kind(text: str) -> bool:
    """Whether a line says that it speaks of the kind of machine: 'dunno one w knob', 'its the gas kind'."""
    return _KIND.search(text) is not None or _HAS.search(text) is not None


_KIND: Final = re.compile(
    r"\b(?:one|kind|type|style|model)\b|\b(?:it'?s|this is|it is) an? ", re.IGNORECASE)
_HAS: Final = re.compile(
    r"\b(?:it|its|it's|one|kind|type|model)(?: that| which)? (?:has|got|w|w/|with)(?: got)?\b", re.IGNORECASE)
"""What it has is a build also where the word alone speaks of a part that fails: 'it has a display'."""


FUEL: Final = "fuel"
"""The axis of families that burn gas or heat by mains."""
_OF_FUEL: Final = word_set(
    "smell smells smelling odor leak leaks leaking valve line hose cock pipe company guy man igniter burner "
    "burners shock shocks ignition spark starter")
"""Behind 'gas' and 'electric': things of theirs, and no build."""
_DOES_THINGS: Final = word_set(
    "burner burners spark sparks display lock locks light lights ice heater freezer igniter glows element elements "
    "glass screen panel pilot pilots actuator shifter clutch fan")
"""Parts that a complaint speaks of: 'range, burners fine' tells no build."""


def build_phrases(pack: Pack, *, parts: bool = False) -> Table:
    """Words -> the build that they name when nothing else is said with them; with `parts` also such as alone speak
    of a part. Articles are left out, as of what is typed: 'motor on the gearcase'."""
    return {tuple(word for word in plain_words(phrase) if word not in _THE): (axis, value)
            for axis, entry in pack.family.variants.items()
            for value, said in entry.values.items()
            for phrase in (said.name, *(p for group in said.phrases.values() for p in group))
            if parts or not _DOES_THINGS & set(plain_words(phrase)[-1:])}


def names_a_build(table: Table, phrase: str) -> bool:
    """Whether words name one build, with nothing left over."""
    return _tiled(table, plain_words(phrase)) is not None


def _tiled(table: Table, words: Sequence[str]) -> tuple[str, str] | None:
    """The one build that some words name, with nothing left over."""
    hits: set[tuple[str, str]] = set()
    place = 0
    while place < len(words):
        length = next((n for n in range(len(words) - place, 0, -1) if tuple(words[place:place + n]) in table), 0)
        if not length:
            return None
        hits.add(table[tuple(words[place:place + length])])
        place += length
    return hits.pop() if len(hits) == 1 else None
