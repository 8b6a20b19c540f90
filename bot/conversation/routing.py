"""Which visit an event is about: pure, before any job is touched.

A press, a reply, an edit and a timer name their job. Other messages go to the job that the chat is on, unless they
clearly speak of another machine: then the tech is asked, and the message waits at the desk until that is settled.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Final

from bot.conversation.at_desk import short_word, steered
from bot.conversation.context import Context
from bot.conversation.crew.acts import crew_act
from bot.conversation.desk import Desk
from bot.conversation.effects import Alter, Choice, Effect, Say, Text, Trace
from bot.conversation.events import TAKE_UP, Due, Event, PhotoSent, Pressed, Redacted, Typed, Undelivered
from bot.conversation.firm import JobBrief
from bot.conversation.ids import derive
from bot.conversation.questions.choosing import choose, number_of
from bot.conversation.questions.newly import answers_new
from bot.conversation.spoken_of import another_machine, names_machine, open_job_named
from bot.conversation.steering.words import Steer, steering
from bot.conversation.wording.held import says_whether_it_held

A_MINUTE: Final = timedelta(minutes=1)
LIMIT: Final = 120
"""Messages a minute from one chat that are answered; more are kept, and the sender is told once."""
HANDED_OFF: Final = "handed_off"
BUSY: Final = frozenset({HANDED_OFF, "hazard"})
"""Phases in which words are never held back to ask which machine they are about."""
OFFER_WORDS: Final = (
    frozenset({"i'll take it", "ill take it", "take it", "mine", "i have it", "got it", "yes", "take", "ok"}),
    frozenset({"not now", "no", "later", "busy", "cant", "can't"}))


@dataclass(frozen=True, slots=True)
class Pointed:
    """What the event itself names, looked up by the service: the job and question of the message it refers to."""

    job: str | None = None
    question: str | None = None
    offer: tuple[str, str, int] | None = None
    """For plain words: the newest open question in this chat about somebody else's job: job, question, choices."""


@dataclass(frozen=True, slots=True)
class Routed:
    """Where an event goes: to the job `job`, to a new one `opens`, or nowhere, with replies of the desk's own."""

    desk: Desk
    event: Event
    job: str | None = None
    opens: str | None = None
    effects: tuple[Effect, ...] = ()


def route(event: Event, pointed: Pointed, desk: Desk, open_jobs: Sequence[JobBrief], context: Context) -> Routed:
    """Decide for one event. `open_jobs`: the person's open jobs, oldest first."""
    if isinstance(event, Due | Undelivered):
        taken_up = isinstance(event, Due) and event.name == TAKE_UP
        return Routed(replace(desk, focus=pointed.job) if taken_up else desk, event, job=pointed.job)
    desk, too_many = _counted(_begun(desk, open_jobs), event)
    if too_many:
        once = _say(event, Text("desk.slow_down")) if desk.count == LIMIT + 1 else ()
        return Routed(desk, event, effects=(*once, Trace(what="routed", data={"held_back": "too many a minute"})))
    act = crew_act(event, _focus(desk, open_jobs), context) if isinstance(event, Typed) else None
    if act is not None:
        return Routed(desk, event, effects=act)
    if desk.question is not None:
        settled = _settle(event, pointed, desk, open_jobs)
        if settled is not None:
            return settled
        desk = replace(desk, held=None, question=None, message=None, values=())
    if pointed.job is not None:
        return Routed(replace(desk, focus=pointed.job), event, job=pointed.job)
    if isinstance(event, Typed) and _answers_freely(event, pointed, desk):
        job = pointed.offer[0] if pointed.offer else None
        return Routed(replace(desk, focus=job), event, job=job)
    if isinstance(event, Typed):
        pressed = _answers_offer(event, pointed, desk, open_jobs, context)
        if pressed is not None:
            job = pointed.offer[0] if pointed.offer else None
            return Routed(replace(desk, focus=job), pressed, job=job)
        return _typed(event, desk, open_jobs, context)
    focus = _focus(desk, open_jobs)
    if focus is None and isinstance(event, PhotoSent):
        return _opening(desk, event)
    if focus is None and isinstance(event, Redacted):
        return Routed(desk, event)  # taken back, and it had told nothing
    if focus is None:
        return Routed(desk, event, effects=_say(event, Text("desk.greeting")))
    return Routed(replace(desk, focus=focus.id), event, job=focus.id)


def _answers_freely(event: Typed, pointed: Pointed, desk: Desk) -> bool:
    """Words that answer a question without choices about the case that the chat was on (a senior's note)."""
    if pointed.offer is None or pointed.offer[2] > 0 or desk.focus != pointed.offer[0]:
        return False
    return steering(event.text) is None or steering(event.text) is Steer.SKIP


def _answers_offer(event: Typed, pointed: Pointed, desk: Desk, open_jobs: Sequence[JobBrief], context: Context
                   ) -> Pressed | None:
    """A number or word that answers an offer, as the press it stands for (chats without buttons)."""
    focus = _focus(desk, open_jobs)
    if pointed.offer is None or pointed.offer[2] == 0 or (
            focus is not None and focus.question is not None and focus.phase != HANDED_OFF):
        return None
    if focus is not None and focus.taken and focus.id == pointed.offer[0]:
        return None  # a number may answer what the junior just asked: the case knows
    _, question, count = pointed.offer
    number = _held_answer(event.text, count, context) if count == WHETHER_IT_HELD else offer_answer(event.text, count)
    if number is None or (focus is not None and focus.phase == HANDED_OFF and not event.text.strip().isdigit()):
        return None
    return Pressed(id=event.id, at=event.at, person=event.person, conversation=event.conversation,
                   message=event.message, question=question, choice=number)


SAME_JOB: Final = "same_job"
"""The choice to stay with the machine that the chat is on."""
WHETHER_IT_HELD: Final = 3
"""Choices of the question that comes days after a repair; an offer of a case has two."""


def _held_answer(text: str, count: int, context: Context) -> int | None:
    """Whether a repair held, as the choice: held, came back, not known; None for what names a machine, or a place."""
    number = number_of(text, count)
    if number is not None or any(c.isdigit() for c in text):
        return number
    value = says_whether_it_held(text)
    if value is None or names_machine(text, context.release.knowledge.packs.values()):
        return None
    return ("held", "came_back", "dont_know").index(value) + 1


def offer_answer(text: str, count: int) -> int | None:
    """Which choice of an offer (from 1) the words mean; None if none."""
    return number_of(text, count) or next(
        (n for n, words in enumerate(OFFER_WORDS, 1) if text.strip().lower().strip(".!") in words), None)


def _typed(event: Typed, desk: Desk, open_jobs: Sequence[JobBrief], context: Context) -> Routed:
    word = steering(event.text)
    focus = _focus(desk, open_jobs)
    if word is Steer.JOBS:
        return _list_jobs(event, desk, open_jobs)
    if word is Steer.NEW and not _answers_new(event.text, focus, context):
        return Routed(replace(desk, focus=None), event, effects=_say(event, Text("desk.new")))
    if focus is None:
        return _without_job(event, desk, word, context)
    if word is None and focus.phase not in BUSY:
        meant = open_job_named(event.text, focus, open_jobs, context)
        if meant is not None and meant.alone:
            return _on_to(meant.job.id, event, desk)
        if meant is not None or another_machine(event.text, focus, context):
            return _ask_which(event, desk, focus, meant.job if meant else None,
                              new=meant is None or another_machine(event.text, focus, context))
    return Routed(replace(desk, focus=focus.id), event, job=focus.id)


def _answers_new(text: str, focus: JobBrief | None, context: Context) -> bool:
    """'New', where the open question asks whether it is."""
    pack = context.release.knowledge.packs.get(focus.family or "") if focus is not None else None
    if focus is None or pack is None:
        return False
    return answers_new((pack.checks[key] for key in focus.checks if key in pack.checks), text)


def _without_job(event: Typed, desk: Desk, word: Steer | None, context: Context) -> Routed:
    """No job is open here: the trade's talk opens one, anything else gets a short word."""
    if word is Steer.BACK and desk.focus is not None:
        return Routed(desk, event, job=desk.focus)
    texts = steered(event, word, context) if word is not None else short_word(event, context)
    return Routed(desk, event, effects=_say(event, *texts)) if texts else _opening(desk, event)


def _opening(desk: Desk, event: Event) -> Routed:
    job = derive(event.id, "job")
    return Routed(replace(desk, focus=job), event, opens=job)


# ---- questions of the desk ---------------------------------------------------------------------------------------

def _ask_which(event: Typed, desk: Desk, focus: JobBrief, other: JobBrief | None, *, new: bool) -> Routed:
    """Whether it is about another open job, a new machine, or the one that the chat is on."""
    choices = [Choice(other.id, Text("raw", {"text": other.label}))] if other is not None else []
    if new:
        choices.append(Choice("new_job", Text("choice.new_job")))
    same = Text("choice.same_job") if other is None else Text("raw", {"text": focus.label})
    asked = Text("desk.new_or_same", {"job": focus.label}) if other is None else Text("desk.which_job")
    return _ask(event, desk, asked, (*choices, Choice(SAME_JOB, same)), held=event)


def _on_to(job: str, event: Event, desk: Desk) -> Routed:
    """The chat goes on to this job of theirs, with what is known of it and its open question."""
    again = Typed(id=event.id, at=event.at, person=event.person, conversation=event.conversation,
                  message=event.message, text="where")
    return Routed(replace(desk, focus=job), again, job=job)


def _list_jobs(event: Typed, desk: Desk, open_jobs: Sequence[JobBrief]) -> Routed:
    if not open_jobs:
        return Routed(desk, event, effects=_say(event, Text("desk.no_jobs")))
    choices = tuple(Choice(job.id, Text("raw", {"text": job.label})) for job in open_jobs)
    return _ask(event, desk, Text("desk.jobs"), choices, held=None)


def _ask(event: Event, desk: Desk, text: Text, choices: tuple[Choice, ...], held: Event | None) -> Routed:
    question, message = derive(event.id, "desk_question"), derive(event.id, "desk_say")
    say = Say(id=message, to=event.person, conversation=event.conversation, texts=(text,), question=question,
              choices=choices)
    waiting = replace(desk, held=held, question=question, message=message, values=tuple(c.value for c in choices))
    return Routed(waiting, event, effects=(say,))


def _settle(event: Event, pointed: Pointed, desk: Desk, open_jobs: Sequence[JobBrief]) -> Routed | None:
    """An answer to the desk's own question, or None if the event is not one."""
    value: str | None = None
    if isinstance(event, Pressed) and event.question == desk.question and 1 <= event.choice <= len(desk.values):
        value = desk.values[event.choice - 1]
    elif isinstance(event, Typed) and pointed.job is None:
        focus = _focus(desk, open_jobs)
        same = focus.label if focus is not None and any(job.id in desk.values for job in open_jobs) else "same machine"
        labels = {job.id: job.label for job in open_jobs} | {"new_job": "another machine", SAME_JOB: same}
        value = choose(event.text, desk.values, labels)
        if value is None and steering(event.text) is Steer.NEW and "new_job" in desk.values:
            value = "new_job"
    if value is None:
        return _no_such(event, desk)
    held = desk.held
    closed: tuple[Effect, ...] = (Alter(message=desk.message, closed="answered"),) if desk.message else ()
    desk = replace(desk, held=None, question=None, message=None, values=())
    if held is None:
        return replace(_on_to(value, event, desk), effects=closed)
    held = replace(held, id=derive(event.id, "held"), at=event.at)
    if value == "new_job":
        routed = _opening(desk, held)
        return replace(routed, effects=closed)
    if value != SAME_JOB:
        return Routed(replace(desk, focus=value), held, job=value, effects=closed)
    focus = _focus(desk, open_jobs)
    return Routed(desk, held, job=focus.id if focus else None, effects=closed)


def _no_such(event: Event, desk: Desk) -> Routed | None:
    """A number that the desk's question has not got is none of the job's choices either; None for anything else."""
    if not isinstance(event, Typed) or not event.text.strip(" .)").isdecimal():
        return None
    return Routed(desk, event, effects=_say(event, Text("desk.no_such", {"count": len(desk.values)})))


def _focus(desk: Desk, open_jobs: Sequence[JobBrief]) -> JobBrief | None:
    """The job that the chat is on: the last one spoken of, else the only one that is open."""
    for job in open_jobs:
        if job.id == desk.focus:
            return job
    return open_jobs[0] if len(open_jobs) == 1 and desk.focus is not None else None


def _begun(desk: Desk, open_jobs: Sequence[JobBrief]) -> Desk:
    """A chat that is new to us (another phone of the person's) is on the newest job that they have open."""
    own = [job for job in open_jobs if not job.taken]
    return replace(desk, focus=own[-1].id) if desk.minute is None and desk.focus is None and own else desk


def _counted(desk: Desk, event: Event) -> tuple[Desk, bool]:
    if desk.minute is None or abs(event.at - desk.minute) >= A_MINUTE:  # clocks are set back, too
        return replace(desk, minute=event.at, count=1), False
    desk = replace(desk, count=desk.count + 1)
    return desk, desk.count > LIMIT


def _say(event: Event, *texts: Text) -> tuple[Effect, ...]:
    return (Say(id=derive(event.id, "desk_say"), to=event.person, conversation=event.conversation, texts=texts),)
