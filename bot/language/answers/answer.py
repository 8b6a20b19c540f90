"""`answer`: what a free-text answer to one open check says."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from functools import partial
from typing import Final

from bot.language.answers.about import stems
from bot.language.answers.bands import (
    by_special,
    heater_range,
    of_several,
    of_several_by_word,
    only_nothing,
    open_result,
    read_for,
    usual,
)
from bot.language.answers.beside_it import all_but_one, only_a_place, only_life, only_the_machine
from bot.language.answers.both_ways import switched
from bot.language.answers.by_hand import by_another_hand
from bot.language.answers.foreign import of_another_metered, of_another_part, well_of_another
from bot.language.answers.gainsaid import (
    called_fine,
    denied_outright,
    fine_and_not_ill,
    gainsaid,
    half_said,
    leaks_nowhere_named,
    never_tripped,
    nowhere_but,
    only_easy,
    only_sounds_like,
    stands_level,
    stands_still,
    without_denials,
    without_praise,
)
from bot.language.answers.in_part import (
    CLEAR,
    CLEAR_UNASKED,
    WORTH_ASKING,
    after_but,
    by_its_beginning,
    even,
    of_what_is_left,
    on_its_code,
    without,
)
from bot.language.answers.likeness import KEPT, Likeness, likeness
from bot.language.answers.of_each import each_in_range
from bot.language.answers.part_there import lost_parts, parts_there
from bot.language.answers.read_whole import KNOWN
from bot.language.answers.scored import scored
from bot.language.answers.stamped import between_stamps, by_stamp, without_stamp
from bot.language.answers.to_ground import (
    MEGOHM,
    apart_from_ground,
    beside_the_metal,
    figure_before_ground,
    leak_among,
    of_the_outlet,
    reads_to_ground,
    sides_of,
)
from bot.language.answers.turns_of_phrase import (
    echo_denied,
    often_and_seldom,
    without_for_it_stands,
    without_questions,
)
from bot.language.answers.two_degrees import by_two_degrees
from bot.language.answers.volts import gainsaid_by_volts, volts_for_ohms
from bot.language.answers.windings import adds_up, asks_windings, run_and_start, tells_more
from bot.language.index import Index
from bot.language.meaning import Answer, Clue, Guess, Heard
from bot.language.readings.read import Range, read
from bot.language.recent import recent
from bot.language.words.silence import said_as_one
from bot.language.words.text import tokens_of, word_set
from knowledge.schema import Check

CLEAR_ASIDE: Final = 0.62
"""How well a phrase of the pack has to fit words that need not be an answer, ...."""
AHEAD: Final = 0.15
"""... and by how much better than those of the other results."""
EXACT: Final = 0.985
"""A phrase of the pack's own, letter by letter, needs no weighing."""
SURE_OF_NONE: Final = {"cannot": 0.5, "unsure": 0.7, "other": 0.5}
"""From here on it cannot be done, cannot be told, or words speak of something else. A look is lost by 'can't tell'."""
FEW: Final = 2
"""Words of an answer that is a bare 'OL', 'no beep', 'yes' or 'nope'."""
_SAME: Final = (("yes", ("yes", "true", "present", "on")), ("no", ("no", "none", "absent", "off", "clear")))


def answer(index: Index, family: str, check: str, text: str, given: Mapping[str, float] | None = None, *,
           aside: bool = False, unasked: bool = False) -> Answer:
    """The result of `check` that a text reports; a reading where the check asks for a number.

    `given`: with watts and volts, the ohms of a heater are asked about again when no such heater can have them.
    `aside`: the words need not be an answer, such as those under a photo; only what the pack itself says counts.
    `unasked`: nobody asked for it, so that the line is compared and not read whole, which was learned of answers alone.
    Raises KeyError for a family or check that does not exist.
    """
    asked = (family, check, text, aside, unasked, *sorted((given or {}).items()))
    said: Answer = recent(index.answered, asked, KEPT,
                          lambda: _answer(index, family, check, text, given, aside=aside, unasked=unasked))
    return said


def _answer(index: Index, family: str, check: str, text: str, given: Mapping[str, float] | None, *,
            aside: bool, unasked: bool) -> Answer:
    """The same, worked out: who asks once more about one line gets what is kept."""
    entry = index.knowledge.packs[family].checks[check]
    if of_another_metered(entry, text) or volts_for_ohms(entry, text):
        return Answer()
    heard = _read(entry, text, heater_range(check, given), unasked=unasked)
    to_metal = _to_metal(index, family, check, text, heard, unasked=unasked)
    if to_metal is not None:
        return to_metal
    if beside_the_metal(entry, text):
        besides = apart_from_ground(text) or figure_before_ground(text)
        rest = "" if besides == text else besides
        return answer(index, family, check, rest, given, aside=aside, unasked=unasked) if rest else Answer()
    if heard is not None and heard.multiple and (unsteady := _UNSTEADY.search(text)) is not None:
        said = _in_words(index, family, check, unsteady[0], None, given, aside=aside, unasked=unasked)
        if said.result is not None and said.p >= CLEAR:
            return Answer(said.result, said.p, clues=said.clues)  # 'jumps all over, 40 to OL'
    if heard is not None and (heard.value is not None or heard.multiple or heard.unit_mismatch):
        return Answer(heard=heard, p=0.95 if heard.plausible and not heard.multiple else 0.5)
    family_entry = index.knowledge.packs[family].family
    if only_life(entry, text) or only_a_place(entry, text) or only_the_machine(family_entry, entry, text):
        return Answer(heard=heard)
    measured = (switched(entry, text) or by_stamp(entry, text) or each_in_range(entry, text)
                or by_two_degrees(entry, text) or (run_and_start(text) if asks_windings(entry.ask) else None))
    if measured in entry.results:
        return Answer(measured, MEASURED, heard, clues=(Clue(0, len(text), text, f"result:{measured}"),))
    if between_stamps(entry, text) or without_stamp(entry, text):
        return Answer(heard=heard)
    but_one = all_but_one(entry, text)
    if but_one is not None:
        return Answer(but_one, 0.95, heard, clues=(Clue(0, len(text), text, f"result:{but_one}"),))
    told = without_for_it_stands(without_questions(text))
    if told != text.strip(" ,;"):
        return answer(index, family, check, told, given, aside=aside, unasked=unasked) if told else Answer(heard=heard)
    found = (_of_the_bad_one(index, family, check, text, unasked=unasked)
             or _put_in_two(index, family, check, text, unasked=unasked)
             or on_its_code(entry, text, partial(answer, index, family, check, unasked=unasked))
             or _in_words(index, family, check, text, heard, given, aside=aside, unasked=unasked))
    found = (by_its_beginning(text, partial(answer, index, family, check, unasked=unasked)) or found
             if found == Answer() and not aside else found)
    told = _without_what_was_asked(entry, text) if found.result is None and found.none is None else text
    if told == text:
        return found if found.none is not None or aside else after_but(
            entry, text, found, partial(answer, index, family, check, unasked=unasked))
    return _of_that_hand(entry, text, answer(index, family, check, told, given, aside=aside, unasked=unasked), found)


def _read(entry: Check, text: str, rated: Range | None, *, unasked: bool) -> Heard | None:
    """What the meter showed, where the check asks for that."""
    if entry.reading is None:
        return None
    heard = (read_for(entry.reading, None, _WIRES.sub(" ", text), rated) if unasked
             else read_for(entry.reading, entry.ask, text, rated))
    return of_several(entry, text, heard)


def _of_that_hand(entry: Check, text: str, told: Answer, found: Answer) -> Answer:
    """What words tell without what was done as it showed, if that shows it; else what was found in all of them."""
    if told.result is None:
        return found
    if by_another_hand(entry, told.result, text):
        return Answer(heard=told.heard, near=(Guess(told.result, told.p), *_others(entry, told))[:4])
    return told


def _of_the_bad_one(index: Index, family: str, check: str, text: str, *, unasked: bool) -> Answer | None:
    """'Rollers fine, idler feels rough' by what is said of the idler; None where that is no answer."""
    rest = without_praise(index.knowledge.packs[family].checks[check], text)
    found = answer(index, family, check, rest, unasked=unasked) if rest != text else Answer()
    return found if found.result is not None else None


_UNSTEADY: Final = re.compile(
    r"\b(?:jump\w*|all over(?: the place)?|wander\w*|bounc\w*|flicker\w*|erratic|unsteady|in and out|"
    r"brinca\w*)\b(?: (?:all over(?: the place)?|around|about))?", re.IGNORECASE)
"""A reading that does not stand still, whatever numbers are told with it."""


def _without_what_was_asked(entry: Check, text: str) -> str:
    """'Bounces four times when i push it' without the push that was asked for."""
    asked = stems(entry.ask)
    left = _ON_DOING.sub(lambda found: " " if stems(found["did"]) & asked else found[0], text).strip(" ,;")
    return left if any(c.isalnum() for c in left) else text


_ON_DOING: Final = re.compile(
    r"\b(?:when|once|after|as soon as|every time|each time) (?:i|we|you|u) (?P<did>[a-z]+)"
    r"(?: (?:it|them|that|the \w+|go|of|on|down|up|hard|off))*", re.IGNORECASE)


def _in_words(index: Index, family: str, check: str, text: str, heard: Heard | None,
              given: Mapping[str, float] | None, *, aside: bool, unasked: bool) -> Answer:
    """The same where it is words that tell it and no number."""
    entry = index.knowledge.packs[family].checks[check]
    if not entry.at_outlet and sides_of(entry) is not None and of_the_outlet(text):
        return Answer()
    ruled_out = (denied_outright(index, family, check, text) | frozenset(gainsaid_by_volts(entry, text))
                 | lost_parts(entry, parts_there(text)))
    ranked = [g for g in scored(index, family, check, text) if (g.p >= EXACT or g.id not in ruled_out)
              and not by_another_hand(entry, g.id, text)]
    few = sum(not t.is_mark for t in tokens_of(text[:80])) <= FEW
    named = by_special(entry, heard) if heard is not None else None
    if named is not None and only_nothing(entry, heard, text):
        if few:
            return Answer(heard=heard, near=even(open_result(entry), named))
        named = None
    certain = few or of_several_by_word(entry, text, heard)
    plain = Guess(named, 0.93) if named is not None and certain else _plainly(entry, ranked, text, few)
    if plain is not None:
        return Answer(plain.id, plain.p, heard, clues=(Clue(0, len(text), text, f"result:{plain.id}"),))
    cannot = _cannot_be_told(entry, text)
    if cannot is not None:
        return Answer(heard=heard, none="cannot", p=cannot)
    if aside or _ASKS_BACK.search(text):
        first, second = (*ranked, *_NOBODY)[:2]
        sure = first.p >= CLEAR_ASIDE and first.p - second.p >= AHEAD and not (
            only_sounds_like(entry, first.id, text) or of_another_part(index, family, check, text))
        return Answer(first.id, first.p, heard) if sure else Answer(heard=heard)
    found = _by_likeness(index, family, check, text, heard, ranked, ruled_out, unasked=unasked)
    otherwise = _otherwise(index, family, check, text, found)
    if otherwise is not None:
        return otherwise
    if found.result is not None and gainsaid(index, family, check, found.result, text):
        return Answer(heard=heard, near=(Guess(found.result, found.p), *found.near, *_others(entry, found))[:4])
    if found.result is not None or found.none is not None:
        return found
    if heard is not None and heard.special is not None and named is not None:
        return Answer(named, 0.93, heard)
    if heard is not None and heard.special in ("cant_measure", "unsure"):
        return Answer(heard=heard, near=found.near if heard.special == "unsure" else (), p=0.9)
    quiet = said_as_one(text)
    return answer(index, family, check, quiet, given, unasked=unasked) if quiet != text else found


def _cannot_be_told(entry: Check, text: str) -> float | None:
    """How sure it is that what is asked is not there to be looked at; None where words say no such thing."""
    if _WIRED_IN.search(text) and _OUTLET.search(entry.ask) and not entry.tells_kind:
        return 0.95
    return 0.9 if _NOTHING_TO.search(text) else None


def _by_likeness(index: Index, family: str, check: str, text: str, heard: Heard | None, ranked: Sequence[Guess],
                 ruled_out: Collection[str], *, unasked: bool) -> Answer:
    """What the words are most like, without the results that they deny. `ranked`: how well phrases of the pack fit."""
    alike = likeness(index, family, check, text, {g.id: g.p for g in ranked}, unasked=unasked or bool(ruled_out))
    if nowhere_but(index, family, check, alike.results[0][0], text):
        alike = without(alike, {alike.results[0][0]})
    alike = without(alike, {name for name, p in alike.results if name in ruled_out and p < KNOWN})
    found = _weighed(alike, text, heard, CLEAR_UNASKED if unasked else CLEAR)
    if not ruled_out or found.none is not None or found.p >= KNOWN:
        return found
    entry = index.knowledge.packs[family].checks[check]
    return of_what_is_left(entry, text, found, ruled_out, without_denials(index, text),
                           partial(answer, index, family, check, unasked=unasked))


def _put_in_two(index: Index, family: str, check: str, text: str, *, unasked: bool) -> Answer | None:
    """The answer of words that say a result back as a question and deny it: what they tell on, or the other of two. And
    of words that tell two by how often: only who was there knows which it was that day."""
    echo, shared = echo_denied(text), often_and_seldom(text)
    said = echo or shared
    if said is None:
        return None
    first, second = (answer(index, family, check, one, unasked=unasked).result if one else None for one in said)
    if first is None:
        return None
    if echo is None:
        return None if second in {None, first} else Answer(near=(Guess(first, 0.6), Guess(second or "", 0.4)))
    others = [result for result in index.knowledge.packs[family].checks[check].results if result != first]
    if len(others) == 1 or second in others:
        meant = second if second in others else others[0]
        return Answer(meant, CLEAR, clues=(Clue(0, len(text), text, f"result:{meant}"),))
    return Answer(near=tuple(Guess(result, WORTH_ASKING) for result in others[:4]))


def _otherwise(index: Index, family: str, check: str, text: str, found: Answer) -> Answer | None:
    """What words say that only sound like a result: they are on another part, or call that one good, or half so."""
    entry, result, heard = index.knowledge.packs[family].checks[check], found.result, found.heard
    well = usual(entry)
    if well_of_another(entry, text):
        return Answer(heard=heard)
    if well is not None and fine_and_not_ill(entry, well, text):
        return Answer(well, 0.9, heard)
    if result is None:
        fine = well is not None and any(called_fine(entry, name, text) for name in entry.results if name != well)
        return Answer(well, CLEAR, heard) if fine else None
    if by_another_hand(entry, result, text):
        return Answer(heard=heard, near=tuple(_others(entry, found))[:4])
    if (of_another_part(index, family, check, text) or leaks_nowhere_named(entry, result, text)
            or never_tripped(index, family, check, result, text) or stands_level(entry, result, text)):
        return Answer(heard=heard)
    if result != well and called_fine(entry, result, text):
        return Answer(heard=heard) if well is None else Answer(well, CLEAR, heard)
    if well is not None and only_easy(entry, result, text):
        return Answer(heard=heard, near=(Guess(result, 0.5), Guess(well, 0.4)))
    if result == well and (half_said(entry, result, text) or stands_still(index, entry, result, text)):
        return Answer(heard=heard, near=tuple(_others(entry, found))[:4])
    return None


def _to_metal(index: Index, family: str, check: str, text: str, heard: Heard | None, *,
              unasked: bool) -> Answer | None:
    """What a text says of the way to bare metal, where the check asks for that; a leak before all praise."""
    sides = sides_of(index.knowledge.packs[family].checks[check])
    told = reads_to_ground(text, sides.metal, asked=not sides.rest) if sides is not None else None
    value = heard.value if heard is not None else None
    if sides is None or told is None or (told == "leak" and value is not None and value < MEGOHM):
        return None
    if told == "megohms" and sides.high is not None:
        return Answer(sides.high, MEASURED) if value is not None and value < MEGOHM else None
    ranked = {g.id: g.p for g in scored(index, family, check, text)}
    shares = dict(likeness(index, family, check, text, ranked, unasked=unasked).results)
    leak, clues = leak_among(sides, shares), (Clue(0, len(text), text, f"to_ground:{told}"),)
    if told == "leak" and leak is not None:
        return Answer(leak, MEASURED, clues=clues)
    if told in ("leak", "both"):
        return Answer(near=tuple(Guess(name, 0.4) for name in (*sides.leaks, sides.clear)[-3:]), clues=clues)
    besides = apart_from_ground(text, sides.metal)
    if not adds_up(besides) and sides.rest:
        return Answer(near=tuple(Guess(name, 0.4) for name in (sides.rest[-1], sides.clear)), clues=clues)
    other = answer(index, family, check, besides, unasked=unasked) if sides.rest and tells_more(besides) else Answer()
    return other if other.result in sides.rest else Answer(sides.clear, MEASURED, clues=clues)


MEASURED: Final = 0.95
"""How sure it is what a meter is said to read to bare metal."""


def _plainly(entry: Check, ranked: Sequence[Guess], text: str, few: bool) -> Guess | None:
    """A phrase of the pack letter by letter, praise, or a yes or no that is a result's own name."""
    if ranked and ranked[0].p >= EXACT and (len(ranked) == 1 or ranked[1].p < EXACT):
        return ranked[0]
    praised = usual(entry) if _is_praise(text) else None
    if praised is not None:
        return Guess(praised, 0.85)
    short = read("yes_no", text).special if few else None
    named = next((r for r, shown in entry.results.items() if r in dict(_SAME)[short] and not (
        r == "off" and "off" not in shown.label.lower().split(",")[0].split()[:1])), None) if short in (
        "yes", "no") else None  # 'far off' is no 'no'
    return None if named is None else Guess(named, 0.9)


def _weighed(found: Likeness, text: str, heard: Heard | None, least: float) -> Answer:
    """The result that the words are most like, from `least` on, or that they name none."""
    first, p = found.results[0]
    near = tuple(Guess(r, round(share, 3)) for r, share in found.results[:4] if share >= WORTH_ASKING)
    for kind in ("cannot", "unsure"):
        if found.none[kind] >= max(SURE_OF_NONE[kind], p):
            return Answer(heard=heard, none=kind, p=round(found.none[kind], 3), near=near)
    if found.none["other"] >= max(SURE_OF_NONE["other"], p):
        return Answer(heard=heard)
    if p < least:
        return Answer(heard=heard, near=near)
    return Answer(first, round(p, 3), heard, near=tuple(g for g in near if g.id != first),
                  clues=(Clue(0, len(text), text, f"result:{first}"),))


def _others(entry: Check, found: Answer) -> list[Guess]:
    """The results beside those that were near: one of them is meant where the nearest cannot be."""
    near = {found.result, *(g.id for g in found.near)}
    return [Guess(result, WORTH_ASKING) for result in entry.results if result not in near]


_WIRES: Final = re.compile(r"\b(?:[2-6]|two|three|four|five|six)[ -]?wire[sd]?\b", re.IGNORECASE)
"""How many wires a part has; no meter shows them. Of an answer that was asked for, what was learned tells it."""
_NOBODY: Final = (Guess("", 0.0), Guess("", 0.0))
_ASKS_BACK: Final = re.compile(
    r"^\W*(what|which|where|how|why|who|when|whats|wheres|hows|should|do i|can i|could i|you want|want me|am i|que|"
    r"cual|donde|como)\b|\?\s*$", re.IGNORECASE)
"""A question back is no answer, however many of its words it has."""
_WIRED_IN: Final = re.compile(
    r"\bhard.?wired?\b|\bno (outlet|plug|cord)\b(?! (?:tester|power))|"
    r"\b(wired|goes) (straight|right|direct|directly) in\b", re.IGNORECASE)
_OUTLET: Final = re.compile(r"\b(outlet|plug by)\b", re.IGNORECASE)
"""'No outlet, its hard wired' tells nothing of an outlet that is asked for: there is none to look at."""
_NOTHING_TO: Final = re.compile(
    r"\b(?:so|hence|as such|then) (?:there is |theres |there's |its |i got |we got )?(?:nothing|nuttin|nothin|"
    r"no noise|no sound)(?: there)? "
    r"to (?:hear|see|feel|watch|listen (?:to|for)|look at|check|measure)\b", re.IGNORECASE)
"""'It isn't turning, so nothing to hear': what is asked cannot be told on this machine as it is."""
_PRAISE: Final = word_set("good ok okay fine normal bien bueno perfect alright great")
_AROUND: Final = word_set(
    "its it is looks look reads seems all both was esta se ve todo pretty that one the they are sounds checks tests "
    "checked out")


def _is_praise(text: str) -> bool:
    """'its good', 'looks fine' and nothing else."""
    words = [t.word for t in tokens_of(text[:80]) if not t.is_mark]
    return bool(words) and any(w in _PRAISE for w in words) and all(w in _PRAISE or w in _AROUND for w in words)
