"""What a senior does with a job: take it, ask for a check, name the fault, carry on, pass it on, call, end it.

States: asked -> taken -> given back, or withdrawn by the junior, or ended. Taking is decided on the job's lane, so
exactly one senior has it.
"""

from __future__ import annotations

from dataclasses import replace

from bot.conversation.advance import advance
from bot.conversation.context import Context
from bot.conversation.crew.acts import SENIORS
from bot.conversation.crew.case_orders import Order, order_in, person_called, takes_again
from bot.conversation.crew.duty import is_on
from bot.conversation.effects import Audit, Choice, Effect, Record, Say, Text
from bot.conversation.events import Edited, Event, Other, PhotoSent, Pressed, Typed
from bot.conversation.ids import derive
from bot.conversation.intake import absorb
from bot.conversation.job import Handing, HandOff, Job, Outcome, Phase
from bot.conversation.phases import Move
from bot.conversation.questions.asking import put
from bot.conversation.repair.leaving import end
from bot.conversation.routing import offer_answer
from bot.conversation.safety.clearance import leak_first
from bot.conversation.safety.danger import nobody_goes_in
from bot.conversation.turn import Turn
from bot.handoff.afterwards import let_go_by, said_afterwards, still_heard
from bot.handoff.brief import brief
from bot.handoff.naming import ask, how_to_name, name_fault
from bot.handoff.noting import on_note
from bot.handoff.offering import CHOICES, close_offers, helps_most, offer_to
from bot.handoff.passing import close_yours, let_go, talk, to_tech, to_writer
from bot.handoff.picture import picture_of
from bot.handoff.safety import comes_first, take_clearance
from bot.language.understand import understand


def from_senior(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """An event of somebody who is not the junior of the job."""
    handoff = job.handoff
    if handoff is None:
        return job, (to_writer(event, job, Text("offer.over")),)
    if (noted := on_note(job, event, context)) is not None:
        return noted
    if isinstance(event, Pressed):
        return _pressed(job, handoff, event, context)
    if job.handed_to != event.person:
        pressed = _in_words(handoff, event)
        if pressed is not None:
            return _pressed(job, handoff, pressed, context)
        return _without_it(job, event, context)
    match event:
        case Typed(text=text):
            return _typed(job, event, text, context)
        case Edited(text=text):
            return job, (to_tech(job, event, "relay.edited", context, text=text),)
        case PhotoSent(photos=photos, caption=caption):
            say = to_tech(job, event, "relay.photo", context, caption=caption)
            return job, (replace(say, photos=tuple(p.sha256 for p in photos if p.sha256)),)
        case Other(what=what, kept=kept, caption=caption):
            if not kept:
                return job, (to_tech(job, event, "relay.other", context, what=what),)
            say = to_tech(job, event, "relay.recording", context, what=what, caption=caption)
            return job, (replace(say, photos=(kept,)),)
        case _:
            return job, ()


def given_back(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """Back to the bot, with what was learnt: it takes up where it stood."""
    assert job.handoff is not None
    turn = Turn(let_go(job, Handing.GIVEN_BACK), event, context)
    turn.effects.extend(close_yours(job))
    if turn.job.phase is Phase.HANDED_OFF:
        turn.move(Move.GIVEN_BACK)
    turn.fact("declined", "handoff")
    turn.close_question(closed="passed")
    if not leak_first(turn):
        advance(turn)
    return turn.job, tuple(turn.effects)


def _without_it(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """Words of a senior who has not got the case (any more): an order takes it again, talk reaches the junior."""
    if not isinstance(event, Typed) or not let_go_by(job, event.person):
        return job, (to_writer(event, job, _who_has_it(job, context)),)
    order = order_in(event.text)
    if order is None and not takes_again(event.text):
        return said_afterwards(job, event, context)
    if job.phase is Phase.ENDED or job.handed_to is not None:
        return job, (to_writer(event, job, _who_has_it(job, context)),)
    if order is not None and order.kind not in {"ask", "found", "pass"}:
        return job, (to_writer(event, job, Text("senior.not_yours", {"name": context.people[job.tech].name})),)
    return _again(job, event, order, context)


def _again(job: Job, event: Typed, order: Order | None, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """The case once more for the senior who let go of it. An order that cannot be followed leaves it where it is."""
    turn = Turn(job, event, context)
    if job.phase is not Phase.HANDED_OFF:
        turn.move(Move.HAND_OFF)
    if order is not None and order.kind != "ask":
        taken, _ = take(turn.job, event, context)
        after, said = _ordered(taken, event, order, context)
        return (after, said) if after.handed_to != event.person else (job, said)
    turn.close_question(closed="passed")
    closed = tuple(turn.effects)
    turn.note("offer.taken", name=context.people[event.person].name)
    if order is None:
        put(turn, "handed_off", ("carry_on", "leave"))
    turn.send()
    taken, told = take(turn.job, event, context)
    told = tuple(effect for effect in told if not isinstance(effect, Say) or effect.to != job.tech)
    if order is None:
        return taken, (*turn.effects, *told)
    after, said = ask(taken, event, order.what, context)
    if after.question is None:
        return job, said
    return after, (*closed, *told, *said)


# ---- taking ------------------------------------------------------------------------------------------------------

def _pressed(job: Job, handoff: HandOff, event: Pressed, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    offered = next((o for o in handoff.offered
                    if o.question == event.question and o.person in {event.person, ""}), None)
    if offered is None:
        return _chosen(job, event, context)
    if handoff.state is not Handing.ASKED:
        return job, (to_writer(event, job, _who_has_it(job, context)),)
    if event.choice != 1:
        refused = tuple(replace(o, refused=True) if o is offered else o for o in handoff.offered)
        return replace(job, handoff=replace(handoff, offered=refused)), (to_writer(event, job, Text("offer.noted")),)
    return take(job, event, context)


def take(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """This senior has it: the others are told, the junior gets the name."""
    assert job.handoff is not None
    person = context.people[event.person]
    has_it = Text("offer.taken", {"name": person.name})
    if person.role not in SENIORS:
        return job, (to_writer(event, job, Text("offer.seniors_only")),)
    effects: tuple[Effect, ...] = close_offers(job, has_it, but=person.id)
    message = derive(event.id, "yours")
    first = comes_first(job, context)
    values = ("carry_on", "call") if first is None else ("call",)
    job = replace(job, handed_to=person.id, handoff=replace(job.handoff, state=Handing.TAKEN, taker=person.id,
                                                            yours=message, yours_values=values))
    yours = (Text("offer.yours", {"name": context.people[job.tech].name}), *((first,) if first is not None else ()))
    choices = tuple(Choice(v, Text(f"choice.{v}")) for v in values)
    say = Say(id=message, to=person.id, conversation=event.conversation, job=job.id, texts=yours,
              question=derive(event.id, "yours", "question"), choices=choices)
    told = Say(id=derive(event.id, "has_it"), to=job.tech, conversation=job.conversation, job=job.id, texts=(has_it,))
    return job, (*effects, say, told, Audit(what="handoff_taken", data={"job": job.id, "by": person.id}))


def _chosen(job: Job, event: Pressed, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """A press on the senior's own choices."""
    if job.handed_to != event.person:
        return job, (to_writer(event, job, _who_has_it(job, context)),)
    values = job.handoff.yours_values if job.handoff is not None else ()
    chosen = values[event.choice - 1] if 1 <= event.choice <= len(values) else "call"
    return _carry_on(job, event, context) if chosen == "carry_on" else _call(job, event, context)


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
    order = order_in(text)
    return order is not None and order.kind == "end"


def _who_has_it(job: Job, context: Context) -> Text:
    holder = context.people.get(job.handed_to or "")
    return Text("offer.gone", {"name": holder.name}) if holder else Text("offer.over")


# ---- what a senior writes ----------------------------------------------------------------------------------------

def _typed(job: Job, event: Typed, text: str, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    order = order_in(text) or _by_number(job, event)
    if order is not None:
        return _ordered(job, event, order, context)
    turn = Turn(job, event, context)
    if take_clearance(turn, text):
        return _cleared(turn)
    if job.handoff is not None and job.handoff.calling:
        return _line(job, event, text, context)
    after, said = talk(job, event, context)
    return after, (*said, *how_to_name(job, event, context))


def _by_number(job: Job, event: Typed) -> Order | None:
    """The number of a choice that was put. Once the junior has written since, a number is a word to them, unless it
    replies to the choices."""
    handoff, bare = job.handoff, event.text.strip(" .)")
    if handoff is None or not bare.isdecimal() or (handoff.spoken and event.reply_to != handoff.yours):
        return None
    chosen = handoff.yours_values[int(bare) - 1:int(bare)] if int(bare) else ()
    return Order("carry_on" if chosen[0] == "carry_on" else "call") if chosen else None


def _ordered(job: Job, event: Typed, order: Order, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    match order.kind:
        case "carry_on":
            return _carry_on(job, event, context)
        case "ask":
            return ask(job, event, order.what, context)
        case "found":
            return name_fault(job, event, order.what, context)
        case "pass":
            return _pass_on(job, event, order, context) or talk(job, event, context)
        case "call":
            return _call(job, event, context)
        case "end":
            return _end(job, event, context)
        case "where":
            sheet = (*brief(job, event, context), *helps_most(job, context))
            return job, (Say(id=derive(event.id, "brief"), to=event.person, conversation=event.conversation, job=job.id,
                             texts=sheet, picture=picture_of(job, context)),)


def _cleared(turn: Turn) -> tuple[Job, tuple[Effect, ...]]:
    """The senior passes on that those in charge cleared it: the junior reads it; going back in is the next word's."""
    event, context = turn.event, turn.context
    text = event.text if isinstance(event, Typed) else ""
    after = comes_first(turn.job, context) or Text("senior.cleared_noted")
    return turn.job, (*turn.effects, to_tech(turn.job, event, "relay.words", context, text=text),
                      to_writer(event, turn.job, after))


def _carry_on(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    if (first := comes_first(job, context)) is not None:
        return job, (to_writer(event, job, first),)
    said = to_tech(job, event, "senior.carries_on", context)
    after, effects = given_back(job, event, context)
    kept = Record(id=derive(event.id, "given_back"), job=job.id, what="handoff", data={"given_back": event.person})
    return after, (said, *effects, *still_heard(to_writer(event, job, Text("senior.given_back")), job, context), kept)


def _pass_on(job: Job, event: Typed, order: Order, context: Context) -> tuple[Job, tuple[Effect, ...]] | None:
    """To another senior or an owner; None if the words name nobody and are talk ('pass the hose end to ...')."""
    others = [p for p in context.people.values() if p.role in SENIORS and p.id not in {event.person, job.tech}]
    to = person_called(order.what, others)
    assert job.handoff is not None
    if to is None:
        if order.what and not (order.to and len(order.what.split()) == 1):
            return None
        whom = "senior.pass_whom" if others else "senior.nobody_else"
        first = (Text("senior.nobody_called", {"name": order.what}),) if order.what else ()
        told = Text(whom, {"names": [p.name for p in others], "name": context.people[job.tech].name})
        return job, (to_writer(event, job, *first, told),)
    if not is_on(to, context.now, context.firm) and not job.handoff.urgent:
        return job, (to_writer(event, job, Text("senior.is_off", {"name": to.name})),)
    after, effects = offer_to(job, [to], event, context, post=False)
    assert after.handoff is not None
    after = replace(after, handoff=replace(after.handoff, passed_by=event.person))
    passed = to_writer(event, job, Text("senior.passed", {"name": to.name}))
    return after, (*close_yours(job), *effects, *still_heard(passed, job, context),
                   to_tech(job, event, "offer.put_to", context, names=to.name))


def _call(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    tech = context.people[job.tech]
    assert job.handoff is not None
    if not tech.phone:
        return job, (to_writer(event, job, Text("senior.no_phone", {"name": tech.name})),)
    job = replace(job, handoff=replace(job.handoff, calling=True))
    return job, (to_writer(event, job, Text("senior.call", {"name": tech.name, "phone": tech.phone})),)


def _line(job: Job, event: Typed, text: str, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """One line after a call: kept as the senior's words, and what it tells is evidence."""
    assert job.handoff is not None
    turn = Turn(replace(job, handoff=replace(job.handoff, calling=False)), event, context)
    absorb(turn, understand(context.release.index, text, family=job.family))
    turn.record("verdict", words=text, by=event.person)
    return turn.job, (*turn.effects, to_writer(event, job, Text("senior.line_kept")))


def _end(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    assert job.handoff is not None
    turn = Turn(let_go(job, Handing.ENDED), event, context)
    turn.effects.extend(close_yours(job))
    turn.close_question(closed="passed")
    turn.note("senior.closed_it", name=context.people[event.person].name)
    if nobody_goes_in(job) is not None:
        turn.note("hazard.still_out")
    end(turn, Outcome.HANDED_OFF)
    return turn.job, (*turn.effects, to_writer(event, job, Text("senior.ended")))
