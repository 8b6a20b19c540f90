"""Bringing in a senior: the junior is told honestly why, and what to make safe meanwhile."""

from __future__ import annotations

from typing import Final, Literal

from bot.conversation.crew.signoffs import beyond, lacking_named
from bot.conversation.effects import Text
from bot.conversation.job import Phase
from bot.conversation.phases import Move
from bot.conversation.questions.asking import put, put_again
from bot.conversation.repair.leaving import ask_how_left
from bot.conversation.safety.danger import nobody_goes_in
from bot.conversation.safety.making_safe import covers_first, left_safe
from bot.conversation.turn import Turn
from bot.diagnosis.evidence import UNKNOWN, Belief
from bot.diagnosis.stated import stated

Reason = Literal["unsure", "fits_nothing", "licensed", "hazard", "asked", "lacks_tool", "failed_twice", "not_covered",
                 "not_understood"]
STANDS_OUT: Final = 0.35
"""From 'about 4 in 10' on the talk points at a fault; below it only says what it may be."""


def hand_off(turn: Turn, reason: Reason, belief: Belief | None, *, fault: str | None = None, caution: str = "",
             urgent: bool = False) -> None:
    """Offer the job to a senior, with the sentence that belongs to the reason, and what to do until then."""
    given_back = any(f.subject == "handoff" for f in turn.job.standing("declined"))
    if given_back and reason in {"unsure", "licensed", "lacks_tool"}:
        _say_what_it_takes(turn, reason, belief, fault)
        turn.note("handoff.nothing_left")
        ask_how_left(turn, nothing_left=True)
        return
    turn.move(Move.HAND_OFF)
    named = ""
    if fault is not None:
        named = turn.pack.faults[fault].name
    elif belief is not None and reason == "unsure":
        named = next((turn.pack.faults[f.split("+")[0]].name for f, p in belief.faults if f != UNKNOWN), "")
    chance = sum(p for f, p in belief.faults if fault in f.split("+")) if belief is not None else 1.0
    if reason == "licensed" and chance < STANDS_OUT:
        turn.note("handoff.licensed_most", signoffs=lacking_named(turn, list(beyond(turn, belief)) if belief else []))
    elif reason == "licensed":
        turn.note("handoff.licensed", fault=named, signoffs=lacking_named(turn, [fault] if fault else []))
    else:
        turn.note(f"handoff.{reason}", fault=named)
    if fault is not None and (safe := turn.pack.faults[fault].make_safe):
        turn.quote(safe)
    elif caution:
        turn.quote(caution)
    elif turn.job.family in turn.context.release.knowledge.packs and reason not in {"asked", "hazard"}:
        covers_first(turn)
        turn.quote(left_safe(turn))
    turn.offer(reason, urgent=urgent)
    put(turn, "handed_off", ("carry_on", "leave"))


def _say_what_it_takes(turn: Turn, reason: Reason, belief: Belief | None, fault: str | None) -> None:
    """Where nothing is left to do here: what it points at, and the sign-off that is lacking for it."""
    if reason == "licensed" and fault is not None:
        chance = sum(p for f, p in belief.faults if fault in f.split("+")) if belief is not None else 1.0
        turn.note("handoff.takes", fault=turn.pack.faults[fault].name, chance=Text("chance", {"p": stated(chance)}),
                  signoffs=lacking_named(turn, [fault]))


def keeps_out(turn: Turn) -> bool:
    """While nobody may go back in no step is put, whatever the words would otherwise lead to. True if that is so."""
    if nobody_goes_in(turn.job) is None:
        return False
    question = turn.job.question
    if question is not None and question.kind in {"hazard", "outside", "cleared"}:
        put_again(turn, question)
        return True
    turn.note("hazard.stay_out")
    if turn.job.phase is not Phase.HANDED_OFF:
        turn.move(Move.HAND_OFF)
    put(turn, "outside", ("leave",))
    return True
