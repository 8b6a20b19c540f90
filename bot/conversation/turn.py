"""One step in the making: the job as it changes, and the effects as they gather. Lives for one event only."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from bot.conversation.context import Context
from bot.conversation.effects import Alter, Choice, Effect, Offer, Record, Say, Text, Trace
from bot.conversation.events import Event
from bot.conversation.firm import Person
from bot.conversation.ids import derive
from bot.conversation.job import Asked, Fact, FactKind, Job, Mark, Question, QuestionKind
from bot.conversation.phases import Move, moved
from bot.diagnosis.compiled import Model
from knowledge.schema import Pack


def raw(text: str) -> Text:
    """A sentence of the pack, as it stands there."""
    return Text("raw", {"text": text})


def capital(text: str) -> str:
    """The text with its first letter large, the rest as it stands."""
    return text[:1].upper() + text[1:]


@dataclass(slots=True)
class Turn:
    """What a handler works on. Paragraphs gather until `ask` or `send` makes a message of them."""

    job: Job
    event: Event
    context: Context
    effects: list[Effect] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)
    go_on: bool = False
    """Set by a handler when the talk should find its next step."""
    marked: bool = False

    @property
    def key(self) -> str:
        """What facts of this turn are filed under: the person's message, so that an edit of it finds them."""
        return self.event.message or self.event.id

    @property
    def tech(self) -> Person:
        """The person whose visit this is."""
        return self.context.people[self.job.tech]

    @property
    def pack(self) -> Pack:
        """The family's pack. Only once the family is known."""
        assert self.job.family is not None
        return self.context.release.knowledge.packs[self.job.family]

    @property
    def model(self) -> Model:
        """The family's compiled model. Only once the family is known."""
        assert self.job.family is not None
        return self.context.release.models[self.job.family]

    def note(self, key: str, **params: Any) -> None:
        """One more paragraph for the next message."""
        self.texts.append(Text(key, params))

    def quote(self, text: str) -> None:
        """One more paragraph, in the pack's own words."""
        if text:
            self.texts.append(raw(text))

    def mark(self) -> None:
        """Remember where the talk stood before this turn, for *back*. Once a turn."""
        if not self.marked:
            self.marked = True
            marks = (*self.job.marks, Mark(self.key, self.job.position))
            self.job = replace(self.job, marks=marks[-60:])

    def fact(self, kind: FactKind, subject: str, value: str = "", *, number: float | None = None,
             low: float | None = None, high: float | None = None) -> None:
        """Add to the log what this turn told."""
        self.mark()
        new = Fact(self.key, kind, subject, value, number, low, high)
        self.job = replace(self.job, facts=(*self.job.facts, new))

    def withdraw(self, facts: Iterable[Fact]) -> None:
        """Take back facts of earlier turns; *back* over this turn brings them back."""
        gone = set(facts)
        self.mark()
        self.job = replace(self.job, facts=tuple(
            replace(f, withdrawn=self.key) if f in gone else f for f in self.job.facts))

    def move(self, move: Move) -> None:
        """Move the visit on by the table of phases."""
        self.mark()
        self.job = self.job.at(phase=moved(self.job.phase, move))

    def place(self, **changes: Any) -> None:
        """Change fields of the position."""
        self.job = self.job.at(**changes)

    def machine(self, **changes: Any) -> None:
        """Change how the machine stands."""
        self.job = self.job.at(machine=replace(self.job.position.machine, **changes))

    def close_question(self, answer: Text | None = None, closed: str = "answered") -> None:
        """The open question is answered (or passed over): remember it, and close its choices."""
        question = self.job.question
        if question is None:
            return
        self.mark()
        if question.values:
            self.effects.append(Alter(message=question.message, closed=closed, answer=answer,  # type: ignore[arg-type]
                                      reader=self.job.tech))
        self.job = replace(self.job, asked=(*self.job.asked, Asked(question, self.key))[-80:])
        self.place(question=None)
        machine = self.job.position.machine
        if closed == "passed" and question.kind == "check" and machine.power == "off" and not machine.proven:
            # whoever passes it over may never have pulled the plug for it
            self.machine(power="unknown", covers=(), maybe_open=bool(machine.covers) or machine.maybe_open)

    def _pass_over(self) -> None:
        """A question that is still open gives way to the next one; a repeated one keeps its place in the log."""
        question = self.job.question
        if question is not None:
            if question.values:
                self.effects.append(Alter(message=question.message, closed="passed"))
            self.job = replace(self.job, asked=(*self.job.asked, Asked(question))[-80:])
            self.place(question=None)

    def ask(self, kind: QuestionKind, choices: Sequence[Choice] = (), *, checks: tuple[str, ...] = (),
            asked: int = 1, data: dict[str, str] | None = None) -> None:
        """Send the gathered paragraphs as a question, which becomes the open one."""
        self._pass_over()
        number = sum(isinstance(e, Say) for e in self.effects)
        message = derive(self.event.id, "say", number)
        question = Question(derive(self.event.id, "question", number), kind, message,
                            tuple(c.value for c in choices), checks, asked, data or {})
        self.place(question=question)
        self._send(message, question.id, tuple(choices))

    def send(self, *, urgent: bool = False) -> None:
        """Send the gathered paragraphs, if there are any, without a question."""
        if self.texts:
            number = sum(isinstance(e, Say) for e in self.effects)
            self._send(derive(self.event.id, "say", number), None, (), urgent=urgent)

    def _send(self, message: str, question: str | None, choices: tuple[Choice, ...], *, urgent: bool = False) -> None:
        texts = tuple(self.texts)
        self.texts = []
        if self.context.open_jobs and not any(isinstance(e, Say) for e in self.effects):
            texts = (Text("about_job", {"job": label_of(self.job, self.context)}), *texts)
        self.effects.append(Say(id=message, to=self.job.tech, conversation=self.job.conversation, texts=texts,
                                job=self.job.id, question=question, choices=choices, urgent=urgent))

    def record(self, what: str, **data: Any) -> None:
        """Keep a label for good."""
        number = sum(isinstance(e, Record) for e in self.effects)
        self.effects.append(Record(id=derive(self.event.id, "record", number), job=self.job.id,
                                   what=what, data=data))  # type: ignore[arg-type]

    def trace(self, what: str, **data: Any) -> None:
        """Keep what was understood, believed or weighed."""
        self.effects.append(Trace(what=what, data=data))  # type: ignore[arg-type]

    def offer(self, reason: str, *, urgent: bool = False) -> None:
        """Bring in a senior: the hand-off layer writes the brief and carries it on."""
        self.effects.append(Offer(id=derive(self.event.id, "offer"), job=self.job.id, reason=reason, urgent=urgent))


def label_of(job: Job, context: Context) -> Text:
    """How a job is named to its tech: the appliance and where it stands, or what it does."""
    site = next((f.value for f in reversed(job.standing("site"))), None)
    if job.family is None:
        named = next((raw(f.value) for f in job.standing("appliance")), Text("job.unnamed"))
        return named if site is None else Text("job.at", {"site": site})
    pack = context.release.knowledge.packs[job.family]
    if site is not None:
        return Text("job.named", {"family": pack.family.name, "what": site})
    complaint = next((pack.complaints[f.subject].says for f in job.standing("complaint")
                      if f.subject in pack.complaints), None)
    if complaint is None:
        return raw(pack.family.name)
    return Text("job.named", {"family": pack.family.name, "what": complaint})
