"""The likely course of a visit, as a tree: what is asked, what each likely answer leads to, findings, hand-offs.

It is taken through the talk itself, so what a senior reviews is what a tech gets. Every answer is filed as if its
choice had been pressed; how likely it is comes from the belief at that moment.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import Final, Literal

from bot.conversation.advance import advance
from bot.conversation.context import Context
from bot.conversation.effects import Effect, Offer, Record
from bot.conversation.events import Typed
from bot.conversation.facts import evidence_of
from bot.conversation.firm import Firm, Person, Signoff
from bot.conversation.job import Fact, Job, Phase, Question
from bot.conversation.questions.chosen import chosen
from bot.conversation.release import Release
from bot.conversation.turn import Turn
from bot.diagnosis.belief import believe, posterior
from bot.diagnosis.compiled import Model

START: Final = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
_WHO: Final = "tech"


@dataclass(frozen=True, slots=True)
class Branch:
    """One answer: its chance at this point, and what comes next (None: too few visits come to it)."""

    value: str
    """As the talk's choice: result:<check>/<result> or variant:<axis>:<value>."""
    label: str
    p: float
    then: Step | None


@dataclass(frozen=True, slots=True)
class Step:
    """One thing that the talk comes to. `share` is the part of all such visits that comes here."""

    do: Literal["check", "variant", "finding", "handoff", "other"]
    share: float
    id: str = ""
    """Check, axis of a variant, or fault of a finding."""
    text: str = ""
    """The question; the finding's name; why a senior is brought in."""
    p: float = 0.0
    """How sure a finding is."""
    minutes: float = 0.0
    opens: tuple[str, ...] = ()
    power: str = "any"
    along: tuple[str, ...] = ()
    """Checks that are asked in the same message."""
    repair: str = ""
    fault: str = ""
    """For a hand-off: the leading fault. For a check before a repair: the fault that is settled already."""
    branches: tuple[Branch, ...] = ()


@dataclass(frozen=True, slots=True)
class Limits:
    """How much of the tree is drawn."""

    depth: int = 5
    """Questions one after another; of the next one only the words are given."""
    share: float = 0.04
    """Answers that fewer visits than this come to are named but not followed."""


def course(release: Release, family: str, complaint: str, variant: Mapping[str, str], signoffs: frozenset[Signoff],
           limits: Limits) -> Step:
    """The tree from the moment when machine and complaint are known.

    Raises KeyError naming a family, complaint or variant that the release does not have.
    """
    pack = release.knowledge.packs[family]
    if complaint not in pack.complaints:
        raise KeyError(complaint)
    for axis, value in variant.items():
        if value not in pack.family.variants[axis].values:
            raise KeyError(value)
    facts = (Fact("start", "family", family), Fact("start", "complaint", complaint),
             *(Fact("start", "variant", axis, value) for axis, value in variant.items()))
    job = replace(Job("course", _WHO, "chat", release.id, START, family=family), facts=facts)
    context = Context(START, release, Firm(), {_WHO: Person(_WHO, "the tech", signoffs=signoffs)})
    return _Drawing(context, release.models[family], limits).step(*_advanced(_turn(job, context, "start")), 1.0, 1)


def _turn(job: Job, context: Context, name: str) -> Turn:
    return Turn(job, Typed(id=name, at=START, person=_WHO, conversation="chat", message=name, text=""), context)


def _advanced(turn: Turn) -> tuple[Job, tuple[Effect, ...]]:
    advance(turn)
    return turn.job, tuple(turn.effects)


@dataclass(frozen=True, slots=True)
class _Drawing:
    context: Context
    model: Model
    limits: Limits

    def step(self, job: Job, effects: tuple[Effect, ...], share: float, depth: int) -> Step:
        """What the talk has come to with this job, and everything after it."""
        offer = next((e for e in effects if isinstance(e, Offer)), None)
        if offer is not None:
            belief = believe(self.model, evidence_of(job))
            leading = job.position.fault or next((f for f, _ in belief.faults if f in self.model.pack.faults), "")
            return Step("handoff", share, text=offer.reason, fault=leading)
        question = job.question
        if question is not None and question.kind == "check":
            return self._check(job, question, share, depth)
        if question is not None and question.kind == "variant":
            return self._variant(job, question, share, depth)
        if job.position.fault is not None and job.phase is Phase.FINDING:
            return self._finding(job, effects, share)
        return Step("other", share, text=question.kind if question else str(job.phase))

    def _finding(self, job: Job, effects: tuple[Effect, ...], share: float) -> Step:
        fault = job.position.fault or ""
        name, repair = self.model.pack.faults[fault].name, self.model.pack.repair_of(fault)[1]
        p = next((float(e.data["p"]) for e in effects if isinstance(e, Record) and e.what == "finding"), 0.0)
        return Step("finding", share, fault, name, p, repair.minutes, repair.access, repair.power, repair=repair.name)

    def _check(self, job: Job, question: Question, share: float, depth: int) -> Step:
        key, *along = question.checks
        check = self.model.pack.checks[key]
        after = posterior(self.model, evidence_of(job))
        chances = (after.given.row(self.model.check_index[key]) @ after.mass)[:len(check.results)]
        answers = [(f"result:{key}/{result}", entry.label, p) for (result, entry), p
                   in zip(check.results.items(), (chances / chances.sum()).tolist(), strict=True)]
        settled = job.position.fault or "" if job.phase is Phase.FINDING else ""
        return Step("check", share, key, check.ask, 0.0, check.minutes, check.access, check.power, tuple(along),
                    fault=settled, branches=self._branches(job, question, answers, share, depth))

    def _variant(self, job: Job, question: Question, share: float, depth: int) -> Step:
        axis = question.data["axis"]
        variant = self.model.pack.family.variants[axis]
        shares = believe(self.model, evidence_of(job)).variants[axis]
        answers = [(f"variant:{axis}:{value}", variant.values[value].name, p) for value, p in shares.items()]
        return Step("variant", share, axis, variant.ask,
                    branches=self._branches(job, question, answers, share, depth))

    def _branches(self, job: Job, question: Question, answers: Sequence[tuple[str, str, float]], share: float,
                  depth: int) -> tuple[Branch, ...]:
        """`answers`: the value of each choice, its label and its chance."""
        if depth > self.limits.depth:
            return ()
        branches = []
        for value, label, p in sorted(answers, key=lambda answer: -answer[2]):
            then = None
            if share * p >= self.limits.share:
                turn = _turn(job, self.context, f"{value}/{depth}")
                chosen(turn, question, value)
                then = self.step(*_advanced(turn), share * p, depth + 1)
            branches.append(Branch(value, label, p, then))
        return tuple(branches)


def outline(step: Step, names: Mapping[str, str]) -> Iterator[str]:
    """The tree as lines of text. `names`: cover, check and fault ids -> how they are called."""
    yield from _lines(step, names, "", 1)


def _lines(step: Step, names: Mapping[str, str], indent: str, number: int) -> Iterator[str]:
    match step.do:
        case "check" | "variant":
            if step.fault:
                yield f"{indent}Found: {names[step.fault]}. First, what may have caused it:"
            yield f"{indent}{number}. {step.text}"
            yield f"{indent}   [{step.id}: {_conditions(step, names)}]"
            if not step.branches:
                yield f"{indent}   ... and so on"
            unfollowed = [b for b in step.branches if b.then is None]
            for branch in step.branches:
                if branch.then is not None:
                    yield f"{indent}   - {branch.label} ({branch.p:.0%})"
                    yield from _lines(branch.then, names, indent + "     ", number + 1)
            if unfollowed:
                said = ", ".join(f"{b.label} ({b.p:.0%})" for b in unfollowed)
                yield f"{indent}   - {said}: not followed here"
        case "finding":
            sure = f", {step.p:.0%} sure" if step.p else ""
            yield f"{indent}=> Finding: {step.text}{sure}. {step.repair} ({step.minutes:.0f} min), then the proof run."
        case "handoff":
            leading = f", {names[step.fault]} leading" if step.fault else ""
            yield f"{indent}=> A senior is brought in ({step.text.replace('_', ' ')}{leading})."
        case _:
            yield f"{indent}=> {step.text}"


def _conditions(step: Step, names: Mapping[str, str]) -> str:
    if step.do == "variant":
        return "which machine"
    parts = [f"{step.minutes:g} min"]
    if step.opens:
        parts.append("behind " + ", ".join(names[c] for c in step.opens))
    parts += {"off": ["dead"], "live": ["live"], "run": ["plugged in, covers on"]}.get(step.power, [])
    if step.along:
        parts.append("asked along with " + ", ".join(names[c] for c in step.along))
    return "; ".join(parts)
