"""What a first message tells of parts that somebody has looked at: 'wont spin belt came off', 'thermal fuse blown'.

Nothing was asked, so what is told stands among the trouble, guesses and plans. Each stretch of words that begins at a
part's name is compared with the checks it lies nearest to; how likely it is that one of their results is told was
learned from first messages (`answers_at_first.jsonl`) in which people marked what was found and what was not.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cache, partial
from importlib.resources import files
from pathlib import Path
from typing import Final, NamedTuple

import numpy as np

from bot.language.answers.about import Subject, about, covered, pack_word, parts_of, stems, subjects, with_other_names
from bot.language.answers.answer import answer
from bot.language.answers.bands import usual
from bot.language.answers.gainsaid import says_still
from bot.language.answers.hurt_part import is_hurt, names_it
from bot.language.answers.lids import lid_in
from bot.language.answers.likeness import Floats, learned, said_in
from bot.language.answers.nearest import near_checks
from bot.language.answers.open_circuit import tells_continuity, tells_open
from bot.language.answers.to_ground import reads_to_ground
from bot.language.answers.unasked import NOT_TOLD
from bot.language.index import Index
from bot.language.meaning import HeardResult, Meaning
from bot.language.understand import understand
from bot.language.words.forms import stem
from bot.language.words.text import word_set
from knowledge.schema import Check

LIKELY: Final = 0.5
SAID: Final = 0.5
"""Chance from which on a complaint counts as reported."""
LOOKED_AT: Final = 4
"""Checks that a stretch of words is compared with."""
BEFORE: Final = 4
"""Words before it that may say it is a plan, a guess or a claim."""
STRETCHES: Final = 8
"""Most stretches of one part of a message."""
LONGEST: Final = 14
LEAST_NEAR: Final = 0.35
SUREST: Final = 0.999


class Found(NamedTuple):
    """A result that a stretch of words may tell, and what speaks for it, [TRAITS]."""

    check: str
    result: str
    said: str
    part: str
    """The part of the message in which it stands."""
    words: tuple[int, int]
    traits: Floats


def found_first(index: Index, family: str, text: str, meaning: Meaning, least: float = LIKELY) -> list[HeardResult]:
    """The results that a first message tells beside the trouble, by their chance, likeliest first, from `least` on.
    `meaning`: what it was understood to say."""
    many = list(may_be_found(index, family, text, meaning))
    checks = index.knowledge.packs[family].checks
    return [HeardResult(found.check, found.result, p) for p, found in chosen(chances_of(weights(), many), many)
            if p >= least and _settled(family, checks[found.check], found)
            and not _is_the_trouble(index, family, found, meaning)]


def with_found_first(index: Index, text: str, meaning: Meaning) -> Meaning:
    """A first message's meaning with the results it tells, beside those that it states in so many words."""
    if meaning.family is None or meaning.hazard is not None or meaning.small_talk is not None:
        return meaning
    told = found_first(index, meaning.family, text, meaning)
    known = {heard.check for heard in told}
    stated = [heard for heard in meaning.results if heard.check not in known]
    return replace(meaning, results=tuple(sorted([*told, *stated], key=lambda heard: -heard.p)))


def chances_of(held: Weights, many: Sequence[Found]) -> list[float]:
    """How likely each is told."""
    if not many:
        return []
    odds = in_pairs(held, np.array([found.traits for found in many])) @ held.each + held.rest
    chances: list[float] = (1 / (1 + np.exp(-odds))).tolist()
    return chances


def chosen(chances: Sequence[float], many: Sequence[Found]) -> list[tuple[float, Found]]:
    """What is told, each check once, likeliest first; of words that may tell two the likelier."""
    taken: list[tuple[float, Found]] = []
    for p, found in sorted(zip(chances, many, strict=True), key=_chance, reverse=True):
        if all(other.check != found.check and not _overlap(other.words, found.words) for _, other in taken):
            taken.append((p, found))
    return taken


def _chance(weighed: tuple[float, Found]) -> float:
    return weighed[0]


class Weights(NamedTuple):
    """`middle` and `spread` of each trait, [TRAITS]; weights of the traits and of their products, two by two; `rest`:
    the log odds where all are at their middle."""

    middle: Floats
    spread: Floats
    each: Floats
    rest: float


def in_pairs(held: Weights, traits: Floats) -> Floats:
    """The traits by their spread around the middle, [..., TRAITS], and the products of each two."""
    own = (traits - held.middle) / held.spread
    one, other = np.triu_indices(own.shape[-1], 1)
    both: Floats = np.concatenate([own, own[..., one] * own[..., other]], axis=-1)
    return both


@cache
def weights() -> Weights:
    """As they are stored: `python -m tests.benchmarks.language.at_first --write`."""
    with Path(str(files("bot.language").joinpath("data", "answers_first.npz"))).open("rb") as file:
        stored = np.load(file, allow_pickle=False)
        return Weights(stored["middle"], stored["spread"], stored["each"], float(stored["rest"]))


_NOT_SEEN: Final = re.compile(
    rf"{NOT_TOLD.pattern}|\b(?:swears?|swore|reckons?|according|asks?|that one|the other (?:one|job)|yesterdays?)\b",
    re.IGNORECASE)
"""Besides plans and guesses what others claim, and what was found on another job."""


def may_be_found(index: Index, family: str, text: str, meaning: Meaning) -> Iterator[Found]:
    """All that any stretch of a message may tell."""
    reported = {guess.id for guess in meaning.complaints if guess.p >= SAID}
    stated = {(heard.check, heard.result) for heard in meaning.results}
    checks, names = index.knowledge.packs[family].checks, _part_names(index, family)
    offset = 0
    for part in parts_of(text):
        words = part.split()
        for start, end in stretches(index, family, words):
            said = " ".join(words[start:end])
            if _NOT_SEEN.search(" ".join(words[max(0, start - BEFORE):end])):
                continue
            near, spot = near_checks(index, family, said), said_in(index, learned(), said).spot
            spoken = about(index, family, said, checks)
            most = max(spoken.values(), default=0.0)
            ranked = sorted(near, key=lambda key: -near[key])
            own = stems(said)
            for key in ranked[:LOOKED_AT]:
                if near[key] < LEAST_NEAR or not _may_be(checks[key]):
                    continue
                heard = answer(index, family, key, said, unasked=True)
                if heard.result is None:
                    continue
                result = checks[key].results[heard.result]
                if set(result.complaints) - reported:
                    continue
                next_best = max(near[other] for other in ranked[:2] if other != key)
                yield Found(key, heard.result, said, part, (offset + start, offset + end), traits_of(
                    checks[key], heard.result, said, part,
                    [near[key], near[key] - next_best, spoken.get(key, 0.0) / most if most else 0.0,
                     math.log1p(spoken.get(key, 0.0)), covered(index, family, said, key), _odds(heard.p),
                     float(says_still(index, said)), float(bool(result.complaints)), float(most > 0),
                     float(key == ranked[0]), float((key, heard.result) in stated),
                     _of_others(subjects(index, family)[key], names, own), *spot.none[-3:].tolist()]))
        offset += len(words)


def _part_names(index: Index, family: str) -> frozenset[str]:
    """The telling words of all checks' names."""
    return frozenset(word for subject in subjects(index, family).values() for word in subject.named)


def _of_others(its: Subject, names: frozenset[str], said: frozenset[str]) -> float:
    """The share of telling words that name another check's part and not this one's: 'hinge arm' is no spray arm."""
    return len((said & names) - its.named.keys() - its.asked.keys()) / len(said) if said else 0.0


def stretches(index: Index, family: str, words: Sequence[str]) -> list[tuple[int, int]]:
    """Where in the words of a part something may be told of a part of the machine: all of it, and from each name of a
    part on, to the next name or to the end."""
    names = _part_names(index, family)
    named = [place for place, word in enumerate(words)
             if stem(pack_word(re.sub(r"\W", "", word.lower()))) in names]
    ends = [place for place in named if place - 1 not in named] + [len(words)]
    found = {(0, len(words))} if len(words) <= LONGEST else set()
    for start in named:
        later = [end for end in ends if end > start + 1]
        found |= {(start, end) for end in (later[0], later[-1]) if end - start <= LONGEST} if later else set()
    return sorted(found)[:STRETCHES]


def traits_of(check: Check, result: str, said: str, part: str, numbers: Sequence[float]) -> Floats:
    """What speaks for a result's being told, [TRAITS]."""
    own = stems(said)
    return np.array([
        *numbers, min(len(own), 6) / 6, result == usual(check), check.kind == "meter", check.kind == "run",
        check.kind in {"ask", "smell"}, check.tells_kind, bool(NOT_TOLD.search(part)), is_hurt(said),
        tells_open(said) or tells_continuity(said), any(c.isdigit() for c in said),
        len(said.split()) == len(part.split())], dtype=np.float64)


def _may_be(check: Check) -> bool:
    """Whether its result is told by the way at all."""
    return check.kind != "ask" or not check.presumes


_LITTLE: Final = word_set("a an the and n or w with of on in at to it its old new style type kind has got")
"""'With a defrost timer' says nothing of it."""


def _settled(family: str, check: Check, found: Found) -> bool:
    """Whether a result may be filed. How it is built and figures are heard elsewhere; how the lid stood at its switch,
    or whether it was read to the metal, must not be left open."""
    if check.tells_kind or not _says_something(check, found) or (lid_in(check.name) and not lid_in(found.said)):
        return False
    if check.reading is not None and (check.reading.quantity != "ohm" or reads_to_ground(found.said)):
        return False
    if (check.reading is not None or check.kind == "meter") and any(c.isdigit() for c in found.said):
        return False
    return found.result == usual(check) or not is_hurt(found.part) or _hurts_its_part(family, check, found)


def _says_something(check: Check, found: Found) -> bool:
    """Whether more is said than the part's name."""
    named = stems(f"{found.check.replace('_', ' ')} {check.name}")
    return any(word not in _LITTLE and stem(pack_word(word)) not in named
               for word in re.findall(r"\w+", found.said.lower()))


def _hurts_its_part(family: str, check: Check, found: Found) -> bool:
    """Whether what is said to be hurt is this part: 'hinge arm cracked' is no spray arm."""
    own = stems(f"{found.check.replace('_', ' ')} {check.name} {check.ask} {check.results[found.result].says}")
    return names_it(found.part, own, partial(with_other_names, family))


def _is_the_trouble(index: Index, family: str, found: Found, meaning: Meaning) -> bool:
    """Whether words only say what is wrong: 'takes forever to preheat' is no preheating that somebody timed."""
    reported = {guess.id for guess in meaning.complaints}
    if is_hurt(found.said):  # 'hinge broken' is not yet 'just that part'
        return bool(reported & set(index.knowledge.packs[family].checks[found.check].results[found.result].complaints))
    own = {guess.id for guess in understand(index, found.said, family).complaints if guess.p >= SAID}
    return bool(own) and own <= reported


def _odds(p: float) -> float:
    p = min(max(p, 1 - SUREST), SUREST)
    return math.log(p / (1 - p))


def _overlap(one: tuple[int, int], other: tuple[int, int]) -> bool:
    return one[0] < other[1] and other[0] < one[1]
