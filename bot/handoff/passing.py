"""What goes from a senior to the junior and back to the senior, and how a case is let go."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from bot.conversation.context import Context
from bot.conversation.effects import Alter, Effect, Say, Text
from bot.conversation.events import Event, Typed
from bot.conversation.firm import Person
from bot.conversation.ids import derive
from bot.conversation.job import Handing, Job
from bot.handoff.replies import replied_to


def talk(job: Job, event: Typed, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """Ordinary talk goes to the junior whole, as it was written."""
    return _spoken_since(job), (to_tech(job, event, "relay.words", context, text=event.text),)


SPOKEN_SINCE: Final = "spoken_since"
"""Data of a check's question: the senior wrote words of their own after asking it."""


def _spoken_since(job: Job) -> Job:
    """From now on the last thing asked may be in the senior's own words; what speaks of no check is theirs."""
    question = job.question
    if question is None or question.kind != "check":
        return job
    return job.at(question=replace(question, data={**question.data, SPOKEN_SINCE: "yes"}))


def said_on(job: Job, event: Typed, context: Context, *words: Text) -> tuple[Job, tuple[Effect, ...]]:
    """An order that cannot be followed goes to the junior as written, and the senior hears why."""
    return job, (to_tech(job, event, "relay.words", context, text=event.text), to_writer(event, job, *words))


def let_go(job: Job, state: Handing) -> Job:
    """Nobody holds it any more; who did stands in the hand-off."""
    assert job.handoff is not None
    return replace(job, handed_to=None, handoff=replace(job.handoff, state=state, calling=False))


def close_yours(job: Job) -> tuple[Effect, ...]:
    """The choices of the taker's message are closed."""
    assert job.handoff is not None
    return (Alter(message=job.handoff.yours, closed="answered"),) if job.handoff.yours else ()


def to_writer(event: Event, job: Job, *texts: Text) -> Say:
    """A message back to the senior who wrote or pressed."""
    return Say(id=derive(event.id, "senior"), to=event.person, conversation=event.conversation or None, job=job.id,
               texts=texts)


def to_tech(job: Job, event: Event, key: str, context: Context, **params: str) -> Say:
    """A message to the junior, with the senior's name in it."""
    who: Person = context.people[event.person]
    return Say(id=derive(event.id, "tech"), to=job.tech, conversation=job.conversation, job=job.id,
               texts=(Text(key, {"name": who.name, **params}),), reply_to=replied_to(event))
