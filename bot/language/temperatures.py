"""A number said of the fridge or the freezer is a temperature: warm or cold."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from bot.language.scope import Clause, Feature

COLD_FAMILY: Final = "refrigerator"
WARM: Final = {"fresh": 44.0, "fridge": 44.0, "freezer": 14.0}
"""Degrees F from which a part is too warm: food keeps below 40 in the fridge, near 0 in the freezer."""
COLD: Final = {"fresh": 31.0, "fridge": 31.0, "freezer": -60.0}
HOTTEST: Final = 95.0
BAKING: Final = (170.0, 600.0)
"""Degrees F or C that an oven is set to."""
_STATES: Final = frozenset({"warm", "cold", "frozen"})
OFF: Final = 15.0
"""Two readings of an oven that are this far apart are not one."""


def judge_temperatures(clauses: Sequence[Clause]) -> None:
    """Add 'warm', 'cold' or 'frozen' where a number follows a part of a refrigerator."""
    for clause in clauses:
        part: Feature | None = None
        added: list[Feature] = []
        for feature in clause.features:
            if feature.concept in WARM:
                part = feature
            elif feature.kind == "number" and part is not None and abs(feature.value) <= HOTTEST:
                state = "warm" if feature.value >= WARM[part.concept] else (
                    "frozen" if feature.value <= COLD[part.concept] else "cold")
                added.append(Feature(state, "state", 1, feature.start, feature.end))
                part = None
        clause.features += added
    _judge_baking(clauses)


def _judge_baking(clauses: Sequence[Clause]) -> None:
    """'set 350 its 425 inside': two temperatures that should be one."""
    said = [(c, f) for c in clauses for f in c.features if f.kind == "number" and BAKING[0] <= f.value <= BAKING[1]]
    if len(said) == 2 and abs(said[0][1].value - said[1][1].value) >= OFF:
        clause, last = said[1]
        clause.features += [Feature("temp", "thing", 1, last.start, last.end),
                            Feature("wrong", "state", 1, last.start, last.end)]


def judged(clauses: Sequence[Clause]) -> dict[str, set[str]]:
    """Part ('freezer' or 'fridge') -> what the numbers said of it come to: 'warm', 'cold' or 'frozen'."""
    found: dict[str, set[str]] = {}
    for clause in (c for c in clauses if not c.past):
        numbers = {(f.start, f.end) for f in clause.features if f.kind == "number"}
        for state in clause.features:
            if state.concept in _STATES and (state.start, state.end) in numbers:
                before = [f for f in clause.features if f.concept in WARM and f.start < state.start]
                part = max(before, key=lambda f: f.start).concept
                found.setdefault("freezer" if part == "freezer" else "fridge", set()).add(state.concept)
    return found
