"""A chat with the whole core in memory: route and step as the service calls them, with a clock that is told.

For simulated visits, written conversations and stories in tests. What it leaves out is the store, on purpose.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta

from bot.conversation.context import Context
from bot.conversation.desk import Desk
from bot.conversation.effects import Alter, CancelTimer, Effect, Offer, Record, Say, SetTimer
from bot.conversation.events import Due, Edited, Event, Other, PhotoSeen, PhotoSent, Pressed, Redacted, Typed
from bot.conversation.firm import Firm, JobBrief, PastVisit, Person
from bot.conversation.ids import derive
from bot.conversation.job import Job, Outcome, Phase
from bot.conversation.markup import plain
from bot.conversation.release import Release
from bot.conversation.routing import Pointed, route
from bot.conversation.turn import label_of
from bot.conversation.wording import render, render_choice
from bot.diagnosis.advice import Adviser
from bot.simulation.remembered import remembered
from bot.step import open_job, step

START = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Said:
    """One message of the bot as a person sees it."""

    id: str
    to: str
    paragraphs: tuple[str, ...]
    choices: tuple[str, ...]
    question: str | None

    @property
    def text(self) -> str:
        """All paragraphs, a line each."""
        return "\n".join(self.paragraphs)


@dataclass(slots=True)
class Chat:
    """The chats of a tech and, if there are any, the rest of the crew; each person has one conversation.

    `send`, `press`, `edit` and the like give back what the bot says to who did it; `heard` keeps all it said to whom.
    """

    release: Release
    tech: Person
    firm: Firm = field(default_factory=Firm)
    crew: tuple[Person, ...] = ()
    adviser: Adviser = remembered
    now: datetime = START
    desks: dict[str, Desk] = field(default_factory=dict)
    jobs: dict[str, Job] = field(default_factory=dict)
    effects: list[Effect] = field(default_factory=list)
    messages: dict[str, tuple[str | None, str | None]] = field(default_factory=dict)
    """Message id -> (job, question) it belongs to, as the store would know."""
    heard: dict[str, list[Said]] = field(default_factory=dict)
    latest: list[Said] = field(default_factory=list)
    """What the last thing that happened made the bot say, to anybody."""
    timers: dict[str, SetTimer] = field(default_factory=dict)
    last_sent: str = ""
    count: int = 0

    @property
    def job(self) -> Job | None:
        """The job the tech's chat is on."""
        desk = self.desks.get(self.tech.id)
        return self.jobs.get(desk.focus) if desk and desk.focus else None

    @property
    def people(self) -> dict[str, Person]:
        """Everybody, by id."""
        return {p.id: p for p in (self.tech, *self.crew)}

    def send(self, text: str, *, who: str = "", reply_to: str | None = None, after: float = 20.0) -> list[Said]:
        """Type a message, `after` seconds after the last one."""
        return self._apply(who, after, reply_to, lambda e, m: Typed(**e, message=m, text=text, reply_to=reply_to))

    def press(self, choice: int, question: str | None = None, *, who: str = "", after: float = 20.0) -> list[Said]:
        """Press a choice (from 1) of the newest open question of that chat, or of an earlier one."""
        asked = question or self._open_question(who or self.tech.id)
        return self._apply(who, after, asked, lambda e, m: Pressed(**e, question=asked, choice=choice))

    def edit(self, text: str, target: str | None = None, *, who: str = "", after: float = 20.0) -> list[Said]:
        """Change the last message, or an earlier one."""
        which = target or self.last_sent
        return self._apply(who, after, which, lambda e, m: Edited(**e, target=which, text=text))

    def redact(self, target: str | None = None, *, who: str = "", after: float = 20.0) -> list[Said]:
        """Take back the last message, or an earlier one."""
        which = target or self.last_sent
        return self._apply(who, after, which, lambda e, m: Redacted(**e, target=which))

    def photo(self, *photos: PhotoSeen, caption: str = "", who: str = "", after: float = 20.0) -> list[Said]:
        """Send photos with a caption."""
        return self._apply(who, after, None, lambda e, m: PhotoSent(**e, message=m, photos=photos, caption=caption))

    def other(self, what: str, *, kept: str | None = None, who: str = "", after: float = 20.0) -> list[Said]:
        """Send something the bot cannot read; `kept`: the hash of a recording that the store keeps."""
        return self._apply(who, after, None, lambda e, m: Other(
            **e, message=m, what=what, kept=kept))  # type: ignore[arg-type]

    def wait(self, minutes: float) -> list[Said]:
        """Let time go by; the timers that come due have their effect, in order. What the bot says of itself then."""
        told: list[Said] = []
        until = self.now + timedelta(minutes=minutes)
        while due := sorted((t.at, i) for i, t in self.timers.items() if t.at <= until):
            timer = self.timers.pop(due[0][1])
            self.now = max(self.now, timer.at)
            self.messages.setdefault(timer.id, (timer.job, None))
            self._apply(timer.person, 0.0, timer.id, lambda e, m, t=timer: Due(
                **e, timer=t.id, name=t.name, job=t.job, data=t.data))
            told.extend(self.latest)
        self.now = until
        return told

    def records(self, what: str) -> list[Record]:
        """The labels of one kind kept so far."""
        return [e for e in self.effects if isinstance(e, Record) and e.what == what]

    def offers(self) -> list[Offer]:
        """The hand-offs asked for so far."""
        return [e for e in self.effects if isinstance(e, Offer)]

    def _open_question(self, person: str) -> str:
        return next((said.question for said in reversed(self.heard.get(person, [])) if said.question), "")

    def _apply(self, who: str, after: float, target: str | None, make: Callable[..., Event]) -> list[Said]:
        person = who or self.tech.id
        self.now += timedelta(seconds=after)
        self.count += 1
        event_id = derive("event", self.tech.id, self.count)
        event = make({"id": event_id, "at": self.now, "person": person, "conversation": person},
                     derive("message", event_id))
        if event.message:
            self.last_sent = event.message
        desk = self.desks.get(person) or Desk(person, person)
        open_jobs = tuple(self._brief(j, person) for j in self.jobs.values()
                          if j.phase is not Phase.ENDED and person in (j.tech, j.handed_to))
        context = Context(self.now, self.release, self.firm, self.people, open_jobs, chance=event_id.encode(),
                          adviser=self.adviser)
        routed = route(event, self._pointed(event, target), desk, open_jobs, context)
        self.desks[person] = routed.desk
        effects = routed.effects
        job_id = routed.job or routed.opens
        if job_id is not None:
            others = tuple(j for j in open_jobs if j.id != job_id)
            past = self._past(job_id) if isinstance(event, Due) else ()
            context = replace(context, open_jobs=others, past=past)
            job = self.jobs.get(job_id) or open_job(job_id, routed.event, context)
            after_step, stepped = step(job, routed.event, context)
            self.jobs[job_id] = replace(after_step, version=job.version + 1)
            effects = (*effects, *stepped)
            if event.message:
                self.messages[event.message] = (job_id, None)
        return self._carry_out(effects, person)

    def _carry_out(self, effects: tuple[Effect, ...], person: str) -> list[Said]:
        self.effects.extend(effects)
        self.latest = []
        for effect in effects:
            if isinstance(effect, Say):
                said = self._said(effect)
                self.heard.setdefault(effect.to, []).append(said)
                self.latest.append(said)
            elif isinstance(effect, SetTimer):
                self.timers[effect.id] = effect
            elif isinstance(effect, CancelTimer):
                self.timers.pop(effect.id, None)
        return [said for said in self.latest if said.to == person]

    def _brief(self, job: Job, person: str) -> JobBrief:
        context = Context(self.now, self.release, self.firm, self.people)
        question = job.question.id if job.question else None
        return JobBrief(job.id, job.family, plain(render(label_of(job, context), self.firm)), str(job.phase), question,
                        job.question.checks if job.question else (), person != job.tech)

    def _pointed(self, event: Event, target: str | None) -> Pointed:
        if isinstance(event, Pressed):
            found = next((j for j, q in self.messages.values() if q == event.question), None)
            return Pointed(found, event.question)
        if isinstance(event, Typed) and target is None:
            return Pointed(offer=self._offer(event.person))
        job, asked = self.messages.get(target, (None, None)) if target else (None, None)
        return Pointed(job, asked)

    def _past(self, job_id: str) -> tuple[PastVisit, ...]:
        """Visits at the job's site, as the store would find them."""
        def site(job: Job) -> str | None:
            return next((f.value.lower() for f in reversed(job.standing("site"))), None)

        here = site(self.jobs[job_id])
        there = [j for j in reversed(self.jobs.values()) if j.id != job_id and here is not None and site(j) == here
                 and j.phase in {Phase.ENDED, Phase.WAITING} and j.outcome is not Outcome.CONTINUED]
        there.sort(key=lambda j: j.phase is Phase.ENDED)
        return tuple(PastVisit(j.id, j.touched or self.now, j.family, "", j.position.fault, j.position.repair,
                               self.people[j.tech].name, j.outcome, j.phase is Phase.WAITING) for j in there)

    def _offer(self, person: str) -> tuple[str, str, int] | None:
        """The newest open question about somebody else's job, as the store would find it."""
        gone = {e.message for e in self.effects if isinstance(e, Alter)}
        for said in reversed(self.heard.get(person, [])):
            job = self.messages[said.id][0]
            open_later = job and self.jobs[job].phase is Phase.ENDED and self.jobs[job].question is not None
            if said.question and said.id not in gone and job and (self.jobs[job].tech != person or open_later):
                return job, said.question, len(said.choices)
        return None

    def _said(self, say: Say) -> Said:
        self.messages[say.id] = (say.job, say.question)
        language = self.people[say.to].language
        paragraphs = tuple(plain(render(t, self.firm, language)) for t in say.texts)
        choices = tuple(render_choice(c.label, self.firm, language) for c in say.choices)
        return Said(say.id, say.to, paragraphs, choices, say.question)

    def closed(self) -> list[Alter]:
        """The questions that were closed so far."""
        return [e for e in self.effects if isinstance(e, Alter)]
