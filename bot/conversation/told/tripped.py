"""A breaker found half tripped, told at any question: it is the look at the panel, and no complaint."""

from __future__ import annotations

from typing import Final

from bot.conversation.intake import file_heard
from bot.conversation.turn import Turn
from bot.language.answers.half_tripped import half_tripped
from bot.language.meaning import HeardResult

PANEL: Final = "panel_look"
TRIPPED: Final = "tripped"
TRIPS: Final = "trips_breaker"
"""The complaint that a breaker which is found tripped sounds like."""


def half_tripped_told(turn: Turn, text: str) -> HeardResult | None:
    """The look at the panel, where words say that a breaker stood half tripped."""
    check = turn.pack.checks.get(PANEL)
    if check is None or TRIPPED not in check.results or not half_tripped(text):
        return None
    return HeardResult(PANEL, TRIPPED, 1.0)


def take_half_tripped(turn: Turn, text: str) -> bool:
    """File it; the same words tell of no machine that trips its breaker. True if it was told."""
    heard = half_tripped_told(turn, text)
    if heard is None:
        return False
    turn.withdraw([f for f in turn.job.standing("complaint") if f.subject == TRIPS and f.turn == turn.key])
    file_heard(turn, heard)
    turn.go_on = True
    return True
