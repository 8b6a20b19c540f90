"""While a senior holds the case: what the junior writes goes to them; the bot keeps quiet.

Three things still come first: hazards, answers to a check that the senior asked for, and the junior's own way back.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from bot.conversation.advance import leading
from bot.conversation.context import Context
from bot.conversation.echo import said_of
from bot.conversation.effects import Effect, Say, Text
from bot.conversation.events import Edited, Event, Other, PhotoSent, Pressed, Typed
from bot.conversation.facts import evidence_of
from bot.conversation.ids import derive
from bot.conversation.job import Handing, Job, Question
from bot.conversation.questions.asking import labels
from bot.conversation.questions.checks import answer_check, press_result
from bot.conversation.questions.worded import speaks_of
from bot.conversation.safety.gas_smelt import out_of_gas
from bot.conversation.steering.words import Steer, steering
from bot.conversation.talk import talk
from bot.conversation.turn import Turn
from bot.conversation.wording import render_choice
from bot.diagnosis.belief import believe
from bot.handoff.afterwards import still_heard
from bot.handoff.made_safe import settles_by_press, settles_danger
from bot.handoff.passing import SPOKEN_SINCE
from bot.handoff.replies import replied_to
from bot.handoff.senior import given_back
from bot.language.understand import understand

BACK_TO_IT: Final = frozenset({"carry on", "go on"})
"""How a junior takes the case back himself, besides `back`."""

def from_tech(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """An event of the junior while a senior holds the case."""
    after, effects = _passed_on(job, event, context)
    if after.handoff is not None and holding(after) and any(
            isinstance(e, Say) and e.to == after.handed_to for e in effects):
        after = replace(after, handoff=replace(after.handoff, spoken=True))
    return after, effects


def _passed_on(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    match event:
        case Typed(text=text):
            return _typed(job, event, text, context)
        case Pressed():
            return _pressed(job, event, context)
        case Edited(text=text):
            return job, (to_senior(job, event, Text("relay.edited", {"name": _name(job, context), "text": text})),)
        case PhotoSent(photos=photos, caption=caption):
            after, effects = talk(job, event, context)
            kept = tuple(p.sha256 for p in photos if p.sha256)
            words = Text("relay.photo", {"name": _name(job, context), "caption": caption})
            return replace(after, position=job.position), (
                *(e for e in effects if not isinstance(e, Say)), to_senior(job, event, words, photos=kept))
        case Other(what=what, kept=kept, caption=caption):
            words = Text("relay.other", {"name": _name(job, context), "what": what})
            if kept:
                words = Text("relay.recording", {"name": _name(job, context), "what": what, "caption": caption})
            return job, (to_senior(job, event, words, photos=(kept,) if kept else ()),)
        case _:
            return job, ()


def to_senior(job: Job, event: Event, *texts: Text, photos: tuple[str, ...] = ()) -> Say:
    """A message to the senior who holds the case."""
    assert job.handed_to is not None
    return Say(id=derive(event.id, "relay"), to=job.handed_to, job=job.id, texts=texts, photos=photos,
               reply_to=replied_to(event))


def _typed(job: Job, event: Typed, text: str, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    meaning = understand(context.release.index, text, family=job.family)
    words = Text("relay.words", {"name": _name(job, context), "text": text})
    word = steering(text)
    back = word is Steer.BACK or text.strip().lower().strip(".!") in BACK_TO_IT
    settled = settles_danger(job, event, context, meaning, back=back)
    if settled is not None:
        after, effects = settled
        return after, (*effects, to_senior(job, event, words))
    if meaning.hazard is not None:
        after, effects = talk(job, event, context)
        told = Text("relay.hazard", {"name": _name(job, context), "hazard": Text(f"hazard.name.{meaning.hazard}")})
        return after, (*effects, to_senior(job, event, told, words))
    if back:
        return _took_back(job, event, context)
    if word in {Steer.HOW, Steer.WHY, Steer.WHERE, Steer.SHEET}:
        return talk(job, event, context)
    if _asked_by_senior(job):
        turn = Turn(job, event, context)
        question = turn.job.question
        if question is not None and _for_check(turn, question, text) and answer_check(turn, question, text):
            return _answered(turn, question.checks[0])
    return job, (to_senior(job, event, words),)


def _took_back(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    took = to_senior(job, event, Text("relay.took_back", {"name": _name(job, context)}))
    after, effects = given_back(job, event, context)
    return after, (*still_heard(took, job, context), *effects)


def _pressed(job: Job, event: Pressed, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    question = job.question
    if question is not None and event.question == question.id and _asked_by_senior(job) and (
            1 <= event.choice <= len(question.values)):
        turn = Turn(job, event, context)
        press_result(turn, question.values[event.choice - 1])
        return _answered(turn, question.checks[0])
    if question is None or event.question != question.id or not 1 <= event.choice <= len(question.values):
        return talk(job, event, context)
    value = question.values[event.choice - 1]
    settled = settles_by_press(job, event, context, value)
    if settled is not None:
        after, effects = settled
        label = render_choice(labels(Turn(job, event, context), question)[value], context.firm)
        words = Text("relay.words", {"name": _name(job, context), "text": label})
        return after, (*effects, to_senior(job, event, words))
    return _took_back(job, event, context) if value == "carry_on" else talk(job, event, context)


def _asked_by_senior(job: Job) -> bool:
    return job.question is not None and job.question.kind == "check"


def _for_check(turn: Turn, question: Question, text: str) -> bool:
    """Whether words are for the listed check: once the senior has written since, only those that speak of it are."""
    return SPOKEN_SINCE not in question.data or any(speaks_of(turn, key, text) for key in question.checks)


def _answered(turn: Turn, check: str) -> tuple[Job, tuple[Effect, ...]]:
    """The junior's answer to the senior's check: filed, and told with how belief stands now."""
    fact = turn.job.result_of(check)
    senior = turn.context.people.get(turn.job.handed_to or "")
    if fact is not None:
        belief = believe(turn.model, evidence_of(turn.job))
        told = Text("senior.answer", {"name": turn.pack.checks[check].name, "said": said_of(turn, fact),
                                      "leading": leading(turn, belief)})
        turn.effects.append(to_senior(turn.job, turn.event, told))
    if out_of_gas(turn):
        return turn.job, tuple(turn.effects)
    turn.note("senior.told", name=senior.name if senior else "")
    turn.send()
    return turn.job, tuple(turn.effects)


def _name(job: Job, context: Context) -> str:
    return context.people[job.tech].name


def holding(job: Job) -> bool:
    """Whether a senior holds the case now."""
    return job.handoff is not None and job.handoff.state is Handing.TAKEN and job.handed_to is not None
