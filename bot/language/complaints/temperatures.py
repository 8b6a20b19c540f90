"""A number said of the fridge or the freezer is a temperature: warm or cold; so are two of an oven that differ."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final

from bot.language.words.degrees import CELSIUS, COUNTED, FAHRENHEIT, INSIDE, WANTED
from bot.language.words.scope import Clause, Feature

COLD_FAMILY: Final = "refrigerator"
BAKING_FAMILY: Final = "range"
WARM: Final = {"fresh": 44.0, "fridge": 44.0, "freezer": 11.0}
"""Degrees F from which people call a part too warm: food keeps below 40 in the fridge, near 0 in the freezer."""
WELL: Final = {"fresh": 40.0, "fridge": 40.0, "freezer": 6.0}
"""Up to these it is as it should be; what lies between is called either."""
COLD: Final = {"fresh": 31.0, "fridge": 31.0, "freezer": -60.0}
HOTTEST: Final = 95.0
MILD: Final = 20.0
"""No fridge is so cold in degrees F that it would be as little as this: then they are degrees C."""
DEEPEST, DEEP = -30.0, -14.0
"""Nor does a freezer mostly come to so few degrees F; -18 C is what it is set to."""
BAKING: Final = (170.0, 600.0)
"""Degrees F or C that an oven is set to."""
HOT: Final = 100.0
"""From here on a number may be a temperature of an oven."""
_NOT: Final = re.compile(r"not\b|n['’]?t\b|\bnever\b|\bno\b|[?]", re.IGNORECASE)
_STATES: Final = frozenset({"warm", "cold", "frozen"})
OFF: Final = 15.0
"""Two readings of an oven that are this far apart are not one."""


def judge_temperatures(clauses: Sequence[Clause]) -> None:
    """Add 'warm', 'cold' or 'frozen' where a number is said of a part of a refrigerator."""
    measured = [(clause, part, number) for clause in clauses for part, number in _measured(clause)]
    numbers = [f for clause in clauses for f in clause.features if f.kind == "number"] if measured else []
    scale = _scale(numbers, [number.value for _, part, number in measured if part != "freezer"])
    for clause, part, number in measured:
        typed = number.form if number.form in (CELSIUS, FAHRENHEIT) else scale
        if typed or number.value >= 0:
            degrees = number.value * 1.8 + 32 if typed == CELSIUS else number.value
            state = "frozen" if degrees <= COLD[part] else "cold" if degrees <= WELL[part] else "warm"
            if state != "warm" or degrees >= WARM[part]:
                clause.features.append(Feature(state, "state", 1, number.start, number.end))
    _judge_baking(clauses)


def _measured(clause: Clause) -> Iterator[tuple[str, Feature]]:
    """Which part each number is said of: the one before it, or, where the numbers come first ('10 in the fridge'), the
    one after it."""
    said = [f for f in clause.features if f.concept in WARM or (
        f.kind == "number" and f.form not in (WANTED, COUNTED) and not _is_code(clause, f))]
    first = bool(said) and said[0].kind == "number" and said[0].form in (CELSIUS, FAHRENHEIT, INSIDE)
    for one, other in pairwise(said):
        part, number = (other, one) if first else (one, other)
        if part.kind != "number" and number.kind == "number" and abs(number.value) <= HOTTEST:
            yield part.concept, number


def _is_code(clause: Clause, number: Feature) -> bool:
    """'flashing 22 C error', 'code 33 C': what stands right beside the word for a code is its number."""
    if not any(f.concept == "code" and f.sign > 0 for f in clause.features):
        return False
    place = clause.features.index(number)
    return any(f.concept == "code" and f.sign > 0 for f in clause.features[max(0, place - 1):place + 2])


def _scale(numbers: Sequence[Feature], fridge: Sequence[float]) -> str | None:
    """Of which scale degrees are that were typed without one: that of the others, or the one in which they make sense.
    None where both do: a freezer at -5 is well in F and too warm in C. `fridge`: those of the fridge part."""
    scales = {number.form for number in numbers}
    if scales & {CELSIUS, FAHRENHEIT}:
        return CELSIUS if CELSIUS in scales else FAHRENHEIT
    if max(fridge, default=0.0) > 0:
        return FAHRENHEIT if max(fridge) >= MILD else CELSIUS
    return CELSIUS if any(DEEPEST <= number.value <= DEEP for number in numbers) else None


def _judge_baking(clauses: Sequence[Clause]) -> None:
    """'set 350 its 425 inside': two temperatures that should be one."""
    said = [(c, f) for c in clauses for f in c.features if f.kind == "number" and BAKING[0] <= f.value <= BAKING[1]]
    if len(said) == 2 and abs(said[0][1].value - said[1][1].value) >= OFF:
        clause, last = said[1]
        clause.features += [Feature("temp", "thing", 1, last.start, last.end),
                            Feature("wrong", "state", 1, last.start, last.end)]


def bakes_as_set(clauses: Sequence[Clause], text: str) -> bool:
    """'set at 350 reads 350': two temperatures of an oven that are one, and no third beside them."""
    said = sorted((f.start, f.end, f.value) for c in clauses if not c.past for f in c.features
                  if f.kind == "number" and HOT <= f.value <= BAKING[1])
    if len(said) != 2 or min(said[0][2], said[1][2]) < BAKING[0]:
        return False
    (_, end, wanted), (start, _, found) = said
    return abs(wanted - found) < OFF and not _NOT.search(text[end:start])


def judged(clauses: Sequence[Clause]) -> dict[str, set[str]]:
    """Part ('freezer' or 'fridge') -> what the numbers said of it come to: 'warm', 'cold' or 'frozen'."""
    found: dict[str, set[str]] = {}
    for clause in (c for c in clauses if not c.past):
        parts = {number.start: part for part, number in _measured(clause)}
        for state in clause.features:
            part = parts.get(state.start)
            if part and state.concept in _STATES:
                found.setdefault("freezer" if part == "freezer" else "fridge", set()).add(state.concept)
    return found
