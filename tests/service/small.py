"""A core of a few lines for tests of the service: it opens jobs, echoes and counts what they hear, and obeys words.

    new ...        opens another job           ask          asks a question with two choices
    timer SECONDS  wakes the job               cancel       takes the last timer back
    end            ends the job                at PLACE     notes the address
    boom           raises                      elsewhere ID says something to that person
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import cast

from bot.conversation.context import Context
from bot.conversation.desk import Desk
from bot.conversation.effects import Alter, CancelTimer, Choice, Effect, Record, Say, SetTimer, Text, Trace
from bot.conversation.events import Due, Edited, Event, PhotoSent, Pressed, Typed, Undelivered
from bot.conversation.firm import Firm, JobBrief
from bot.conversation.ids import derive
from bot.conversation.job import Fact, Job, Phase, Question
from bot.conversation.markup import Paragraph, Span
from bot.conversation.release import Release
from bot.conversation.routing import Pointed, Routed
from bot.language.index import Index
from bot.service.core import Core
from bot.service.releases import Prepared
from knowledge.schema import Common, Knowledge

NOON = datetime(2031, 5, 6, 12, tzinfo=UTC)
NOTHING = Knowledge(packs={}, common=Common())


def prepared() -> Prepared:
    """A release that knows nothing."""
    return Prepared.of(NOTHING)


def compiled(release: str, known: Knowledge) -> Release:
    """Nothing to compile."""
    return Release(release, known, {}, cast(Index, None))


def route(event: Event, pointed: Pointed, desk: Desk, open_jobs: Sequence[JobBrief], context: Context) -> Routed:
    """To the job pointed at, else the one in focus, else a new one."""
    if pointed.job is not None or isinstance(event, Due | Undelivered):
        return Routed(desk, event, job=pointed.job)
    focus = next((job.id for job in open_jobs if job.id == desk.focus), None)
    if focus is None or (isinstance(event, Typed) and event.text.startswith("new")):
        opens = derive(event.id, "job")
        return Routed(replace(desk, focus=opens), event, opens=opens)
    return Routed(desk, event, job=focus)


def open_job(job_id: str, event: Event, context: Context) -> Job:
    """An empty job."""
    return Job(id=job_id, tech=event.person, conversation=event.conversation, release=context.release.id,
               opened=context.now)


def step(job: Job, event: Event, context: Context) -> tuple[Job, tuple[Effect, ...]]:
    """Keep what was heard as a fact, and echo it with its number."""
    heard = heard_in(event)
    job = replace(job, facts=(*job.facts, Fact(event.id, "given", "heard", heard)))
    number = len(heard_by(job))
    say = Say(id=derive(event.id, "say"), to=job.tech, conversation=job.conversation, job=job.id,
              texts=(Text("echo", {"text": f"{number}: {heard}"}),))
    word, _, rest = heard.partition(" ")
    more: tuple[Effect, ...] = (Trace(what="understood", data={"words": heard}),)
    match word:
        case "boom":
            raise RuntimeError("the small core was asked to fail")
        case "ask":
            question = derive(event.id, "question")
            choices = (Choice("yes", Text("label", {"text": "Yes"})), Choice("no", Text("label", {"text": "No"})))
            say = replace(say, question=question, choices=choices)
            job = job.at(question=Question(question, "menu", say.id, ("yes", "no")))
        case "pressed" if job.question is not None:
            more += (Alter(message=job.question.message, closed="answered", answer=Text("label", {"text": rest})),)
            job = job.at(question=None)
        case "timer":
            at = context.now + timedelta(seconds=float(rest))
            more += (SetTimer(id=derive(event.id, "timer"), at=at, name="wake", job=job.id, person=job.tech,
                              conversation=job.conversation, data={"n": number}),)
        case "cancel":
            turn = [fact.turn for fact in job.facts if fact.value.startswith("timer")][-1]
            more += (CancelTimer(id=derive(turn, "timer")),)
        case "at":
            job = replace(job, facts=(*job.facts, Fact(event.id, "site", "typed", rest)))
        case "elsewhere":
            psst = (Text("echo", {"text": "psst"}),)
            more += (Say(id=derive(event.id, "elsewhere"), to=rest, job=job.id, texts=psst),)
        case "end":
            job = job.at(phase=Phase.ENDED)
            more += (Record(id=derive(event.id, "record"), job=job.id, what="outcome", data={"outcome": "fixed"}),)
    return job, (say, *more)


def heard_in(event: Event) -> str:
    """What an event says, in a line."""
    match event:
        case Typed():
            return event.text
        case Pressed():
            return f"pressed {event.choice}"
        case Edited():
            return f"edited {event.text}"
        case PhotoSent():
            return f"photo {len(event.photos)}"
        case Due():
            return f"due {event.name}"
        case Undelivered():
            return f"undelivered {event.reason}"
        case _:
            return event.kind


def heard_by(job: Job) -> tuple[str, ...]:
    """All that a job heard, in order."""
    return tuple(fact.value for fact in job.standing("given"))


def render(text: Text, firm: Firm, language: str) -> Paragraph:
    """The text itself."""
    return (Span(str(text.params.get("text", text.key))),)


def label(job: Job, context: Context) -> Text:
    """The first thing heard."""
    return Text("label", {"text": heard_by(job)[0]})


SMALL = Core(route, open_job, step, render, label)
