"""Some days after a proven repair: did it hold? Asked once, by day, if the firm wants it."""

from __future__ import annotations

from bot.conversation.context import Context
from bot.conversation.effects import Effect
from bot.conversation.events import Due
from bot.conversation.job import Job, Outcome, Phase
from bot.conversation.questions.asking import put, put_again
from bot.conversation.repair.waiting import ON_THE_DAY
from bot.conversation.turn import Turn, label_of


def ask_held(job: Job, event: Due, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """The question after some days; an answer is a label, silence is none."""
    if job.outcome is not Outcome.FIXED or job.family is None or job.position.fault is None:
        return job, ()
    turn = Turn(job, event, context)
    turn.note("held.about", job=label_of(job, context), fault=turn.pack.faults[job.position.fault].name)
    put(turn, "held", ("held", "came_back", "dont_know"))
    return turn.job, tuple(turn.effects)


def part_due(job: Job, event: Due, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """The day a part should be there, or the customer knows: ask, and the visit resumes where it stood."""
    if job.phase is not Phase.WAITING:
        return job, ()
    turn = Turn(job, event, context)
    question = turn.job.question
    if question is not None and question.kind == "thinking":
        put_again(turn, question)
        return turn.job, tuple(turn.effects)
    turn.note("waiting.due")
    put(turn, "waiting", ON_THE_DAY, asked=2)
    return turn.job, tuple(turn.effects)
