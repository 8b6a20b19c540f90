"""After a senior let go of a case: their words still reach the junior for a while, and they hear how it ended."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Final

from bot.conversation.context import Context
from bot.conversation.echo import machine_name
from bot.conversation.effects import Alter, Effect, Record, Say, SetTimer, Text
from bot.conversation.events import Due, Event, Typed
from bot.conversation.ids import derive
from bot.conversation.job import Handing, Job, Outcome, Phase
from bot.conversation.steering.words import steering
from bot.conversation.turn import Turn
from bot.handoff.replies import replied_to

STILL_HEARD: Final = timedelta(hours=3)
"""After that a senior's words are about something else."""
TIMER: Final = "last_words_lapse"
_LET_GO: Final = frozenset({Handing.GIVEN_BACK, Handing.WITHDRAWN, Handing.ENDED})


def still_heard(say: Say, job: Job, context: Context) -> tuple[Say, SetTimer]:
    """The senior's last word on a case as one that they may answer in words, and when that lapses."""
    timer = SetTimer(id=derive(say.id, TIMER), at=context.now + STILL_HEARD, name=TIMER, job=job.id,
                     person=say.to, conversation=say.conversation or "", data={"message": say.id})
    return (Say(id=say.id, to=say.to, conversation=say.conversation, job=say.job, reply_to=say.reply_to,
                texts=say.texts, question=derive(say.id, "question")), timer)


def last_words_lapse(job: Job, event: Due, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """From now on what they write is no word on this case."""
    return job, (Alter(message=str(event.data.get("message", "")), closed="lapsed", reader=event.person),)


def let_go_by(job: Job, person: str) -> bool:
    """Whether this senior had the case last, while nobody has it, or passed it on."""
    handoff = job.handoff
    if handoff is None:
        return False
    return (handoff.state in _LET_GO and handoff.taker == person and job.handed_to is None) or (
        handoff.passed_by == person and job.handed_to != person)


def said_afterwards(job: Job, event: Typed, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """Words of a senior who let go: they go to the junior all the same, whose next word may be the answer."""
    assert job.handoff is not None
    words = Text("relay.words", {"name": context.people[event.person].name, "text": event.text})
    say = Say(id=derive(event.id, "tech"), to=job.tech, conversation=job.conversation, job=job.id, texts=(words,),
              reply_to=replied_to(event))
    return replace(job, handoff=replace(job.handoff, last_words=say.id)), (say,)


def told_the_senior(before: Job, after: Job, event: Event, effects: tuple[Effect, ...], context: Context
                    ) -> tuple[Job, tuple[Effect, ...]]:
    """The junior's next line after such words goes back to the senior. Where it replies to them, or the talk made
    nothing of it, that is all that comes of it."""
    handoff = before.handoff
    if handoff is None or not handoff.last_words or not isinstance(event, Typed) or after.handoff is None:
        return after, effects
    writer = context.people.get(handoff.passed_by or handoff.taker or "")
    if writer is None or steering(event.text) is not None or after.phase is Phase.ENDED:
        return after, effects
    words = Text("relay.words", {"name": context.people[before.tech].name, "text": event.text})
    passed = Say(id=derive(event.id, "relay"), to=writer.id, job=before.id, texts=(words,), reply_to=replied_to(event))
    lost = any(isinstance(effect, Record) and effect.what == "not_followed" for effect in effects)
    if after.phase is Phase.HAZARD or not (lost or event.reply_to == handoff.last_words):
        return replace(after, handoff=replace(after.handoff, last_words="")), (*effects, passed)
    told = Say(id=derive(event.id, "told"), to=before.tech, conversation=before.conversation, job=before.id,
               texts=(Text("senior.told", {"name": writer.name}),))
    return replace(before, handoff=replace(handoff, last_words="")), (passed, told)


def tell_how_it_ended(before: Job, after: Job, event: Event, context: Context) -> tuple[Effect, ...]:
    """One line to every senior who took the case or named its fault, once the visit has ended without them."""
    if before.phase is Phase.ENDED or after.phase is not Phase.ENDED or after.outcome in {None, Outcome.CONTINUED}:
        return ()
    taker = after.handoff.taker if after.handoff is not None else None
    involved = dict.fromkeys([*(f.value for f in after.standing("verdict")), taker or ""])
    told: list[Effect] = []
    for person in (p for p in involved if p in context.people and p not in {event.person, after.tech}):
        told.append(Say(id=derive(event.id, "ended", person), to=person, job=after.id,
                        texts=(_how_it_ended(after, event, context, person),)))
    return tuple(told)


def _how_it_ended(job: Job, event: Event, context: Context, person: str) -> Text:
    turn = Turn(job, event, context)
    site = next((f.value for f in reversed(job.standing("site"))), None)
    known = job.family in context.release.knowledge.packs
    machine = machine_name(turn, job.standing("variant")) if known else Text("job.unnamed")
    fault = next((f.subject for f in reversed(job.standing("verdict")) if f.value == person), None)
    what = {"name": context.people[job.tech].name, "machine": machine, "site": site or Text("after.no_site"),
            "how": Text("after.fixed" if job.outcome is Outcome.FIXED else f"end.{job.outcome}")}
    if fault is None or not known:
        return Text("after.ended", what)
    return Text("after.finding_ended", {**what, "fault": turn.pack.faults[fault].name})
