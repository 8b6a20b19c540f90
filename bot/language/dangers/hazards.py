"""Danger comes before everything else: gas, carbon monoxide, fire, injury, shock, refrigerant, flood."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import pairwise
from typing import Final, NamedTuple, get_args

from bot.language.dangers.after_all import after_all
from bot.language.dangers.burners_own import of_a_burners_flame
from bot.language.dangers.deep_water import deep_water
from bot.language.dangers.injured import BODY, HARM, OWN, injured
from bot.language.dangers.no_harm import no_harm
from bot.language.dangers.sealed_gas import of_the_circuit
from bot.language.dangers.sounds_like import (
    of_a_belt,
    of_a_knock,
    of_a_length,
    of_a_pin,
    of_absorbers,
    of_held_water,
    of_the_leads,
    of_what_comes_out,
)
from bot.language.meaning import Hazard
from bot.language.words.lexicon import data
from bot.language.words.scope import Clause, Feature
from bot.language.words.text import Token, word_set

ORDER: Final[tuple[Hazard, ...]] = get_args(Hazard)
"""Gravest first, as the contract lists them."""


@dataclass(frozen=True, slots=True)
class Danger:
    """A hazard and the words that told it."""

    hazard: Hazard
    start: int
    end: int
    eggs: bool = False
    """Told only by a smell of rotten eggs, which a foul drain has too."""
    by_sentence: bool = False
    """Told by how a sentence goes and not by a word of it: nothing learned of words says anything against it."""


class _Phrase(NamedTuple):
    """Words of a hazard; `place` is where it is listed, the first listed goes first."""

    place: int
    hazard: Hazard
    words: tuple[str, ...]


@cache
def _rules() -> dict[Hazard, tuple[frozenset[str], ...]]:
    return {h: tuple(word_set(line) for line in data("hazards")["frames"].get(h, ())) for h in ORDER}


@cache
def _phrases() -> tuple[_Phrase, ...]:
    listed = ((h, tuple(p.split())) for h in ORDER for p in data("hazards")["phrases"].get(h, ()))
    return tuple(_Phrase(place, hazard, words) for place, (hazard, words) in enumerate(listed))


@cache
def _by_first_word() -> Mapping[str, Sequence[_Phrase]]:
    """Few phrases begin with a word of the message: only those are looked for in it."""
    found: dict[str, list[_Phrase]] = defaultdict(list)
    for phrase in _phrases():
        found[phrase.words[0]].append(phrase)
    return dict(found)


@cache
def _harmless() -> tuple[tuple[str, ...], ...]:
    return tuple(tuple(p.split()) for p in data("hazards")["harmless"])


def dangers_of(tokens: Sequence[Token], words: Sequence[str], clauses: Sequence[Clause]) -> list[Danger]:
    """All hazards reported as present, gravest first. Denied and past ones are none. What tells one by its sentence is
    looked for as it was typed and as it was mended."""
    found: list[Danger] = []
    present = [c.features for c in clauses if not (c.past or c.not_that)]
    first, last = ([{f.key: f for f in features[::way]} for features in present] for way in (-1, 1))
    begun = [] if harmless(words) else sorted(p for word in set(words) for p in _by_first_word().get(word, ()))
    lines = dict.fromkeys((" ".join(token.word for token in tokens), " ".join(words)))
    told = {hazard: (line, span) for line in lines for hazard, span in [*after_all(line), *deep_water(line)]}
    for hazard in ORDER:
        spot = next((spot for those in (first, last) if (spot := _in_clauses(hazard, those)) is not None
                     and not no_harm(hazard, words, *_words_at(tokens, *spot))), None)
        if spot is None:
            spot = _in_words([p for p in begun if p.hazard == hazard], tokens, words, clauses)
        if spot is not None and _of_nobody(tokens, words, *spot):
            spot = None
        if spot is None and hazard == "injury":
            spot = injured(tokens, words)
        if spot is None and hazard in told:
            spot = _spot(tokens, *told[hazard])
        if spot is not None:
            eggs = any("egg" in word or "huevo" in word for word in words)
            found.append(Danger(hazard, *spot, eggs=eggs, by_sentence=hazard in told))
    if not found and len(clauses) == 1 and [f.key for f in clauses[0].features] == ["flame"] and not clauses[0].ok:
        found.append(Danger("fire", clauses[0].features[0].start, clauses[0].features[0].end))
    return found


def harmless(words: Sequence[str]) -> bool:
    """Whether the words are such as only sound like a danger: 'fire him', 'bit by bit'."""
    return any(_place(words, phrase) is not None for phrase in _harmless())


def of_a_part(words: Sequence[str]) -> bool:
    """Whether belt, shocks, a jolt, foot and elbow are of the machine, and nothing else tells of a shock: 'got the belt
    for it', 'stops with a jolt'."""
    if any(of(words) for of in (of_a_belt, of_a_knock, of_a_length, of_a_pin, of_absorbers, of_the_leads)):
        return True
    left = list(words)
    for phrase in _parts():
        place = _place(left, phrase)
        if place is not None:
            left[place:place + len(phrase)] = [""] * len(phrase)
    return "" in left and _SHOCKING.isdisjoint(left)


def of_a_meter(words: Sequence[str]) -> bool:
    """Whether volts are told as they are read, and nothing of what they did to anybody: '85 volts at the outlet'."""
    read = any(word in _VOLTS and place and words[place - 1][:1].isdigit() for place, word in enumerate(words))
    return read and _FELT.isdisjoint(words)


def of_metal_alone(words: Sequence[str]) -> bool:
    """Whether one part touches another and nobody is told of: 'element touches the case', 'touches metal below'."""
    if not _PEOPLE.isdisjoint(words) or not _SHOCKED.isdisjoint(words):
        return False
    for place in (place for place, word in enumerate(words) if word in _TOUCHING):
        before, after = words[max(0, place - 3):place], words[place + 1:place + 5]
        if (not place and after[:1] == ["metal"]) or not (
                _PARTS_THAT_TOUCH.isdisjoint(before) or _METAL.isdisjoint(after)):
            return True
    return False


_TOUCHING: Final = word_set(
    "touch touches touching touched rub rubs rubbing rubbed grounded grounding shorted shorting")
_PARTS_THAT_TOUCH: Final = word_set(
    "element elements coil coils heater wire wires winding burner drum belt hose terminal lead bracket fan blade")
_METAL: Final = word_set("metal case casing cabinet housing chassis frame drum can shell wall bracket shield ground")
_PEOPLE: Final = word_set("i im me my we us you he she him her they them who anyone somebody someone customer owner "
                          "lady tenant kid wife husband hand hands finger fingers when if")
_SHOCKED: Final = word_set("shock shocks shocked shocking zap zaps zapped tingle tingles tingling jolt jolted bit bite "
                           "bites electrocuted current electricity stray live buzz felt zing ouch volts poke sting "
                           "prickle")
_VOLTS: Final = word_set("v volt volts vac vdc")
_FELT: Final = word_set(
    "shock shocks shocked shocking zap zaps zapped zapping tingle tingles tingling tingly jolt jolts jolted bit bite "
    "bites biting buzz buzzed nailed electrocuted lit knocked poke hit touch touched touching touches "
    "feel feels wake woke finger fingers handle handles cabinets cabinet case casing frame body chassis shell housing "
    "skin")
"""What somebody felt, and metal on which volts must never be."""


@cache
def _parts() -> tuple[tuple[str, ...], ...]:
    return tuple(tuple(p.split()) for p in data("hazards")["no_shock"])


_SHOCKING: Final = word_set(str(data("hazards")["shocking"]))


def vocabulary() -> set[str]:
    """All words of the phrases: none of them is a typo of something else."""
    return {w for phrase in _phrases() for w in phrase.words} | BODY | HARM


def in_context(dangers: Sequence[Danger], family: str | None, clauses: Sequence[Clause], words: Sequence[str],
               ) -> list[Danger]:
    """Rotten eggs in a machine with water are a drain; a burner's own flame or spark is no fire, nor is that of its
    igniter; gas that hisses out of a fridge is refrigerant."""
    kept = []
    if family == "refrigerator" and of_the_circuit(words):
        dangers = _with_refrigerant(dangers)
    for danger in dangers:
        here = [f.concept for c in clauses for f in c.features if f.start < danger.end and f.end > danger.start]
        around = {f.concept for c in clauses for f in c.features}
        if danger.hazard == "flood" and of_held_water(words):
            continue
        if danger.hazard == "gas" and family in WITH_WATER and danger.eggs:
            continue
        if danger.by_sentence and family in WITH_BURNER and _of_burner(family, here) and not around & NOT_THE_IGNITER:
            continue
        if danger.hazard == "fire" and family in WITH_BURNER and of_a_burners_flame(words):
            continue
        if danger.hazard == "fire" and family == "range" and _of_igniter(danger, here, around, clauses, words):
            continue
        kept.append(danger)
    return kept


def _of_burner(family: str, concepts: Sequence[str]) -> bool:
    """'No flames for her, i see them': a flame belongs to a burner, and a spark to that of a range."""
    return bool(concepts) and set(concepts) <= ({"spark", "flame"} if family == "range" else {"flame"})


def _of_igniter(danger: Danger, here: Sequence[str], around: set[str], clauses: Sequence[Clause],
                words: Sequence[str]) -> bool:
    """'All burners spark', 'ticking with all off, all four sparking': sparks of a range that are its igniter's."""
    ticks = not _TICKS.isdisjoint(words)
    if here != ["spark"] and not (ticks and not here and "spark" in around):
        return False
    beside = [c.features for c in clauses if any(f.start == danger.start for f in c.features)]
    if any(f.concept == "igniter" for features in beside for f in features):
        return not around & (WORSE_THAN_SPARKS - _TICKING if ticks else WORSE_THAN_SPARKS)
    return not around & (NOT_THE_IGNITER - _TICKING if ticks else NOT_THE_IGNITER)


def _with_refrigerant(dangers: Sequence[Danger]) -> list[Danger]:
    """The dangers with refrigerant for gas, once."""
    turned = {d.hazard: d for d in reversed(
        [replace(d, hazard="refrigerant") if d.hazard == "gas" else d for d in dangers])}
    return sorted(turned.values(), key=lambda d: ORDER.index(d.hazard))


def believed(dangers: Sequence[Danger], odds: Mapping[Hazard, float], tokens: Sequence[Token], words: Sequence[str],
             ) -> list[Danger]:
    """Without those that a word seems to tell while the message as a whole does not: 'spoke', 'shocks done in January'.
    `odds`: learned log odds of each hazard; `words`: the tokens as they were mended."""
    kept = []
    for danger in dangers:
        told = [(token.word, word) for token, word in zip(tokens, words, strict=True)
                if danger.start <= token.start < danger.end]
        after = [word for token, word in zip(tokens, words, strict=True) if token.start >= danger.end]
        if danger.by_sentence:
            kept.append(danger)
            continue
        doubtful = len(told) == 1 and (told[0][0] != told[0][1] or danger.hazard == "shock")
        least = (DOUBTFUL if doubtful else BELIED).get(danger.hazard)
        if danger.hazard == "gas" and any(typed != word for typed, word in told):
            least = MENDED_GAS
        if danger.hazard == "shock" and of_a_part(words):
            continue
        somebody = danger.hazard == "shock" and bool(after) and after[0] in _SOMEBODY
        if least is None or somebody or odds[danger.hazard] >= least:
            kept.append(danger)
    return kept


BELIED: Final[Mapping[Hazard, float]] = {"fire": -9.0, "shock": -9.0, "flood": -7.0}
DOUBTFUL: Final[Mapping[Hazard, float]] = {"fire": -3.0, "shock": -3.0, "flood": -7.0}
"""Learned log odds below which words alone tell no hazard; the second where it is one word that may be a slip for
another, or a damper. Of 3,299 messages that were kept back, 25 false hazards fewer; of the true ones none was lost."""
MENDED_GAS: Final = -2.0
"""The same for gas told by a word that was taken for a slip: a sticker is no stinker."""
WITH_BURNER: Final = frozenset({"dryer", "range"})
_SOMEBODY: Final = word_set("me you u ya him her us them people customer customers anyone anybody everybody everyone "
                            "somebody someone whoever")
WITH_WATER: Final = frozenset({"top_load_washer", "front_load_washer", "dishwasher", "refrigerator"})
WORSE_THAN_SPARKS: Final = word_set("noise burning boom live shock smoke melt")
NOT_THE_IGNITER: Final = WORSE_THAN_SPARKS | word_set(
    "heater oven cord outlet board back inside display broken element")
_TICKS: Final = word_set(
    "tick ticks ticking tickin tic click clicks clicking clickin clicky snap snaps snapping snappin")
_TICKING: Final = word_set("noise broken")
"""What such words are heard as besides: a noise, something that snapped."""
def _in_clauses(hazard: Hazard, clauses: Sequence[Mapping[str, Feature]]) -> tuple[int, int] | None:
    """Where a clause, given by its keys, says all that a frame of the hazard asks for."""
    for said in clauses:
        for frame in _rules()[hazard]:
            if frame <= said.keys():
                used = [said[key] for key in frame]
                return min(f.start for f in used), max(f.end for f in used)
    return None


def _in_words(phrases: Sequence[_Phrase], tokens: Sequence[Token], words: Sequence[str], clauses: Sequence[Clause],
              ) -> tuple[int, int] | None:
    for phrase in phrases:
        for place in _places(words, phrase.words):
            if _is_denied(words, place) or _is_past(tokens[place], clauses):
                continue
            if no_harm(phrase.hazard, words, place, place + len(phrase.words)):
                continue
            if phrase.words[-1] in OWN and not _BELONGINGS.isdisjoint(words[place + len(phrase.words):][:3]):
                continue
            return tokens[place].start, tokens[place + len(phrase.words) - 1].end
    return None


def _place(words: Sequence[str], phrase: tuple[str, ...]) -> int | None:
    return next(_places(words, phrase), None)


def _places(words: Sequence[str], phrase: tuple[str, ...]) -> Iterator[int]:
    """Wherever the words of a phrase stand in a row: 'no flooding, its flooding now' says it twice."""
    place = -1
    for _ in range(words.count(phrase[0])):
        place = words.index(phrase[0], place + 1)
        if tuple(words[place:place + len(phrase)]) == phrase:
            yield place


def _words_at(tokens: Sequence[Token], start: int, end: int) -> tuple[int, int]:
    """The places of the words in a span of the text: first, last + 1."""
    return sum(token.end <= start for token in tokens), sum(token.start < end for token in tokens)


def _spot(tokens: Sequence[Token], line: str, span: tuple[int, int]) -> tuple[int, int]:
    """The place in the text of a span of a line that has its words one space apart."""
    first, last = line.count(" ", 0, span[0]), line.count(" ", 0, span[1] - 1)
    return tokens[first].start, tokens[last].end


_BELONGINGS: Final = word_set(str(data("hazards")["belongings"]))
_NOBODY: Final = word_set("nobody noone nadie")
_NOT: Final = word_set("no not never without didnt isnt dont wasnt nobody nadie sin nunca aint doesnt cant "
                       "havent hasnt nothing nothings")


def _is_denied(words: Sequence[str], place: int) -> bool:
    return any(w in _NOT for w in words[max(0, place - 3):place])


def _of_nobody(tokens: Sequence[Token], words: Sequence[str], start: int, end: int) -> bool:
    """'Nobody got a shock', 'shock? no', 'a shock, no never', 'comes out cold': told of nobody."""
    place = sum(token.end <= start for token in tokens)
    if of_what_comes_out(words, place):
        return True
    after = [word for word in words[sum(token.start < end for token in tokens):] if word != ","][:2]
    if after in (["no", "never"], ["no", "none"]) or (after[:1] == ["?"] and not _NOT_SO.isdisjoint(after[1:])):
        return True
    near = words[max(0, place - 4):place]
    return not _NOBODY.isdisjoint(near[-3:]) or ("no", "one") in pairwise(near)


_NOT_SO: Final = word_set("no nope none nah never nada ninguno ninguna")


def _is_past(token: Token, clauses: Sequence[Clause]) -> bool:
    return any(c.past and any(f.start <= token.end and f.end >= token.start for f in c.features) for c in clauses)
