"""A chat with the whole core in memory: route and step as the service calls them, with a clock that is told.

For simulated visits, written conversations and stories in tests. What it leaves out is the store, on purpose.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta

from bot.conversation.context import Context, Firm, JobBrief, Person
from bot.conversation.desk import Desk
from bot.conversation.effects import Alter, Effect, Offer, Record, Say
from bot.conversation.events import Edited, Event, Other, PhotoSeen, PhotoSent, Pressed, Redacted, Typed
from bot.conversation.ids import derive
from bot.conversation.job import Job, Phase
from bot.conversation.markup import plain
from bot.conversation.release import Release
from bot.conversation.routing import Pointed, route
from bot.conversation.turn import label_of
from bot.conversation.wording import render, render_choice
from bot.step import open_job, step

START = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Said:
    """One message of the bot as a person sees it."""

    id: str
    paragraphs: tuple[str, ...]
    choices: tuple[str, ...]
    question: str | None

    @property
    def text(self) -> str:
        """All paragraphs, a line each."""
        return "\n".join(self.paragraphs)


@dataclass(slots=True)
class Chat:
    """One tech's chat. `send`, `press`, `edit` and the like give back what the bot says to it."""

    release: Release
    tech: Person
    firm: Firm = field(default_factory=Firm)
    now: datetime = START
    desk: Desk | None = None
    jobs: dict[str, Job] = field(default_factory=dict)
    effects: list[Effect] = field(default_factory=list)
    messages: dict[str, tuple[str | None, str | None]] = field(default_factory=dict)
    """Message id -> (job, question) it belongs to, as the store would know."""
    last_sent: str = ""
    count: int = 0

    @property
    def job(self) -> Job | None:
        """The job the chat is on."""
        return self.jobs.get(self.desk.focus) if self.desk and self.desk.focus else None

    def send(self, text: str, *, reply_to: str | None = None, after: float = 20.0) -> list[Said]:
        """Type a message, `after` seconds after the last one."""
        return self._apply(lambda i, m: Typed(id=i, at=self.now, person=self.tech.id, conversation="chat", message=m,
                                              text=text, reply_to=reply_to), after, reply_to)

    def press(self, choice: int, question: str | None = None, *, after: float = 20.0) -> list[Said]:
        """Press a choice (from 1) of the open question, or of an earlier one."""
        asked = question or self._open_question()
        return self._apply(lambda i, m: Pressed(id=i, at=self.now, person=self.tech.id, conversation="chat",
                                                question=asked, choice=choice), after, question=asked)

    def edit(self, text: str, target: str | None = None, *, after: float = 20.0) -> list[Said]:
        """Change the last message, or an earlier one."""
        which = target or self.last_sent
        return self._apply(lambda i, m: Edited(id=i, at=self.now, person=self.tech.id, conversation="chat",
                                               target=which, text=text), after, which)

    def redact(self, target: str | None = None, *, after: float = 20.0) -> list[Said]:
        """Take back the last message, or an earlier one."""
        which = target or self.last_sent
        return self._apply(lambda i, m: Redacted(id=i, at=self.now, person=self.tech.id, conversation="chat",
                                                 target=which), after, which)

    def photo(self, *photos: PhotoSeen, caption: str = "", after: float = 20.0) -> list[Said]:
        """Send photos with a caption."""
        return self._apply(lambda i, m: PhotoSent(id=i, at=self.now, person=self.tech.id, conversation="chat",
                                                  message=m, photos=photos, caption=caption), after)

    def other(self, what: str, *, after: float = 20.0) -> list[Said]:
        """Send something the bot cannot read."""
        return self._apply(lambda i, m: Other(id=i, at=self.now, person=self.tech.id, conversation="chat",
                                              message=m, what=what), after)  # type: ignore[arg-type]

    def records(self, what: str) -> list[Record]:
        """The labels of one kind kept so far."""
        return [e for e in self.effects if isinstance(e, Record) and e.what == what]

    def offers(self) -> list[Offer]:
        """The hand-offs asked for so far."""
        return [e for e in self.effects if isinstance(e, Offer)]

    def _open_question(self) -> str:
        if self.desk and self.desk.question:
            return self.desk.question
        return self.job.question.id if self.job and self.job.question else ""

    def _apply(self, make: Callable[[str, str], Event], after: float, target: str | None = None,
               question: str | None = None) -> list[Said]:
        self.now += timedelta(seconds=after)
        self.count += 1
        event_id = derive("event", self.tech.id, self.count)
        event = make(event_id, derive("message", event_id))
        if event.message:
            self.last_sent = event.message
        desk = self.desk or Desk("chat", self.tech.id)
        open_jobs = tuple(self._brief(j) for j in self.jobs.values() if j.phase is not Phase.ENDED)
        context = Context(self.now, self.release, self.firm, {self.tech.id: self.tech}, open_jobs)
        routed = route(event, self._pointed(target, question), desk, open_jobs, context)
        self.desk = routed.desk
        effects = routed.effects
        job_id = routed.job or routed.opens
        if job_id is not None:
            others = tuple(j for j in open_jobs if j.id != job_id)
            context = replace(context, open_jobs=others)
            job = self.jobs.get(job_id) or open_job(job_id, routed.event, context)
            after_step, stepped = step(job, routed.event, context)
            self.jobs[job_id] = replace(after_step, version=job.version + 1)
            effects = (*effects, *stepped)
            if event.message:
                self.messages[event.message] = (job_id, None)
        self.effects.extend(effects)
        return [self._said(e) for e in effects if isinstance(e, Say)]

    def _brief(self, job: Job) -> JobBrief:
        context = Context(self.now, self.release, self.firm, {self.tech.id: self.tech})
        return JobBrief(job.id, job.family, plain(render(label_of(job, context), self.firm)), str(job.phase))

    def _pointed(self, target: str | None, question: str | None) -> Pointed:
        if question is not None:
            found = next(((j, q) for j, q in self.messages.values() if q == question), (None, None))
            return Pointed(found[0], question)
        job, asked = self.messages.get(target, (None, None)) if target else (None, None)
        return Pointed(job, asked)

    def _said(self, say: Say) -> Said:
        self.messages[say.id] = (say.job, say.question)
        paragraphs = tuple(plain(render(t, self.firm, self.tech.language)) for t in say.texts)
        choices = tuple(render_choice(c.label, self.firm, self.tech.language) for c in say.choices)
        return Said(say.id, paragraphs, choices, say.question)

    def closed(self) -> list[Alter]:
        """The questions that were closed so far."""
        return [e for e in self.effects if isinstance(e, Alter)]
