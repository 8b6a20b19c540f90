"""A simulated firm: its mix of faults differs from the packs', and so may its rows. No talk: ids go in and out.

Everything about a machine follows from the firm's seed and the machine's number, each check's answer too: two models
that look at the same machine are told the same, so that what differs is theirs.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from bot.diagnosis.belief import Posterior, believe, posterior
from bot.diagnosis.compiled import Model, compile_pack
from bot.diagnosis.evidence import Evidence, Repaired, Seen, Situation
from bot.diagnosis.levels import Plan
from bot.diagnosis.planner import plan
from bot.diagnosis.setting import USAGE_NORMAL
from bot.diagnosis.thresholds import DEAD_MINUTES, PROOF_MINUTES, WRONG_PART, WRONG_STOP
from bot.followup.labels import HALF, Label
from knowledge.schema import Check, Pack

LIGHT = Plan(create=(1000, 2), follow=(6, 2), nodes=900)
"""A light search: thousands of visits are needed, and both models are planned with it."""
CREW = Situation(signoffs=frozenset({"live", "gas", "refrigerant", "lifting"}), power="on")
SURE, GUESS, GAIN, MOST_CHECKS = 0.85, 0.3, 0.005, 12
"""Of the plain policy: sure enough to repair, too unsure to try, a gain too small to ask for, checks at most."""
LONGEST = 25
"""Checks and repairs after which a senior is asked."""


@dataclass(frozen=True)
class Went:
    """How a visit went."""

    minutes: float
    """To a proven fix: checks, covers, repairs, wrong parts and the senior, in the planner's minute-equivalents."""
    named: bool
    """Whether the first thing proposed was a fault (not a senior)."""
    confidence: float
    """Belief in what it would cure."""
    right: bool
    handed_off: bool
    told: Evidence
    """Up to the first proposal."""
    label: Label | None
    """What is confirmed at the end."""


class Firm:
    """The truth behind one family at one firm. `mix`: standard deviation of the log-odds shifts of the faults' shares;
    `rows`: of the lasting shifts of the log-chances of what checks show."""

    def __init__(self, pack: Pack, seed: int, mix: float, rows: float = 0.0) -> None:
        """Draws the firm."""
        self.pack, self.seed = pack, seed
        rng = np.random.default_rng([seed, 1])
        sharp = compile_pack(pack, smooth=0.0, smooth_complaints=0.0, temper=1.0)
        share = np.array([fault.frequency for fault in pack.faults.values()])
        share /= share.sum()
        odds = share / (1 - share) * np.exp(rng.normal(0, mix, len(share)))
        self.share = odds / (1 + odds) / (odds / (1 + odds)).sum()
        self.known = np.flatnonzero(sharp.fault_of < len(sharp.faults))
        weights = sharp.weights.copy()
        weights[self.known] *= (self.share / share)[sharp.fault_of[self.known]][:, None]
        shift = rng.normal(0, rows, (len(sharp.checks), sharp.rows.shape[1], len(sharp.faults) + 1))
        moved = sharp.rows * np.exp(shift[:, :, sharp.fault_of])
        moved *= sharp.rows.sum(axis=1, keepdims=True) / np.maximum(moved.sum(axis=1, keepdims=True), 1e-300)
        self.model = replace(sharp, weights=weights, rows=moved)

    def machine(self, number: int) -> Machine:
        """Machine of that number."""
        rng = np.random.default_rng([self.seed, 2, number])
        weights = self.model.weights[self.known].sum(axis=1)
        hypothesis = int(self.known[rng.choice(len(weights), p=weights / weights.sum())])
        shown = np.flatnonzero(rng.random(len(self.model.complaints)) < self.model.shows[hypothesis])
        if not len(shown):
            shown = np.array([int(np.argmax(self.model.shows[hypothesis]))])
        chosen = rng.choice(shown, size=min(len(shown), int(rng.integers(1, 3))), replace=False)
        axes = self.model.weights[hypothesis]
        variant = self.model.combinations[int(rng.choice(len(axes), p=axes / axes.sum()))]
        told = dict(variant) if rng.random() < 0.5 else {}
        return Machine(self, number, hypothesis, tuple(self.model.complaints[c] for c in chosen), told)


@dataclass(frozen=True)
class Machine:
    """One machine: the truth, and what the customer tells."""

    firm: Firm
    number: int
    hypothesis: int
    complaints: tuple[str, ...]
    variant: dict[str, str]

    @property
    def fault(self) -> str:
        """The true fault."""
        model = self.firm.model
        return model.faults[model.fault_of[self.hypothesis]]

    def answer(self, check: str) -> str | None:
        """What the tech reports; None if the check is impossible here."""
        model = self.firm.model
        c = model.check_index[check]
        rng = np.random.default_rng([self.firm.seed, 3, self.number, c])
        entry = model.pack.checks[check]
        if not model.applies[c, self.hypothesis] or rng.random() < entry.cannot:
            return None
        row = model.rows[c, :len(entry.results), self.hypothesis]
        return tuple(entry.results)[int(rng.choice(len(row), p=row / row.sum()))]

    def cured(self, attempt: int) -> bool:
        """Whether the right repair takes, at that attempt."""
        rng = np.random.default_rng([self.firm.seed, 4, self.number, attempt])
        return bool(rng.random() < self.firm.pack.repair_of(self.fault)[1].works)


@dataclass(frozen=True)
class Act:
    """What to do next: check, repair, stop or handoff; its minutes as the planner counts them."""

    do: str
    id: str
    minutes: float


Policy = Callable[[Model, Evidence, Situation], Act]


def planned(model: Model, told: Evidence, stands: Situation) -> Act:
    """The product's planner, with the light search."""
    best = plan(model, told, stands, look=LIGHT).best
    return Act(best.do, best.id, best.minutes)


def plain(model: Model, told: Evidence, stands: Situation) -> Act:
    """A policy without foresight, ten times as quick: the check that is expected to raise the leading repair most, a
    minute, until one is sure enough or nothing tells; then that repair, or a senior."""
    pack = model.pack
    here = posterior(model, told)
    sums = np.bincount(model.repair_of[model.repair_of >= 0], weights=here.mass[model.repair_of >= 0],
                       minlength=len(model.repairs))
    done = [fact.repair for fact in told.history if isinstance(fact, Repaired)]
    for repair in done:
        sums[model.repair_index[repair]] = 0.0
    lead = int(np.argmax(sums))
    checks = sum(isinstance(fact, Seen) for fact in told.history)
    check = telling(model, here, told, stands) if sums[lead] < SURE and checks < MOST_CHECKS else None
    if check is not None:
        return Act("check", check, cost(pack, stands, pack.checks[check]))
    if sums[lead] < GUESS or len(done) >= 2:
        return Act("handoff", "handoff", 0.0)
    return Act("repair", model.repairs[lead], model.entries[lead].minutes + PROOF_MINUTES)


def telling(model: Model, here: Posterior, told: Evidence, stands: Situation) -> str | None:
    """The check with most gain a minute for the chance of the leading repair; None where none has any."""
    asked = {fact.check for fact in told.history if isinstance(fact, Seen)} | set(told.cannot)
    member = np.zeros((model.hypotheses, len(model.repairs)))
    there = np.flatnonzero(model.repair_of >= 0)
    member[there, model.repair_of[there]] = here.mass[there]
    gain = (here.rows @ member).max(axis=2).sum(axis=1) - member.sum(axis=0).max()
    exists = model.applies @ here.mass
    best, most = None, 1e-6
    for c, (check, entry) in enumerate(model.pack.checks.items()):
        if check in asked or exists[c] < 0.5 or set(entry.unless) & set(told.complaints) or gain[c] <= GAIN:
            continue
        score = gain[c] / cost(model.pack, stands, entry)
        if score > most:
            best, most = check, score
    return best


def visit(model: Model, machine: Machine, policy: Policy = planned) -> Went:
    """The whole visit, to the proof or to the senior."""
    pack = machine.firm.pack
    told = Evidence(pack.family.id, machine.variant, machine.complaints)
    stands, minutes, first, attempts = CREW, 0.0, None, 0
    for _ in range(LONGEST):
        best = policy(model, told, stands)
        if best.do == "check":
            minutes += best.minutes
            result = machine.answer(best.id)
            told = replace(told, cannot=told.cannot | {best.id}) if result is None else replace(
                told, history=(*told.history, Seen(best.id, result)))
            stands = after(pack, stands, pack.checks[best.id])
            continue
        cures = model.cured_by(best.id) if best.do != "handoff" else ()
        if first is None:
            chances = believe(model, told).faults
            sure = sum(p for fault, p in chances if set(fault.split("+")) & set(cures))
            first = Went(0.0, bool(cures), sure, machine.fault in cures, False, told, None)
        if best.do == "handoff":
            break
        minutes += best.minutes
        attempts += 1
        if machine.fault in cures and machine.cured(attempts):
            return replace(first, minutes=minutes, label=_proved(pack, model, told, best.id))
        minutes += _wasted(pack, model, best.id)
        told = replace(told, history=(*told.history, Repaired(best.id)))
    done = pack.repair_of(machine.fault)[1].minutes + PROOF_MINUTES
    first = first or Went(0.0, False, 0.0, False, True, told, None)
    return replace(first, minutes=minutes + stands.handoff_minutes + done, handed_off=True,
                   label=Label(machine.fault, None, HALF, named=True))


def cost(pack: Pack, stands: Situation, check: Check) -> float:
    """Minutes of a check, with covers to open and the machine to make dead, about as the planner counts."""
    then = after(pack, stands, check)
    opened = sum(pack.covers[c].open_minutes + pack.covers[c].close_minutes
                 for c in then.open_covers - stands.open_covers)
    return check.minutes + check.risk + opened + (DEAD_MINUTES if then.power == "off" != stands.power else 0.0)


def after(pack: Pack, stands: Situation, check: Check) -> Situation:
    """How the machine stands once the check is made."""
    if check.power == "run":
        return replace(stands, open_covers=frozenset(check.access), power="on")
    covers, todo = set(stands.open_covers) - set(check.closes), list(check.access)
    while todo:
        cover = todo.pop()
        covers.add(cover)
        todo += pack.covers[cover].behind
    power = {"off": "off", "live": "on"}.get(check.power)
    off = power is None and any(pack.covers[c].power == "off" for c in check.access)
    return replace(stands, open_covers=frozenset(covers), power="off" if off else power or stands.power)


def _proved(pack: Pack, model: Model, told: Evidence, repair: str) -> Label | None:
    """A proved repair; nothing for what nobody can prove."""
    cures = model.cured_by(repair)
    if USAGE_NORMAL in cures or any(pack.faults[f].trade or pack.repair_of(f)[1].trade for f in cures):
        return None
    chances = dict(believe(model, told).faults)
    return Label(max(cures, key=lambda fault: chances.get(fault, 0.0)), pack.repair_of(cures[0])[0], 1.0)


def _wasted(pack: Pack, model: Model, repair: str) -> float:
    """What a repair that did not cure costs beside its minutes, as the planner counts it."""
    cures = model.cured_by(repair)
    entry = pack.repair_of(cures[0])[1]
    ends = entry.trade is not None or all(f == USAGE_NORMAL or pack.faults[f].trade for f in cures)
    return WRONG_STOP if ends else WRONG_PART[entry.cost]
