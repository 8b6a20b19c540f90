"""Putting a job to the seniors on duty: who is asked, with what words, when again, and what the junior hears."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import timedelta
from typing import Final

from bot.conversation.context import Context
from bot.conversation.crew.duty import is_on, next_on, when
from bot.conversation.effects import ROOM, Alter, CancelTimer, Choice, Effect, Offer, Post, Say, SetTimer, Text
from bot.conversation.events import Due, Event
from bot.conversation.facts import evidence_of, situation_of
from bot.conversation.firm import Person
from bot.conversation.ids import derive
from bot.conversation.job import Handing, HandOff, Job, Offered
from bot.conversation.safety.danger import nobody_goes_in, not_safe_yet
from bot.diagnosis.planner import plan
from bot.handoff.brief import brief, words_of
from bot.handoff.picture import picture_of
from bot.handoff.room import posted

REMIND: Final = (timedelta(minutes=5), timedelta(minutes=15))
"""After the first the offer is made again and widened to the owners; after the second the junior is told to ring."""
TIMER: Final = "handoff_remind"
CHOICES: Final = ("take", "not_now")


def with_offer(offer: Offer, job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """Offer the job, and tell the junior to whom; with nobody on duty the junior gets the case to read out."""
    handoff = HandOff(offer.id, offer.reason, Handing.ASKED, context.now, urgent=offer.urgent, words=words_of(event))
    job = replace(job, handoff=handoff)
    asked = _asked(job, event, context, _opening(offer, job, context), derive(offer.id, "told"))
    return asked if asked is not None else _nobody(job, event, context)


def _asked(job: Job, event: Event, context: Context, opening: tuple[Text, ...], told: str
           ) -> tuple[Job, tuple[Effect, ...]] | None:
    """Put it to the seniors on duty and their room, or else to the owners, and tell the junior; None if to nobody."""
    urgent = job.handoff is not None and job.handoff.urgent
    seniors = on_duty(context, job.tech, ("senior",), urgent=urgent)
    people = seniors or on_duty(context, job.tech, ("owner",), urgent=urgent)
    if not people:
        return None
    lines = brief(job, event, context)
    job, says = _put_to(job, people, opening, lines, context)
    job, post = _post(job, opening, lines, context)
    has_seniors = any(p.role == "senior" for p in context.people.values())
    key = "offer.put_to" if seniors or not has_seniors else "offer.put_to_owner"
    word = _to_tech(job, told, (Text(key, {"names": _names(people)}),))
    return job, (*says, post, word, _timer(job, context, 0))


def _nobody(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """Nobody is on duty: the case to read out, and from when on somebody is; it is put to them then."""
    assert job.handoff is not None
    backs = [(back, p) for p in context.people.values() if p.role in {"senior", "owner"} and p.id != job.tech
             and (back := next_on(p, context.now, context.firm)) is not None]
    texts = [Text("offer.nobody"), *brief(job, event, context)]
    if not backs:
        return job, (_to_tech(job, derive(job.handoff.offer, "nobody", event.id), tuple(texts)),)
    back, first = min(backs, key=lambda each: (each[0], each[1].role != "senior", each[1].id))
    texts.append(Text("offer.nobody_until", {
        "name": first.name, "when": when(back, context.people[job.tech], context.now, context.firm)}))
    timer = replace(_timer(job, context, 0), at=back)
    return job, (_to_tech(job, derive(job.handoff.offer, "nobody", event.id), tuple(texts)), timer)


def _post(job: Job, opening: tuple[Text, ...], lines: Sequence[Text], context: Context) -> tuple[Job, Post]:
    """The offer for the seniors' room, too."""
    assert job.handoff is not None
    post, offered = posted(job, opening, lines, tuple(Choice(c, Text(f"choice.{c}")) for c in CHOICES), context)
    return replace(job, handoff=replace(job.handoff, offered=(*job.handoff.offered, offered))), post


def offer_due(job: Job, event: Due, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """Nobody has taken it yet: ask again and wider, and tell the junior honestly."""
    handoff = job.handoff
    if handoff is None or handoff.state is not Handing.ASKED or event.data.get("offer") != handoff.offer:
        return job, ()
    if not handoff.offered:  # nobody was on duty
        opening = (Text("offer.title", {"reason": Text(f"offer.reason.{handoff.reason}")}),)
        asked = _asked(replace(job, handoff=replace(handoff, asked=context.now)), event, context, opening,
                       derive(event.id, "told"))
        return asked if asked is not None else (job, ())
    minutes = max(1, round((context.now - handoff.asked).total_seconds() / 60))
    safe = _make_safe(job, context)
    if handoff.reminded + 1 >= len(REMIND):
        job = replace(job, handoff=replace(handoff, reminded=handoff.reminded + 1))
        return job, (_to_tech(job, derive(event.id, "no_answer"), (Text("offer.no_answer", {"make_safe": safe}),)),)
    everyone = on_duty(context, job.tech, ("senior", "owner"), urgent=handoff.urgent)
    job = replace(job, handoff=replace(handoff, reminded=handoff.reminded + 1))
    again = (Text("offer.again", {"minutes": minutes}),)
    job, says = _put_to(job, everyone, again, brief(job, event, context), context, key=event.id)
    if not everyone:
        return job, (_to_tech(job, derive(event.id, "no_answer"), (Text("offer.no_answer", {"make_safe": safe}),)),)
    told = _to_tech(job, derive(event.id, "waiting"),
                    (Text("offer.waiting", {"names": _names(everyone), "make_safe": safe}),))
    return job, (*says, told, _timer(job, context, 1))


def close_offers(job: Job, answer: Text, *, but: str | None = None) -> tuple[Effect, ...]:
    """Close the offer's choices with everybody, saying who has it, and forget the reminder."""
    handoff = job.handoff
    if handoff is None:
        return ()
    closed = tuple(Alter(message=o.message, closed="answered" if o.person == but else "passed", answer=answer,
                         reader=o.person or ROOM) for o in handoff.offered)
    return (*closed, CancelTimer(id=derive(handoff.offer, "timer")))


def offer_to(job: Job, people: Sequence[Person], event: Event, context: Context, *, post: bool = True
             ) -> tuple[Job, tuple[Effect, ...]]:
    """Offer a running hand-off to other people, and their room with `post` (passed on, or its taker is gone)."""
    handoff = job.handoff
    assert handoff is not None
    fresh = replace(handoff, offer=derive(event.id, "offer"), state=Handing.ASKED, taker=None, offered=(),
                    last_words="", asked=context.now, reminded=0, calling=False, heard=None, said_off=False,
                    spoken=False,
                    words=words_of(event) if event.person == job.tech and words_of(event) else handoff.words)
    job = replace(job, handoff=fresh, handed_to=None)
    opening = (Text("offer.title", {"reason": Text(f"offer.reason.{handoff.reason}")}),)
    lines = brief(job, event, context)
    job, says = _put_to(job, people, opening, lines, context)
    if not post:
        return job, (*says, _timer(job, context, 0))
    job, room = _post(job, opening, lines, context)
    return job, (*says, room, _timer(job, context, 0))


def on_duty(context: Context, tech: str, roles: Iterable[str], *, urgent: bool) -> list[Person]:
    """Those who may be asked. Off-duty people are woken for hazards only."""
    return [p for p in context.people.values() if p.role in roles and p.id != tech
            and (urgent or is_on(p, context.now, context.firm))]


def _put_to(job: Job, people: Sequence[Person], opening: tuple[Text, ...], lines: tuple[Text, ...], context: Context,
            key: str = "") -> tuple[Job, tuple[Say, ...]]:
    handoff = job.handoff
    assert handoff is not None
    choices = tuple(Choice(value, Text(f"choice.{value}")) for value in CHOICES)
    says, offered = [], list(handoff.offered)
    for person in people:
        message = derive(handoff.offer, "to", person.id, key)
        question = derive(message, "question")
        says.append(Say(id=message, to=person.id, job=job.id, question=question, choices=choices,
                        texts=(*opening, *lines, *helps_most(job, context)), photos=_photos(job), urgent=handoff.urgent,
                        picture=None if handoff.urgent else picture_of(job, context)))
        offered.append(Offered(person.id, message, question))
    return replace(job, handoff=replace(handoff, offered=tuple(offered))), tuple(says)


def _opening(offer: Offer, job: Job, context: Context) -> tuple[Text, ...]:
    if offer.urgent:
        question = job.question
        hazard = question.data.get("hazard", "") if question else ""
        return (Text("offer.urgent", {"hazard": Text(f"hazard.name.{hazard}") if hazard else ""}),)
    return (Text("offer.title", {"reason": Text(f"offer.reason.{offer.reason}")}),)


def helps_most(job: Job, context: Context) -> tuple[Text, ...]:
    """The single check that would help most, whoever makes it; none while there is danger."""
    urgent = job.handoff is not None and job.handoff.urgent
    if urgent or not_safe_yet(job) or job.family is None or job.family not in context.release.models:
        return ()
    if not job.standing("complaint", "result"):
        return ()
    model = context.release.models[job.family]
    able = replace(situation_of(job, context), signoffs=frozenset({"live", "gas", "refrigerant", "lifting"}),
                   handoff_minutes=context.firm.handoff_minutes * 10)
    best = plan(model, evidence_of(job), able).best
    if best.do != "check":
        return ()
    return (Text("offer.question", {"ask": model.pack.checks[best.id].ask}),)


def _photos(job: Job) -> tuple[str, ...]:
    return tuple(f.subject for f in job.standing("photo"))[-4:]


def _timer(job: Job, context: Context, stage: int) -> SetTimer:
    handoff = job.handoff
    assert handoff is not None
    return SetTimer(id=derive(handoff.offer, "timer"), at=context.now + REMIND[stage], name=TIMER, job=job.id,
                    person=job.tech, conversation=job.conversation, data={"offer": handoff.offer})


def _make_safe(job: Job, context: Context) -> str | Text:
    if nobody_goes_in(job) is not None:
        return Text("hazard.still_out")
    packs = context.release.knowledge.packs
    return packs[job.family].family.make_safe if job.family in packs else "Leave it off and closed."


def _to_tech(job: Job, message: str, texts: tuple[Text, ...]) -> Say:
    return Say(id=message, to=job.tech, conversation=job.conversation, job=job.id, texts=texts)


def _names(people: Iterable[Person]) -> str:
    return ", ".join(person.name for person in people)
