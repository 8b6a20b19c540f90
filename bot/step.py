"""The whole core as one pure function: an event of one job, and what comes of it.

The talk asks for a senior by an `Offer`; the hand-off layer above it writes the brief here.
"""

from __future__ import annotations

from bot.conversation.context import Context
from bot.conversation.effects import Effect, Offer
from bot.conversation.events import Event
from bot.conversation.job import Job
from bot.conversation.talk import talk
from bot.handoff.brief import with_brief


def open_job(job_id: str, event: Event, context: Context) -> Job:
    """A new visit for the person and conversation of `event`, on the context's knowledge release."""
    return Job(id=job_id, tech=event.person, conversation=event.conversation, release=context.release.id,
               opened=context.now)


def step(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """Apply one event to a job. Pure: the same three always give the same two.

    Raises nothing for anything a person can send; an exception is a mistake in the program or in a pack, and the
    service parks the event.
    """
    after, effects = talk(job, event, context)
    briefs = [effect for offer in effects if isinstance(offer, Offer)
              for effect in with_brief(offer, after, event, context)]
    return after, (*effects, *briefs)
