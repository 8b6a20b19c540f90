"""The whole core as one pure function: an event of one job, and what comes of it.

The talk asks for a senior by an `Offer`; the hand-off layer carries it on: it puts the job to the seniors, relays
while one holds it, and gives it back.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Final

from bot.conversation.context import Context
from bot.conversation.effects import Effect, Offer, Say, Text
from bot.conversation.events import Due, Event
from bot.conversation.ids import derive
from bot.conversation.job import Handing, Job, Phase
from bot.conversation.leaving import FOLLOW_UP
from bot.conversation.repairing import PART_DUE
from bot.conversation.site import ARRIVAL
from bot.conversation.talk import talk
from bot.followup.arrival import greet
from bot.followup.held import ask_held, part_due
from bot.handoff.offering import TIMER, close_offers, offer_due, offer_to, on_duty, with_offer
from bot.handoff.relaying import from_tech, holding
from bot.handoff.senior import from_senior

TIMERS: Final[dict[str, Callable[[Job, Due, Context], tuple[Job, tuple[Effect, ...]]]]] = {
    TIMER: offer_due, ARRIVAL: greet, FOLLOW_UP: ask_held, PART_DUE: part_due}
"""What each timer means when it comes due."""


def open_job(job_id: str, event: Event, context: Context) -> Job:
    """A new visit for the person and conversation of `event`, on the context's knowledge release."""
    return Job(id=job_id, tech=event.person, conversation=event.conversation, release=context.release.id,
               opened=context.now)


def step(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """Apply one event to a job. Pure: the same three always give the same two.

    Raises nothing for anything a person can send; an exception is a mistake in the program or in a pack, and the
    service parks the event.
    """
    if isinstance(event, Due) and event.name in TIMERS:
        return TIMERS[event.name](job, event, context)
    if event.person != job.tech:
        return from_senior(job, event, context)
    if holding(job) and job.handed_to not in context.people:
        return _taker_gone(job, event, context)
    if holding(job):
        return from_tech(job, event, context)
    after, effects = talk(job, event, context)
    for offer in [effect for effect in effects if isinstance(effect, Offer)]:
        after, more = with_offer(offer, after, event, context)
        effects = (*effects, *more)
    return _withdrawn(after, effects, context)


def _taker_gone(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """The senior who held it has left the crew: the others are asked, the junior is told."""
    others = (on_duty(context, job.tech, ("senior",), urgent=False)
              or on_duty(context, job.tech, ("owner",), urgent=True))
    after, effects = offer_to(job, others, event, context)
    told = Say(id=derive(event.id, "gone"), to=job.tech, conversation=job.conversation, job=job.id,
               texts=(Text("senior.gone"),))
    return after, (told, *effects)


def _withdrawn(job: Job, effects: tuple[Effect, ...], context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """An offer that nobody took is withdrawn when the junior carries on without a senior."""
    handoff = job.handoff
    if handoff is None or handoff.state is not Handing.ASKED or job.phase in {Phase.HANDED_OFF, Phase.HAZARD}:
        return job, effects
    word = Text("offer.withdrawn", {"name": context.people[job.tech].name})
    closed = close_offers(job, word)
    return replace(job, handoff=replace(handoff, state=Handing.WITHDRAWN)), (*effects, *closed)
