"""When one of the two is not there: the senior who has the case is off duty, or one of them has left the crew."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Final

from bot.conversation.context import Context
from bot.conversation.crew.duty import is_on, next_on, when
from bot.conversation.effects import Effect, Say, Text
from bot.conversation.events import Due, Event, Other, PhotoSent, Typed
from bot.conversation.firm import Person
from bot.conversation.ids import derive
from bot.conversation.job import Handing, Job
from bot.handoff.offering import offer_to, on_duty
from bot.handoff.senior import ends, from_senior

QUIET: Final = timedelta(minutes=15)
"""Since the last word of a senior who is off duty: before that they are still at it."""


def heard_from(job: Job, now: datetime) -> Job:
    """The senior who has the case is there."""
    if job.handoff is None:
        return job
    return replace(job, handoff=replace(job.handoff, heard=now, said_off=False))


def is_away(job: Job, event: Event, context: Context) -> bool:
    """Whether the junior says something while the senior who has the case is off duty, and not at it all the same."""
    holder, handoff = context.people.get(job.handed_to or ""), job.handoff
    if holder is None or handoff is None or not isinstance(event, Typed | PhotoSent | Other):
        return False
    quiet = handoff.heard is None or context.now - handoff.heard >= QUIET
    return quiet and not is_on(holder, context.now, context.firm)


def to_others(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]] | None:
    """The case goes to whoever is on; both are told. None if nobody is."""
    holder = context.people[job.handed_to or ""]
    others = [p for p in (on_duty(context, job.tech, ("senior",), urgent=False)
                          or on_duty(context, job.tech, ("owner",), urgent=False)) if p.id != holder.id]
    if not others:
        return None
    after, effects = offer_to(job, others, event, context)
    told = _say(job, event, "away", job.tech, Text("away.to_others", {"name": holder.name}))
    gone = Say(id=derive(event.id, "went_on"), to=holder.id, job=job.id, texts=(Text("away.went_on", {
        "name": context.people[job.tech].name}),))
    return after, (told, gone, *effects)


def word_on_waiting(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """Nobody else is on: the junior hears, once, when his words will be read."""
    assert job.handoff is not None
    if job.handoff.said_off:
        return job, ()
    holder, tech = context.people[job.handed_to or ""], context.people[job.tech]
    back = next_on(holder, context.now, context.firm)
    word = Text("away.reads_later", {"name": holder.name, "when": when(back, tech, context.now, context.firm)}
                ) if back is not None else Text("away.reads_sometime", {"name": holder.name})
    job = replace(job, handoff=replace(job.handoff, said_off=True))
    return job, (_say(job, event, "away", job.tech, word),)


def left(job: Job, event: Due, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """One of the two was removed from the crew: the other one is told at once."""
    if job.tech not in context.people:
        return junior_left(job, event, context)
    held = job.handoff is not None and job.handoff.state is Handing.TAKEN and job.handed_to is not None
    return taker_left(job, event, context) if held and job.handed_to not in context.people else (job, ())


def taker_left(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """The senior who held it has left the crew: the others are asked, the junior is told."""
    others: list[Person] = (on_duty(context, job.tech, ("senior",), urgent=False)
                            or on_duty(context, job.tech, ("owner",), urgent=True))
    after, effects = offer_to(job, others, event, context)
    return after, (_say(job, event, "gone", job.tech, Text("senior.gone")), *effects)


def junior_left(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """The junior of the case has left the crew: nothing can be passed on; whoever holds it can end it."""
    if isinstance(event, Typed) and event.person == job.handed_to and ends(event.text):
        return from_senior(job, event, context)
    if event.person == job.tech or event.person not in context.people:
        return job, ()
    site = next((f.value for f in reversed(job.standing("site"))), None)
    word = Text("away.junior_left", {"site": site}) if site else Text("away.junior_left_nowhere")
    return job, (_say(job, event, "left", event.person, word),)


def _say(job: Job, event: Event, key: str, to: str, text: Text) -> Say:
    return Say(id=derive(event.id, key), to=to, conversation=job.conversation if to == job.tech else None, job=job.id,
               texts=(text,))
