"""Visits drawn from the packs, answered by a simulated machine whose truth may differ from what the pack says.

No talk: ids go in and out. The corruption is of the lasting kind that hurts (a row that is wrong stays wrong), as
zero-mean noise on the likelihoods leaves calibration untouched and so would test nothing.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from bot.diagnosis.belief import believe
from bot.diagnosis.compiled import Model, compile_pack
from bot.diagnosis.evidence import UNKNOWN, Evidence, Repaired, Seen, Situation
from bot.diagnosis.given import rows_given
from bot.diagnosis.levels import Plan
from bot.diagnosis.planner import plan
from knowledge.schema import Pack

QUICK = Plan(create=(1000, 2), follow=(6, 2), nodes=900)
"""A light search: thousands of visits are needed, and calibration hardly depends on the planner's last per cent."""
EVERYBODY = Situation(signoffs=frozenset({"live", "gas", "refrigerant", "lifting"}))
LONGEST = 25


@dataclass(frozen=True)
class Corruption:
    """How the truth departs from the pack."""

    noise: float = 1.0
    """Factor on the chance of any but the likeliest result."""
    careless: float = 0.0
    """Share of techs whose noise is six-fold."""
    wrong_rows: float = 0.0
    """Share of (fault, check) rows that are another fault's."""
    prior: float = 0.0
    """Standard deviation of the log of the true frequencies around the pack's."""


NOMINAL = Corruption()
CORRUPTED = Corruption(noise=2.0, careless=0.1, wrong_rows=0.05, prior=0.5)
OTHERWISE = Corruption(noise=1.5, careless=0.15, wrong_rows=0.08, prior=0.7)
"""Another mix of about the same strength, for tuning: tests are on CORRUPTED."""


@dataclass(frozen=True)
class Outcome:
    """What a visit showed at its first finding (repair, stop or hand-off)."""

    family: str
    known: bool
    do: str
    confidence: float
    """Belief in the faults that the proposed repair cures."""
    right: bool
    answers: int
    surprise: float
    misfit: float
    p_unknown: float
    minutes: float
    told: Evidence
    """Everything that was known then, to weigh again with other settings."""
    best: str
    """What was proposed."""
    truth: str


class World:
    """The truth behind one family: the pack's own rows, sharp, corrupted once and for all."""

    def __init__(self, pack: Pack, corruption: Corruption, seed: int) -> None:
        """Compiles the pack without smoothing and corrupts it."""
        self.rng = np.random.default_rng(seed)
        self.corruption = corruption
        sharp = compile_pack(pack, smooth=0.0, smooth_complaints=0.0, temper=1.0)
        rows = sharp.rows.copy()
        known = np.flatnonzero(sharp.fault_of < len(sharp.faults))
        wrong = self.rng.random((len(sharp.checks), len(known))) < corruption.wrong_rows
        for c, j in zip(*np.nonzero(wrong), strict=True):
            mates = known[sharp.kind_of[known] == sharp.kind_of[known[j]]]
            rows[c, :, known[j]] = sharp.rows[c, :, self.rng.choice(mates)]
        drift = np.exp(self.rng.normal(0, corruption.prior, len(sharp.faults)))
        weights = sharp.weights.copy()
        weights[known] *= drift[sharp.fault_of[known]][:, None]
        weights[known] /= weights[known].sum()
        self.model = replace(sharp, rows=rows, weights=weights)
        self.known = known

    def machine(self) -> Machine:
        """A machine with one of the pack's faults, and a tech."""
        weights = self.model.weights[self.known].sum(axis=1)
        h = int(self.known[self.rng.choice(len(weights), p=weights / weights.sum())])
        factor = self.corruption.noise * (6.0 if self.rng.random() < self.corruption.careless else 1.0)
        told = self._told(h)
        return Machine(self, h, factor, told, rows_given(self.model, told)[:, :, h])

    def _told(self, hypothesis: int) -> tuple[str, ...]:
        """What the customer tells: the things that the machine shows, one or two of them."""
        model, rng = self.model, self.rng
        shown = np.flatnonzero(rng.random(len(model.complaints)) < model.shows[hypothesis])
        if not len(shown):
            shown = np.array([int(np.argmax(model.shows[hypothesis]))])
        chosen = rng.choice(shown, size=min(len(shown), int(rng.integers(1, 3))), replace=False)
        return tuple(model.complaints[c] for c in chosen)


@dataclass(frozen=True)
class Machine:
    """One machine; `hypothesis` is its truth."""

    world: World
    hypothesis: int
    noise: float
    told: tuple[str, ...]
    """Complaints."""
    rows: np.ndarray
    """[C, O] chance of each result on it, complaints told known: what was told is mostly seen again."""

    @property
    def fault(self) -> str:
        """The id of the true fault."""
        return self.world.model.faults[self.world.model.fault_of[self.hypothesis]]

    def variant(self) -> dict[str, str]:
        """What the machine is; told half of the time."""
        model, rng = self.world.model, self.world.rng
        weights = model.weights[self.hypothesis]
        v = int(rng.choice(len(weights), p=weights / weights.sum()))
        return dict(model.combinations[v]) if rng.random() < 0.5 else {}

    def answer(self, check: str) -> str | None:
        """The result the tech reports, None when the check is impossible."""
        model, rng = self.world.model, self.world.rng
        c = model.check_index[check]
        entry = model.pack.checks[check]
        if not model.applies[c, self.hypothesis] or rng.random() < entry.cannot:
            return None
        row = self.rows[c, :len(entry.results)].copy()
        row /= row.sum()
        top = int(np.argmax(row))
        missed = min(0.75, (1 - row[top]) * self.noise, max(1 - row[top], 0.6))
        others = np.delete(np.arange(len(row)), top)
        if 1 - row[top] > 1e-9:
            row[others] *= missed / (1 - row[top])
        row[top] = 1 - missed
        return tuple(entry.results)[int(rng.choice(len(row), p=row / row.sum()))]


def without(model: Model, fault: str) -> Model:
    """The model as if nobody had written that fault down."""
    weights = model.weights.copy()
    weights[model.fault_of == model.faults.index(fault)] = 0.0
    return replace(model, weights=weights / weights.sum())


def visit(model: Model, machine: Machine, outside: bool = False, look: Plan = QUICK) -> Outcome:
    """One visit up to its first finding. `outside`: the machine's fault is not in the book."""
    book = without(model, machine.fault) if outside else model
    told = Evidence(model.pack.family.id, machine.variant(), machine.told)
    minutes = 0.0
    for _ in range(LONGEST):
        decision = plan(book, told, EVERYBODY, look=look)
        best = decision.best
        if best.do != "check":
            break
        minutes += best.minutes
        result = machine.answer(best.id)
        if result is None:
            told = replace(told, cannot=told.cannot | {best.id})
        else:
            told = replace(told, history=(*told.history, Seen(best.id, result)))
    belief = believe(book, told)
    chances = dict(belief.faults)
    cures = model.cured_by(best.id) if best.do in ("repair", "stop") else ()
    confidence = sum(p for fault, p in chances.items() if set(fault.split("+")) & set(cures))
    answers = sum(isinstance(fact, Seen) for fact in told.history) + len(told.complaints) + len(told.denied)
    return Outcome(model.pack.family.id, not outside, best.do, confidence, machine.fault in cures and not outside,
                   answers, belief.surprise, belief.misfit, chances.get(UNKNOWN, 0.0), minutes, told, best.id,
                   machine.fault)


__all__ = ["CORRUPTED", "NOMINAL", "OTHERWISE", "Corruption", "Machine", "Outcome", "Repaired", "World", "visit"]
