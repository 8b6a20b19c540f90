"""What a message tells of the rating plate or a stamp: watts, for judging a heater's ohms by physics."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.turn import Turn

_WATTS: Final = re.compile(
    r"\b(\d{2,5}|\d{1,2}[.,]\d{1,2}|\d{1,2})\s*-?\s*(kw|kilowatts?|w|watts?|vatios)\b", re.IGNORECASE)
LEAST, MOST = 100.0, 10_000.0
"""Household heating elements lie between these, in watts."""


def watts_in(text: str) -> float | None:
    """The watts a message names ('5400w', '2.1 kW'), or None. Only what a heating element can be."""
    found = _WATTS.search(text)
    if found is None:
        return None
    value = float(found[1].replace(",", ".")) * (1000 if found[2].lower().startswith("k") else 1)
    return value if LEAST <= value <= MOST else None


def note_plate(turn: Turn, text: str) -> None:
    """File what the message tells of the plate; a newer value replaces an older one."""
    watts = watts_in(text)
    if watts is not None and all(f.number != watts for f in turn.job.standing("given") if f.subject == "watts"):
        turn.withdraw([f for f in turn.job.standing("given") if f.subject == "watts"])
        turn.fact("given", "watts", number=watts)
