"""What words are about: of the machine's build, or of the past, they tell no trouble; a temperature that was measured
counts before what is mostly said."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Final

from bot.language.index import Index
from bot.language.meaning import Clue, Guess
from bot.language.scope import Clause
from bot.language.variants import names_a_build

BUILT, BUILT_SURE = 0.4, 0.9
"""No complaint is likelier than the one by words that name how the machine is built, unless it is likelier than the
other."""
_TOO_WARM: Final = {"freezer": "freezer_warm", "fridge": "fresh_food_warm"}
BOTH_WARM: Final = "both_warm"
MEASURED: Final = 0.95
"""How likely a complaint is that a number tells: of 465 labelled messages with one that was too warm, 452 had it."""
_MARKS: Final = ",.;:!?()\n"


def not_by_build(index: Index, family: str | None, text: str, clues: Iterable[Clue], guesses: Sequence[Guess],
                 ) -> list[Guess]:
    """'Timer dial': words that name how the machine is built tell no trouble, unless much speaks for it."""
    faint = {g.id for g in guesses if BUILT < g.p < BUILT_SURE}
    if family is None or not faint:
        return list(guesses)
    builds = index.builds_of(family)
    named = {clue.meaning for clue in clues if clue.meaning.removeprefix("complaint:") in faint
             and (names_a_build(builds, _phrase_around(text, clue)) or _in_a_build(builds, text, clue))}
    return [replace(g, p=BUILT) if g.id in faint and f"complaint:{g.id}" in named else g for g in guesses]


def as_measured(states: Mapping[str, Collection[str]], guesses: Sequence[Guess], denied: Sequence[str],
                ) -> tuple[list[Guess], tuple[str, ...]]:
    """'Freezer at 0 but runs all day': where numbers tell how cold a part is, they count and not what is mostly said.

    `states`: as `temperatures.judged` gives them.
    """
    warm = {_TOO_WARM[part] for part, said in states.items() if set(said) == {"warm"}}
    well = {_TOO_WARM[part] for part, said in states.items() if "warm" not in said}
    right = {_TOO_WARM[part] for part, said in states.items() if set(said) == {"cold"}}
    if not warm and not well:
        return list(guesses), tuple(denied)
    told = BOTH_WARM if len(warm) > 1 else next(iter(warm), None)
    gone = {*well, BOTH_WARM} if well else {*_TOO_WARM.values()} if told == BOTH_WARM else set()
    kept = [g for g in guesses if g.id not in gone and g.id != told]
    if told is not None:
        kept.append(Guess(told, max([MEASURED, *(g.p for g in guesses if g.id in {told, BOTH_WARM})])))
    return sorted(kept, key=lambda g: -g.p), tuple(sorted(right.union(denied) - warm))


def not_past(clauses: Sequence[Clause], denied: Sequence[str], clues: Iterable[Clue]) -> tuple[str, ...]:
    """What 'used to' happen, and is not said to be gone, is neither reported nor denied."""
    past = [(f.start, f.end) for c in clauses if c.past for f in c.features if f.end]
    only_past = {clue.meaning for clue in clues if any(a < clue.end and b > clue.start for a, b in past)}
    return tuple(name for name in denied if f"denied:{name}" not in only_past)


def _in_a_build(builds: Iterable[Sequence[str]], text: str, clue: Clue) -> bool:
    """Whether a clue is one word of the several that name a build, as in 'top loader with a timer dial'."""
    said = text.lower()
    names = (r"\s+".join(map(re.escape, words)) for words in builds if len(words) > 1 and words[0] in said)
    spots = (spot.span() for name in names for spot in re.finditer(rf"\b{name}\b", said))
    return any(start <= clue.start and clue.end <= end for start, end in spots)


def _phrase_around(text: str, clue: Clue) -> str:
    """What stands between the marks to either side of a clue."""
    start = max(text.rfind(mark, 0, clue.start) for mark in _MARKS) + 1
    ends = [place for mark in _MARKS if (place := text.find(mark, clue.end)) >= 0]
    return text[start:min(ends, default=len(text))]
