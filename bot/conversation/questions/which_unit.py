"""A bare number from a meter on its highest range: '2.2' is what the screen shows for 2.2 megohms, too."""

from __future__ import annotations

from typing import Final

from bot.conversation.questions.asking import put
from bot.conversation.turn import Turn
from knowledge.schema import Check

HIGHEST_RANGE: Final = 100e3
"""Ohms: a check whose bands all end above this is made on the meter's highest range."""
SHOWN: Final = 1000.0
"""A meter that ranges by itself shows no more than this before it moves to the next letter."""


SCALES: Final = (1.0, 1e3, 1e6)
"""Plain, k and M."""


def unit_in_doubt(check: Check, value: float) -> bool:
    """Whether a number without its letter may be ohms, kilohms or megohms, and it matters."""
    if check.reading is None or check.reading.quantity != "ohm":
        return False
    edges = [edge for result in check.results.values() if result.band is not None
             for edge in (result.band.low, result.band.high) if edge]
    return bool(edges) and min(edges) >= HIGHEST_RANGE and 0 < value < SHOWN


def with_each_unit(value: float) -> tuple[str, ...]:
    """The number as ohms, kilohms and megohms, to choose from."""
    return tuple(f"value:{value * scale:g}:ohm" for scale in SCALES)


def ask_unit(turn: Turn, key: str, value: float) -> None:
    """Ask for the letter before the number counts: a sound part would be condemned, or a leaking one passed."""
    turn.note("reading.which_unit", number=f"{value:g}")
    put(turn, "doubt_reading", [*with_each_unit(value), "measure_again"], check=key)
