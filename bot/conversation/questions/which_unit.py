"""A bare number from a meter on its highest range: '2.2' is what the screen shows for 2.2 megohms, too."""

from __future__ import annotations

import re
from collections.abc import Sequence
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
_LETTERS: Final = tuple(map(re.compile, (
    r"plain(?: ohms?)?|ohms?|none|no letter", r"k|kilo(?: ?ohms?)?|k ?ohms?|thousands?",
    r"m|megs?|mega?(?: ?ohms?)?|m ?ohms?|millions?")))
"""How each is said alone."""
_AROUND: Final = re.compile(r"^(?:its|it is|it says|says|with|the|a|an|in|yes)\s+|\s+(?:one|after it|range|on it)$")


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


def scale_said(text: str, values: Sequence[str]) -> str | None:
    """The choice that 'k' or 'the M one' means, of the readings that were asked about; None where it says no letter."""
    said = _AROUND.sub("", text.strip(" .,!").lower())
    at = next((n for n, letter in enumerate(_LETTERS) if letter.fullmatch(said)), None)
    readings = [value for value in values if value.startswith("value:")]
    return readings[at] if at is not None and len(readings) == len(SCALES) else None
