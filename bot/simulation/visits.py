"""Whole visits by simulated techs through the whole core, and what they came to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from random import Random
from time import perf_counter
from typing import Final

from bot.conversation.firm import Person, Signoff
from bot.conversation.job import Job, Outcome, Phase
from bot.conversation.release import Release
from bot.conversation.routing import SAME_JOB
from bot.diagnosis.advice import Adviser, advise
from bot.diagnosis.thresholds import HANDOFF_MINUTES
from bot.simulation.chat import Chat
from bot.simulation.machine import Machine, Outside, World, draw_machine
from bot.simulation.phrases import bank_of
from bot.simulation.remembered import remembering
from bot.simulation.tech import Tech, draw_tech

MOST_MESSAGES = 60
"""A visit that is not over by then counts as stuck."""
HOLD: Final[Mapping[Signoff, float]] = {"live": 0.5, "lifting": 0.8, "gas": 0.25}
"""Share of simulated juniors who are signed off for it."""


@dataclass(frozen=True, slots=True)
class Visit:
    """What one visit came to."""

    fault: str
    outside: Outside | None
    """In which way the fault is not in the book, if it is not."""
    first_finding: str | None
    first_right: bool
    first_p: float
    """What was said of it, ..."""
    first_believed: float
    """... and the belief that this was said for."""
    fixed: bool
    fixed_first: bool
    handed_off: str | None
    """Why, if a senior was asked for."""
    outcome: str | None
    wrong_repairs: int
    wrong_parts: int
    """Those of the wrong repairs that fitted a part in vain; the others cleaned, set or tightened something."""
    prices: float
    """Of those parts, minute-equivalents."""
    minutes: float
    cure_minutes: float
    """What the repair of the true fault takes, where the book has it."""
    messages: int
    checks: tuple[str, ...]
    """Those asked, "can't" included."""
    told: tuple[str, ...]
    understood: tuple[str, ...]
    """Complaints told in the opening, and those of them that the bot filed."""
    typed: tuple[int, int, int]
    """Answers in words of a voice: heard as the result they tell, as another one, as none."""
    seconds: tuple[float, ...]
    """Core time of each message."""

    @property
    def cost(self) -> float:
        """What the planner reckons in: minutes, the prices of parts in vain, and a senior with his repair where the
        junior did not mend it."""
        senior = 0.0 if self.fixed else HANDOFF_MINUTES + self.cure_minutes
        return self.minutes + self.prices + senior

    @property
    def doubted(self) -> bool:
        """Whether a senior came because nothing known fitted or nothing was sure enough."""
        return self.handed_off in {"unsure", "fits_nothing", "failed_twice"}

    @property
    def doubted_early(self) -> bool:
        """The same, before anything was repaired in vain."""
        return self.doubted and self.wrong_repairs == 0


def visits(release: Release, family: str, jobs: int, seed: int, noise: float = 0.0, *, outside: float | None = None,
           kind: Outside = "strange", adviser: Adviser = advise, remember: bool = True,
           world: World | None = None) -> Iterator[Visit]:
    """`jobs` visits, one after another. The same arguments give the same visits, times apart.

    `outside` is the share of machines whose fault is not in the book, by default what the pack states. `remember`:
    the adviser is asked once for the same evidence; off for one that looks at every visit. `world`: whose machines they
    are, by default one that strays from the release's own pack by `noise`.
    """
    pack = release.knowledge.packs[family]
    world = world or World(pack, noise, seed)
    bank = bank_of(family)
    share = pack.family.unknown if outside is None else outside
    remembered = remembering(adviser) if remember else adviser
    for number in range(jobs):
        machine = draw_machine(world, f"{seed}/{family}/{number}", outside=share, kind=kind)
        book = left_out(release, family, machine.fault) if machine.outside == "left_out" else release
        told = adviser if book is not release else remembered
        yield visit(book, machine, draw_tech(machine, bank, noise), told)


def left_out(release: Release, family: str, fault: str) -> Release:
    """The release as if nobody had written that fault down."""
    model = release.models[family]
    weights = model.weights.copy()
    weights[model.fault_of == model.faults.index(fault)] = 0.0
    return replace(release, models={**release.models, family: replace(model, weights=weights / weights.sum())})


def visit(release: Release, machine: Machine, tech: Tech, adviser: Adviser = advise) -> Visit:
    """One visit until it ends, a senior is asked for, or it is stuck."""
    rng = Random(f"{machine.key}/sign-offs")
    signoffs = frozenset(signoff for signoff, share in HOLD.items() if rng.random() < share)
    chat = Chat(release, Person("tech", "Rui", signoffs=signoffs), adviser=adviser)
    opening, told = tech.opening()
    seconds: list[float] = []
    typed = [0, 0, 0]
    understood: tuple[str, ...] = ()
    text = opening
    while len(seconds) < MOST_MESSAGES:
        before = perf_counter()
        chat.send(text)
        seconds.append(perf_counter() - before)
        job = chat.job
        if job is None:
            break
        for check, result in tech.typed.items():
            typed[_heard_as(job, check, result)] += 1
        tech.typed.clear()  # counted once, though the next message may be no answer of theirs
        if not understood and job.family is not None:
            understood = tuple(f.subject for f in job.standing("complaint") if f.subject in told)
        if job.phase in {Phase.ENDED, Phase.HANDED_OFF}:
            break
        text = _same_machine(chat) or _calm(job.question.kind if job.question else "") or tech.reply(job)
    return _came_to(chat, machine, tech, tuple(told), understood, (typed[0], typed[1], typed[2]), tuple(seconds))


def _heard_as(job: Job, check: str, result: str) -> int:
    """0 where the result stands that was typed, 1 another, 2 none."""
    stands = [fact.value for fact in job.standing("result") if fact.subject == check]
    return 2 if not stands else 0 if stands[-1] == result else 1


def _same_machine(chat: Chat) -> str | None:
    """The answer where it is asked whether it is another machine."""
    desk = chat.desks[chat.tech.id]
    return str(desk.values.index(SAME_JOB) + 1) if desk.question is not None and SAME_JOB in desk.values else None


def _calm(kind: str) -> str | None:
    """Answers after a hazard was named: the simulated machine never hurts anybody."""
    return "1" if kind == "hazard" else None


def _came_to(chat: Chat, machine: Machine, tech: Tech, told: tuple[str, ...], understood: tuple[str, ...],
             typed: tuple[int, int, int], seconds: tuple[float, ...]) -> Visit:
    job = chat.job
    findings = chat.records("finding")
    first = str(findings[0].data["fault"]) if findings else None
    pack = machine.world.pack
    right = first is not None and machine.outside is None and (
        pack.repair_of(machine.fault)[0] == pack.repair_of(first)[0])
    cure = pack.repair_of(machine.fault)[1].minutes if machine.fault in pack.faults else 0.0
    offers = chat.offers()
    fixed = machine.cured and job is not None and job.outcome in {Outcome.FIXED, Outcome.NO_FAULT_FOUND}
    return Visit(
        fault=machine.fault, outside=machine.outside, first_finding=first, first_right=right,
        first_p=float(findings[0].data["p"]) if findings else 0.0,
        first_believed=float(findings[0].data["believed"]) if findings else 0.0, fixed=fixed,
        fixed_first=fixed and right and tech.wrong_repairs == 0,
        handed_off=offers[0].reason if offers else None, outcome=str(job.outcome) if job and job.outcome else None,
        wrong_repairs=tech.wrong_repairs, wrong_parts=tech.wrong_parts, prices=tech.prices,
        minutes=tech.minutes, cure_minutes=cure, messages=len(seconds),
        checks=tuple(f.subject for f in job.standing("result", "cannot") if f.subject in pack.checks) if job else (),
        told=told, understood=understood, typed=typed, seconds=seconds)
