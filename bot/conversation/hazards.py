"""Hazard words come before everything else: the right instruction first, then whatever else the message said."""

from __future__ import annotations

from typing import Final

from bot.conversation.asking import put
from bot.conversation.handing import hand_off
from bot.conversation.job import Phase
from bot.conversation.phases import Move
from bot.conversation.turn import Turn

ALWAYS_SENIOR: Final = frozenset({"gas", "co", "injury"})
"""After these the visit is a senior's, whatever the junior writes next."""
ANSWERS: Final[dict[str, tuple[str, ...]]] = {
    "gas": ("out",), "co": ("out",), "injury": ("helped",), "fire": ("dead", "worse"), "shock": ("dead", "worse"),
    "flood": ("water_off", "worse"), "refrigerant": ("aired", "worse")}


def raise_hazard(turn: Turn, hazard: str) -> None:
    """Say what to do now, and wait for the word that it is done."""
    turn.texts = []
    turn.mark()
    turn.close_question(closed="passed")
    turn.move(Move.HAZARD)
    turn.record("hazard", hazard=hazard)
    turn.note(f"hazard.{hazard}")
    if hazard in ALWAYS_SENIOR:
        turn.note("hazard.telling_senior")
        turn.offer("hazard", urgent=True)
    put(turn, "hazard", ANSWERS[hazard], hazard=hazard)


def settle_hazard(turn: Turn, value: str) -> None:
    """The tech says how it stands: go on, leave it to a senior, or get out."""
    question = turn.job.question
    hazard = question.data["hazard"] if question else "fire"
    turn.close_question()
    if value == "worse":
        turn.note(f"hazard.{hazard}.worse")
        turn.offer("hazard", urgent=True)
        put(turn, "hazard", ("out",), hazard="co" if hazard == "co" else "gas" if hazard == "gas" else "fire_out")
        return
    if hazard in ALWAYS_SENIOR or hazard == "fire_out":
        turn.note("hazard.stay_out" if value == "out" else "hazard.wait")
        turn.move(Move.HAND_OFF)
        put(turn, "handed_off", ("carry_on", "leave"))
        return
    if hazard == "refrigerant" and "refrigerant" not in turn.tech.signoffs:
        hand_off(turn, "hazard", None)
        return
    turn.machine(power="off", since=turn.context.now, card_shown=turn.job.position.machine.card_shown)
    turn.note(f"hazard.{hazard}.cleared")
    if turn.job.phase is Phase.HAZARD:
        turn.move(Move.CLEARED)
    turn.go_on = True
