"""A number of an answer with its unit, and what stands before it."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Final

from bot.language.readings.quantities import Unit


@dataclass(frozen=True, slots=True)
class Amount:
    """A number with what was typed behind it."""

    value: float
    unit: Unit | None
    first: int
    last: int
    """Places among the lexemes, the unit included."""
    spelled: bool


RANGE: Final = (["to"], ["-"], ["a"], ["thru"], ["through"], ["or"], ["o"], ["hasta"], ["or", "so"], ["up", "to"],
                ["till"])
"""What stands between the two ends of a range."""


def follows(words: Sequence[str], place: int, heads: Collection[str], between: Collection[str]) -> bool:
    """True when one of `heads` stands before `place` with nothing but words of `between` in the gap."""
    for here in range(place - 1, max(-1, place - 5), -1):
        if words[here] in heads:
            return True
        if words[here] not in between:
            return False
    return False
