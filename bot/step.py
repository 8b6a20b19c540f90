"""The whole core as one pure function: an event of one job, and what comes of it.

The talk asks for a senior by an `Offer`; the hand-off layer carries it on: it puts the job to the seniors, relays
while one holds it, and gives it back.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Final

from bot.conversation.context import Context
from bot.conversation.effects import Effect, Offer, Text
from bot.conversation.events import LEFT, TAKE_UP, Due, Event, Undelivered
from bot.conversation.job import Handing, Job, Phase
from bot.conversation.repair.leaving import FOLLOW_UP
from bot.conversation.repair.waiting import PART_DUE
from bot.conversation.talk import talk
from bot.conversation.told.site import ARRIVAL
from bot.followup.arrival import greet
from bot.followup.held import ask_held, part_due
from bot.followup.taking_up import take_up
from bot.handoff.afterwards import TIMER as LAST_WORDS
from bot.handoff.afterwards import last_words_lapse, tell_how_it_ended, told_the_senior
from bot.handoff.away import heard_from, is_away, junior_left, left, taker_left, to_others, word_on_waiting
from bot.handoff.noting import TIMER as NOTE_LAPSES
from bot.handoff.noting import note_lapses
from bot.handoff.offering import TIMER, close_offers, offer_due, with_offer
from bot.handoff.relaying import from_tech, holding
from bot.handoff.senior import from_senior
from bot.handoff.words import remembered

TIMERS: Final[dict[str, Callable[[Job, Due, Context], tuple[Job, tuple[Effect, ...]]]]] = {
    TIMER: offer_due, ARRIVAL: greet, FOLLOW_UP: ask_held, PART_DUE: part_due, LEFT: left,
    TAKE_UP: take_up, NOTE_LAPSES: note_lapses, LAST_WORDS: last_words_lapse}
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
    if isinstance(event, Due) and event.name in TIMERS and (event.name in {LEFT, TAKE_UP}
                                                            or job.tech in context.people):
        return _offered(*TIMERS[event.name](job, event, context), event, context)
    if job.tech not in context.people:
        return junior_left(job, event, context)
    if event.person != job.tech:
        after, effects = from_senior(job, event, context)
        return (heard_from(after, context.now) if after.handed_to == event.person else after), effects
    if event.conversation and not isinstance(event, Due | Undelivered):
        job = replace(job, conversation=event.conversation)  # answered where they write now
    before = job
    if holding(job):
        after, effects = _held(job, event, context)
        return remembered(job, after, event, effects, context), effects
    after, effects = talk(job, event, context)
    after, effects = told_the_senior(job, after, event, effects, context)
    after = remembered(job, after, event, effects, context)
    after, effects = _withdrawn(*_offered(after, effects, event, context), context)
    return after, (*effects, *tell_how_it_ended(before, after, event, context))


def _offered(job: Job, effects: tuple[Effect, ...], event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """Where the talk asked for a senior, the job is put to them."""
    for offer in [effect for effect in effects if isinstance(effect, Offer)]:
        job, more = with_offer(offer, job, event, context)
        effects = (*effects, *more)
    return job, effects


def _held(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """An event of the junior's while a senior holds the case, who may be off duty, or gone."""
    if job.handed_to not in context.people:
        return taker_left(job, event, context)
    if not is_away(job, event, context):
        return from_tech(job, event, context)
    passed = to_others(job, event, context)
    if passed is not None:
        return passed
    after, effects = from_tech(job, event, context)
    if not holding(after):
        return after, effects
    after, word = word_on_waiting(after, event, context)
    return after, (*effects, *word)


def _withdrawn(job: Job, effects: tuple[Effect, ...], context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """An offer that nobody took is withdrawn when the junior carries on without a senior."""
    handoff = job.handoff
    if handoff is None or handoff.state is not Handing.ASKED or job.phase in {Phase.HANDED_OFF, Phase.HAZARD}:
        return job, effects
    word = Text("offer.withdrawn", {"name": context.people[job.tech].name})
    closed = close_offers(job, word)
    return replace(job, handoff=replace(handoff, state=Handing.WITHDRAWN)), (*effects, *closed)
