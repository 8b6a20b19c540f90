"""A number said of the fridge or the freezer is a temperature: warm or cold."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from bot.language.scope import Clause, Feature

WARM: Final = {"fresh": 44.0, "fridge": 44.0, "freezer": 14.0}
"""Degrees F from which a part is too warm: food keeps below 40 in the fridge, near 0 in the freezer."""
COLD: Final = {"fresh": 31.0, "fridge": 31.0, "freezer": -60.0}
HOTTEST: Final = 95.0


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
