"""What a senior does with a job: take it, ask for a check, name the fault, carry on, pass it on, call, end it.

States: asked -> taken -> given back, or withdrawn by the junior, or ended. Taking is decided on the job's lane, so
exactly one senior has it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from rapidfuzz import fuzz, process

from bot.conversation.advance import advance
from bot.conversation.asking import put
from bot.conversation.context import Context, Person
from bot.conversation.crew_acts import SENIORS
from bot.conversation.duty import is_on
from bot.conversation.effects import Alter, Audit, Choice, Effect, Record, Say, Text
from bot.conversation.events import Edited, Event, Other, PhotoSent, Pressed, Typed
from bot.conversation.finding import announce
from bot.conversation.ids import derive
from bot.conversation.intake import absorb
from bot.conversation.job import Handing, HandOff, Job, Outcome, Phase
from bot.conversation.leaving import end
from bot.conversation.phases import Move
from bot.conversation.routing import offer_answer
from bot.conversation.turn import Turn
from bot.handoff.brief import brief
from bot.handoff.noting import ask_for_note, on_note
from bot.handoff.offering import CHOICES, close_offers, offer_to
from bot.handoff.picture import picture_of
from bot.handoff.replies import replied_to
from bot.language.understand import understand

NEAR: Final = 80
"""Similarity (0..100) from which a senior's words name a check or a fault."""
_CARRY_ON: Final = re.compile(
    r"(ok |let (him|her|them) )?(carry on|go on|give back|back to (the )?bot|all yours|continue)\W*", re.I)
_ASK: Final = re.compile(r"ask(?: (?:him|her|them|for))*[: ]+(?P<what>.+)", re.I)
_FOUND: Final = re.compile(r"(?:found|fault is|fault|it'?s(?: the| a)?|verdict)[: ]+(?P<what>.+)", re.I)
_PASS: Final = re.compile(r"pass(?: it)?(?: on)?(?: to)?[: ]+(?P<who>\w[\w ]*)", re.I)
_END: Final = re.compile(r"(end|close( it)?|done with it)\W*", re.I)
_CALL: Final = re.compile(r"(call|call (him|her|them)|ring|phone|number)\W*", re.I)
_WHERE: Final = re.compile(r"(where|brief|the case|status)\W*\??", re.I)


def from_senior(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """An event of somebody who is not the junior of the job."""
    handoff = job.handoff
    if handoff is None:
        return job, (_to(event, job, Text("offer.over")),)
    if (noted := on_note(job, event, context)) is not None:
        return noted
    if isinstance(event, Pressed):
        return _pressed(job, handoff, event, context)
    if job.handed_to != event.person:
        pressed = _in_words(handoff, event)
        return _pressed(job, handoff, pressed, context) if pressed else (
            job, (_to(event, job, _who_has_it(job, context)),))
    match event:
        case Typed(text=text):
            return _typed(job, event, text, context)
        case Edited(text=text):
            return job, (_to_tech(job, event, "relay.edited", context, text=text),)
        case PhotoSent(photos=photos, caption=caption):
            say = _to_tech(job, event, "relay.photo", context, caption=caption)
            return job, (replace(say, photos=tuple(p.sha256 for p in photos if p.sha256)),)
        case Other(what=what, kept=kept, caption=caption):
            if not kept:
                return job, (_to_tech(job, event, "relay.other", context, what=what),)
            say = _to_tech(job, event, "relay.recording", context, what=what, caption=caption)
            return job, (replace(say, photos=(kept,)),)
        case _:
            return job, ()


def given_back(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """Back to the bot, with what was learnt: it takes up where it stood."""
    assert job.handoff is not None
    turn = Turn(_let_go(job, Handing.GIVEN_BACK), event, context)
    turn.effects.extend(_close_yours(job))
    if turn.job.phase is Phase.HANDED_OFF:
        turn.move(Move.GIVEN_BACK)
    turn.fact("declined", "handoff")
    turn.close_question(closed="passed")
    advance(turn)
    return turn.job, tuple(turn.effects)


# ---- taking ------------------------------------------------------------------------------------------------------

def _pressed(job: Job, handoff: HandOff, event: Pressed, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    offered = next((o for o in handoff.offered
                    if o.question == event.question and o.person in {event.person, ""}), None)
    if offered is None:
        return _chosen(job, event, context)
    if handoff.state is not Handing.ASKED:
        return job, (_to(event, job, _who_has_it(job, context)),)
    if event.choice != 1:
        refused = tuple(replace(o, refused=True) if o is offered else o for o in handoff.offered)
        return replace(job, handoff=replace(handoff, offered=refused)), (_to(event, job, Text("offer.noted")),)
    return take(job, event, context)


def take(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """This senior has it: the others are told, the junior gets the name."""
    assert job.handoff is not None
    person = context.people[event.person]
    has_it = Text("offer.taken", {"name": person.name})
    if person.role not in SENIORS:
        return job, (_to(event, job, Text("offer.seniors_only")),)
    effects: tuple[Effect, ...] = close_offers(job, has_it, but=person.id)
    message = derive(event.id, "yours")
    job = replace(job, handed_to=person.id,
                  handoff=replace(job.handoff, state=Handing.TAKEN, taker=person.id, yours=message))
    yours = Text("offer.yours", {"name": context.people[job.tech].name})
    choices = tuple(Choice(v, Text(f"choice.{v}")) for v in ("carry_on", "call"))
    say = Say(id=message, to=person.id, conversation=event.conversation, job=job.id, texts=(yours,),
              question=derive(event.id, "yours", "question"), choices=choices)
    told = Say(id=derive(event.id, "has_it"), to=job.tech, conversation=job.conversation, job=job.id, texts=(has_it,))
    return job, (*effects, say, told, Audit(what="handoff_taken", data={"job": job.id, "by": person.id}))


def _chosen(job: Job, event: Pressed, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """A press on the senior's own choices."""
    if job.handed_to != event.person:
        return job, (_to(event, job, _who_has_it(job, context)),)
    return _carry_on(job, event, context) if event.choice == 1 else _call(job, event, context)


def _in_words(handoff: HandOff, event: Event) -> Pressed | None:
    """A reply to the offer that means one of its choices, as the press it stands for."""
    if not isinstance(event, Typed) or handoff.state is not Handing.ASKED:
        return None
    number = offer_answer(event.text, len(CHOICES))
    mine = next((o for o in handoff.offered if o.person in {event.person, ""}), None)
    if number is None or mine is None:
        return None
    return Pressed(id=event.id, at=event.at, person=event.person, conversation=event.conversation,
                   message=event.message, question=mine.question, choice=number)


def ends(text: str) -> bool:
    """Whether these words of a senior's end the case."""
    return _END.fullmatch(text.strip()) is not None


def _who_has_it(job: Job, context: Context) -> Text:
    holder = context.people.get(job.handed_to or "")
    return Text("offer.gone", {"name": holder.name}) if holder else Text("offer.over")


# ---- what a senior writes ----------------------------------------------------------------------------------------

def _typed(job: Job, event: Typed, text: str, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    bare = text.strip()
    if _CARRY_ON.fullmatch(bare):
        return _carry_on(job, event, context)
    if found := _ASK.fullmatch(bare):
        return _ask(job, event, found["what"], context)
    if found := _FOUND.fullmatch(bare):
        return _verdict(job, event, found["what"], context)
    if found := _PASS.fullmatch(bare):
        return _pass_on(job, event, found["who"], context)
    if _CALL.fullmatch(bare):
        return _call(job, event, context)
    if _END.fullmatch(bare):
        return _end(job, event, context)
    if _WHERE.fullmatch(bare):
        return job, (Say(id=derive(event.id, "brief"), to=event.person, conversation=event.conversation, job=job.id,
                         texts=brief(job, event, context), picture=picture_of(job, context)),)
    if job.handoff is not None and job.handoff.calling:
        return _line(job, event, text, context)
    return _spoken_since(job), (_to_tech(job, event, "relay.words", context, text=text),)


SPOKEN_SINCE: Final = "spoken_since"
"""Data of a check's question: the senior wrote words of their own after asking it."""


def _spoken_since(job: Job) -> Job:
    """From now on the last thing asked may be in the senior's own words; what speaks of no check is theirs."""
    question = job.question
    if question is None or question.kind != "check":
        return job
    return job.at(question=replace(question, data={**question.data, SPOKEN_SINCE: "yes"}))


def _carry_on(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    said = _to_tech(job, event, "senior.carries_on", context)
    after, effects = given_back(job, event, context)
    kept = Record(id=derive(event.id, "given_back"), job=job.id, what="handoff", data={"given_back": event.person})
    return after, (said, *effects, _to(event, job, Text("senior.given_back")), kept)


def _ask(job: Job, event: Event, what: str, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """A listed check as a proper question to the junior; its answer is evidence and comes back here."""
    turn = Turn(job, event, context)
    if job.family not in context.release.models:
        return job, (_to_tech(job, event, "relay.words", context, text=what),)
    names = {key: f"{c.name} {key.replace('_', ' ')}" for key, c in turn.pack.checks.items()}
    key = _named(what, names)
    if key is None:
        near = [turn.pack.checks[k].name for k in _nearest(what, names)]
        written = event.text if isinstance(event, Typed) else what
        return job, (_to_tech(job, event, "relay.words", context, text=written),
                     _to(event, job, Text("senior.which_check", {"names": near})))
    turn.note("senior.asks", name=context.people[event.person].name)
    put(turn, "check", checks=(key,))
    asked = _to(event, job, Text("senior.asked", {"name": turn.pack.checks[key].name}))
    return turn.job, (*turn.effects, asked)


def _verdict(job: Job, event: Event, what: str, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """The senior names the fault: kept as a label, and the visit goes on with its repair."""
    turn = Turn(job, event, context)
    if job.family not in context.release.models:
        return job, (_to_tech(job, event, "relay.words", context, text=what),)
    names = {key: f"{f.name} {key.replace('.', ' ').replace('_', ' ')}" for key, f in turn.pack.faults.items()}
    key = _named(what, names)
    if key is None:
        near = [turn.pack.faults[k].name for k in _nearest(what, names)]
        turn.record("verdict", words=what, by=event.person)  # three alike are proposed to the owner as a new fault
        return job, (*turn.effects, _to_tech(job, event, "relay.words", context, text=what),
                     _to(event, job, Text("senior.which_fault", {"names": near})))
    if job.phase is Phase.HAZARD:
        turn.record("verdict", words=what, by=event.person)
        return job, (*turn.effects, _to_tech(job, event, "relay.words", context, text=what),
                     _to(event, job, Text("senior.hazard_first")))
    person = context.people[event.person]
    assert job.handoff is not None
    turn.job = _let_go(job, Handing.GIVEN_BACK)
    turn.effects.extend(_close_yours(job))
    turn.fact("verdict", key)
    turn.record("verdict", fault=key, by=person.id, words=what)
    for move in (Move.GIVEN_BACK, Move.KNOWN):
        turn.move(move)
    turn.note("senior.verdict", name=person.name, fault=turn.pack.faults[key].name)
    announce(turn, key)
    kept = Text("senior.verdict_kept", {"fault": turn.pack.faults[key].name, "name": context.people[job.tech].name})
    after, asked = ask_for_note(turn.job, event, key, context)
    return after, (*turn.effects, _to(event, job, kept), *asked)


def _pass_on(job: Job, event: Event, who: str, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    others = {p.id: p.name for p in context.people.values() if p.role in {"senior", "owner"} and p.id != event.person}
    key = _named(who, others)
    assert job.handoff is not None
    if key is None:
        return job, (_to(event, job, Text("senior.nobody_called", {"name": who})),)
    to = context.people[key]
    if not is_on(to, context.now, context.firm) and not job.handoff.urgent:
        return job, (_to(event, job, Text("senior.is_off", {"name": to.name})),)
    after, effects = offer_to(job, [to], event, context, post=False)
    return after, (*_close_yours(job), *effects, _to(event, job, Text("senior.passed", {"name": to.name})),
                   _to_tech(job, event, "offer.put_to", context, names=to.name))


def _call(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    tech = context.people[job.tech]
    assert job.handoff is not None
    if not tech.phone:
        return job, (_to(event, job, Text("senior.no_phone", {"name": tech.name})),)
    job = replace(job, handoff=replace(job.handoff, calling=True))
    return job, (_to(event, job, Text("senior.call", {"name": tech.name, "phone": tech.phone})),)


def _line(job: Job, event: Typed, text: str, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """One line after a call: kept as the senior's words, and what it tells is evidence."""
    assert job.handoff is not None
    turn = Turn(replace(job, handoff=replace(job.handoff, calling=False)), event, context)
    absorb(turn, understand(context.release.index, text, family=job.family))
    turn.record("verdict", words=text, by=event.person)
    return turn.job, (*turn.effects, _to(event, job, Text("senior.line_kept")))


def _end(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    assert job.handoff is not None
    turn = Turn(_let_go(job, Handing.ENDED), event, context)
    turn.effects.extend(_close_yours(job))
    turn.close_question(closed="passed")
    turn.note("senior.closed_it", name=context.people[event.person].name)
    end(turn, Outcome.HANDED_OFF)
    return turn.job, (*turn.effects, _to(event, job, Text("senior.ended")))


def _let_go(job: Job, state: Handing) -> Job:
    assert job.handoff is not None
    return replace(job, handed_to=None, handoff=replace(job.handoff, state=state, calling=False))


def _close_yours(job: Job) -> tuple[Effect, ...]:
    assert job.handoff is not None
    return (Alter(message=job.handoff.yours, closed="answered"),) if job.handoff.yours else ()


def _named(what: str, names: Mapping[str, str]) -> str | None:
    found = process.extractOne(what, names, scorer=fuzz.token_set_ratio, processor=str.lower, score_cutoff=NEAR)
    return str(found[2]) if found else None


def _nearest(what: str, names: Mapping[str, str]) -> list[str]:
    return [str(key) for _, _, key in process.extract(what, names, scorer=fuzz.WRatio, processor=str.lower, limit=3)]


def _to(event: Event, job: Job, text: Text) -> Say:
    return Say(id=derive(event.id, "senior"), to=event.person, conversation=event.conversation or None, job=job.id,
               texts=(text,))


def _to_tech(job: Job, event: Event, key: str, context: Context, **params: str) -> Say:
    who: Person = context.people[event.person]
    return Say(id=derive(event.id, "tech"), to=job.tech, conversation=job.conversation, job=job.id,
               texts=(Text(key, {"name": who.name, **params}),), reply_to=replied_to(event))
