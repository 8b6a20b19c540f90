"""Several checks were asked in one go and the line answered some of them: the rest is asked again, alone."""

from __future__ import annotations

from bot.conversation.facts import evidence_of
from bot.conversation.questions.asking import put
from bot.conversation.turn import Turn
from bot.diagnosis.evidence import Decision
from bot.diagnosis.setting import holds_as_told


def other_half(turn: Turn) -> tuple[str, ...]:
    """The checks of the question that this turn answered in part which are still open and still make sense."""
    answered = [asked.question for asked in turn.job.asked if asked.turn == turn.key]
    question = next((q for q in reversed(answered) if q.kind == "check"), None)
    if question is None or len(question.checks) < 2:
        return ()
    told = turn.job.standing("result", "declined", "cannot")
    if not any(fact.kind == "result" and fact.turn == turn.key and fact.subject in question.checks for fact in told):
        return ()
    settled, evidence = {fact.subject for fact in told}, evidence_of(turn.job)
    return tuple(key for key in question.checks
                 if key not in settled and holds_as_told(turn.pack.checks[key], evidence))


def ask_other_half(turn: Turn, decision: Decision) -> bool:
    """Ask for the rest, unless what was answered settles it. True if it was asked."""
    left = other_half(turn) if decision.best.do not in {"repair", "stop"} else ()
    if not left:
        return False
    turn.note("check.other_half")
    put(turn, "check", checks=left, asked=2)
    return True
