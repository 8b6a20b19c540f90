"""After a senior let go of a case: their words still reach the junior for a while, and they hear how it ended."""

from __future__ import annotations

from datetime import timedelta
from typing import Final

from bot.conversation.context import Context
from bot.conversation.echo import machine_name
from bot.conversation.effects import Alter, Effect, Say, SetTimer, Text
from bot.conversation.events import Due, Event, Typed
from bot.conversation.ids import derive
from bot.conversation.job import Handing, Job, Outcome, Phase
from bot.conversation.turn import Turn
from bot.handoff.replies import replied_to

STILL_HEARD: Final = timedelta(hours=3)
"""After that a senior's words are about something else."""
TIMER: Final = "last_words_lapse"
_LET_GO: Final = frozenset({Handing.GIVEN_BACK, Handing.WITHDRAWN, Handing.ENDED})


def still_heard(say: Say, job: Job, context: Context) -> tuple[Say, SetTimer]:
    """The senior's last word on a case as one that they may answer in words, and when that lapses."""
    timer = SetTimer(id=derive(job.id, TIMER, say.to), at=context.now + STILL_HEARD, name=TIMER, job=job.id,
                     person=say.to, conversation=say.conversation or "", data={"message": say.id})
    return (Say(id=say.id, to=say.to, conversation=say.conversation, job=say.job, reply_to=say.reply_to,
                texts=say.texts, question=derive(say.id, "question")), timer)


def last_words_lapse(job: Job, event: Due, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """From now on what they write is no word on this case."""
    return job, (Alter(message=str(event.data.get("message", "")), closed="lapsed", reader=event.person),)


def said_afterwards(job: Job, event: Event, context: Context) -> Say | None:
    """Words of the senior who had the case last, while nobody has it: they go to the junior all the same."""
    handoff = job.handoff
    if not isinstance(event, Typed) or handoff is None or handoff.state not in _LET_GO or (
            handoff.taker != event.person or job.handed_to is not None):
        return None
    words = Text("relay.words", {"name": context.people[event.person].name, "text": event.text})
    return Say(id=derive(event.id, "tech"), to=job.tech, conversation=job.conversation, job=job.id, texts=(words,),
               reply_to=replied_to(event))


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
