"""Known again on arrival: what was done at this address within the last ninety days, and whether this is a callback."""

from __future__ import annotations

from bot.conversation.context import Context
from bot.conversation.effects import Effect, Text
from bot.conversation.events import Due
from bot.conversation.firm import PastVisit
from bot.conversation.job import Job, Outcome, Phase
from bot.conversation.questions.asking import put
from bot.conversation.turn import Turn

TOLD = frozenset({Phase.INTAKE, Phase.CHECKS})
"""Later in the visit it would only get in the way."""


def greet(job: Job, event: Due, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """Say what was last done here and ask whether it is the same trouble; the open question waits."""
    past = [p for p in context.past if job.family is None or p.family == job.family]
    if not past or job.phase not in TOLD:
        return job, ()
    turn = Turn(job, event, context)
    last = past[0]
    if last.open:
        _ask_to_take_up(turn, last)
        return turn.job, tuple(turn.effects)
    days = max(0, (context.now.date() - last.ended.date()).days)
    turn.note("callback.before", when=Text("ago", {"days": days}), what=_what(turn, last), tech=last.tech,
              how=Text(f"callback.{last.outcome}") if last.outcome in _SAID else Text("callback.other"))
    turn.mark()
    turn.place(interrupted=turn.job.question)
    put(turn, "callback", ("same_trouble", "other_trouble", "dont_know"), past=last.job, repair=last.repair or "",
        family=last.family or "")
    return turn.job, tuple(turn.effects)


def _ask_to_take_up(turn: Turn, last: PastVisit) -> None:
    days = max(0, (turn.context.now.date() - last.ended.date()).days)
    turn.note("resume.open" if last.fault else "resume.open_early", what=_what(turn, last), tech=last.tech,
              when=Text("ago", {"days": days}))
    turn.mark()
    turn.place(interrupted=turn.job.question)
    put(turn, "resume", ("take_up", "new_job"), open=last.job)


_SAID = frozenset({Outcome.FIXED, Outcome.NO_FAULT_FOUND, Outcome.DECLINED, Outcome.NOT_FIXED})


def _what(turn: Turn, past: PastVisit) -> str:
    packs = turn.context.release.knowledge.packs
    pack = packs.get(past.family or "")
    if pack is None:
        return past.label
    return pack.faults[past.fault].name if past.fault in pack.faults else pack.family.name
