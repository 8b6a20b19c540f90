"""From a belief and a situation to a planning problem: what may be done here, at what cost."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import Final

import numpy as np

from bot.diagnosis.belief import Posterior, departure, lifted_complaints, moot_checks, repair_id, seen_complaints
from bot.diagnosis.cells import cells_of
from bot.diagnosis.compiled import Floats, Ints, Model, holds
from bot.diagnosis.evidence import Evidence, Repaired, Seen, Situation
from bot.diagnosis.given import absent_complaints
from bot.diagnosis.problem import Problem
from bot.diagnosis.thresholds import (
    ASK_MINUTES,
    DEAD_MINUTES,
    FINDING_MINUTES,
    HARDLY_THERE,
    LIVE_MINUTES,
    PROOF_MINUTES,
    TOUCHED,
    TRIES,
    WRONG_PART,
    WRONG_STOP,
)
from bot.diagnosis.unsafe import must_stop, not_run
from knowledge.schema import Check, Pack, Repair

USAGE_NORMAL: Final = "usage.normal"
"""The fault id that stands for a machine that works as it should."""


@dataclass(frozen=True, slots=True, eq=False)
class Setting:
    """The problem and how its indices map to the pack's ids."""

    problem: Problem
    repairs: tuple[str, ...]
    stops: frozenset[str]
    """Those of the repairs that end the visit with no fault of the machine."""
    checks: tuple[str, ...]
    """[C] only those that may be asked."""
    fault_of: Ints
    """[K] index into the model's faults."""
    covers: dict[str, int]
    """Cover -> bit. The last bit, named by DEAD, is the machine made dead."""


DEAD: Final = "(made dead)"


def setting_of(model: Model, after: Posterior, evidence: Evidence, situation: Situation) -> Setting:
    """Everything that bounds the next step, as arrays."""
    covers = _cover_bits(model)
    costs = _cover_costs(model, evidence, covers)
    asked = _allowed(model, after, evidence, situation)
    cells = cells_of(model, after, asked)
    repairs = _repairs_allowed(model, evidence, situation)
    place = {repair: i for i, repair in enumerate(repairs)}
    count = len(repairs)
    entries = [model.entries[model.repair_index[repair]] for repair in repairs]
    group = np.array([count if r < 0 else place.get(model.repairs[r], count) for r in cells.repair_of], dtype=np.int64)
    for k, (f, g) in enumerate(zip(cells.fault_of, group, strict=True)):
        if g < count and not _may_repair(model, int(f), situation):
            group[k] = count
    stops = frozenset(r for r in repairs if all(f == USAGE_NORMAL for f in model.cured_by(r)))
    minutes = np.array([_minutes(model, r, e) for r, e in zip(repairs, entries, strict=True)])
    wrong = np.array([_wrong(model, r, e) for r, e in zip(repairs, entries, strict=True)])
    repair_path = np.array([_path(model, e.access, e.power, covers) for e in entries], dtype=np.int64)
    now = _open_now(model, situation, covers)
    checks = [model.pack.checks[model.checks[c]] for c in asked]
    cannot = np.array([check.cannot for check in checks])
    problem = Problem(
        belief=cells.mass, rows=cells.rows * (1 - cannot[:, None, None]),
        check_cost=np.array([check.minutes + check.risk + ASK_MINUTES for check in checks]),
        group=group, works=np.array([e.works for e in entries]), repair_cost=minutes, wrong_cost=wrong,
        handoff=np.append(situation.handoff_minutes + minutes + _opening(repair_path & ~now, costs),
                          situation.handoff_minutes), ask_cost=ASK_MINUTES,
        check_path=np.array([_path(model, c.access, c.power, covers) for c in checks], dtype=np.int64),
        check_shuts=np.array([_shuts(model, c, covers) for c in checks], dtype=np.int64),
        repair_path=repair_path, cover_cost=costs, open=now, pairs=cells.pairs)
    return Setting(problem, repairs, stops, tuple(model.checks[c] for c in asked), cells.fault_of, covers)


def _cover_bits(model: Model) -> dict[str, int]:
    return {cover: i for i, cover in enumerate([*model.pack.covers, DEAD])}


def _cover_costs(model: Model, evidence: Evidence, covers: dict[str, int]) -> Floats:
    costs = np.zeros(len(covers))
    for cover, entry in model.pack.covers.items():
        costs[covers[cover]] = entry.open_minutes + entry.close_minutes
    wait = model.pack.family.wait_after_off
    minutes = float(wait.get("minutes", 0.0)) if wait else 0.0
    axes = {axis: value for axis, value in wait.items() if axis != "minutes"}
    waits = bool(wait) and all(evidence.variant.get(axis) == value for axis, value in axes.items())
    costs[covers[DEAD]] = DEAD_MINUTES + LIVE_MINUTES + (minutes if waits else 0.0)
    return costs


def minutes_to_make(setting: Setting, model: Model, check: Check) -> float:
    """Minutes and risk of a check as the machine stands, asked before or not, with the covers that it opens."""
    path = np.array([_path(model, check.access, check.power, setting.covers) & ~setting.problem.open], dtype=np.int64)
    return check.minutes + check.risk + float(_opening(path, setting.problem.cover_cost)[0])


def _opening(sets: Ints, costs: Floats) -> Floats:
    """[N] minutes to open and close the covers in each set: a senior opens no fewer than a junior."""
    return np.asarray((sets[:, None] >> np.arange(len(costs)) & 1) @ costs, dtype=np.float64)


def _path(model: Model, access: tuple[str, ...], power: str, covers: dict[str, int]) -> int:
    """Bits of all covers that must be open, those before them too, and the machine dead where one of them or the
    work itself asks for it."""
    dead = power == "off"
    mask, todo = 0, list(access)
    while todo:
        cover = todo.pop()
        if not mask >> covers[cover] & 1:
            mask |= 1 << covers[cover]
            entry = model.pack.covers[cover]
            todo += entry.behind
            dead = dead or (entry.power == "off" and power not in ("live", "run"))
    return mask | (1 << covers[DEAD] if dead else 0)


def _shuts(model: Model, check: Check, covers: dict[str, int]) -> int:
    """A run from outside needs every cover on but those it names; a live test needs power."""
    if check.power == "run":
        return ((1 << len(covers)) - 1) & ~_path(model, check.access, "run", covers)
    mask = sum(1 << covers[cover] for cover in dict.fromkeys(check.closes))
    return mask | (1 << covers[DEAD] if check.power == "live" else 0)


def _open_now(model: Model, situation: Situation, covers: dict[str, int]) -> int:
    mask = sum(1 << covers[cover] for cover in situation.open_covers if cover in covers)
    return mask | (1 << covers[DEAD] if situation.power == "off" else 0)


def _repairs_allowed(model: Model, evidence: Evidence, situation: Situation) -> tuple[str, ...]:
    """Repairs this person can do here: signed off, tools at hand, not refused, not failed too often already."""
    done = [repair_id(model, fact.repair) for fact in evidence.history if isinstance(fact, Repaired)]
    refused = {repair_id(model, r) for r in situation.declined | evidence.cannot if r in model.repair_index}
    allowed = []
    for i, repair in enumerate(model.repairs):
        entry = model.entries[i]
        if i in refused or done.count(i) >= TRIES or set(entry.tools) & evidence.cannot:
            continue
        if set(entry.signoff) <= situation.signoffs:
            allowed.append(repair)
    return tuple(allowed)


def _may_repair(model: Model, fault: int, situation: Situation) -> bool:
    licensed = model.pack.faults[model.faults[fault]].licensed
    return licensed is None or licensed in situation.signoffs


def signoffs_for(pack: Pack, fault: str) -> frozenset[str]:
    """The sign-offs, and the licence, that the repair of a fault takes."""
    licensed = pack.faults[fault].licensed
    return frozenset(pack.repair_of(fault)[1].signoff) | ({licensed} if licensed else frozenset())


def _other_trade(model: Model, repair: str) -> bool:
    trade = model.entries[model.repair_index[repair]].trade
    return trade is not None or any(model.pack.faults[f].trade for f in model.cured_by(repair))


def _minutes(model: Model, repair: str, entry: Repair) -> float:
    return FINDING_MINUTES if _other_trade(model, repair) else entry.minutes + PROOF_MINUTES


def _wrong(model: Model, repair: str, entry: Repair) -> float:
    ends = _other_trade(model, repair) or all(f == USAGE_NORMAL for f in model.cured_by(repair))
    return WRONG_STOP if ends else WRONG_PART[entry.cost]


def senseless(pack: Pack, check: Check, evidence: Evidence) -> bool:
    """Whether what was told leaves a check no sense, or answers it already."""
    barred = set(check.unless) & set(evidence.complaints)
    if barred and barred - set(lifted_complaints(pack, evidence)):
        return True
    if any(pack.checks.get(moot) is check for moot in moot_checks(pack, evidence)):
        return True
    if check.needless and set(check.needless) & absent_complaints(pack, evidence.complaints, evidence.denied):
        return True
    return bool(check.presumes) and not set(check.presumes) & {*evidence.complaints, *seen_complaints(pack, evidence)}


def _allowed(model: Model, after: Posterior, evidence: Evidence, situation: Situation) -> Ints:
    """Indices of the checks that may be asked: not answered yet, not refused, possible on this machine, tools at
    hand, live only for the signed-off, no run of what must get no power.

    A check made before a repair may be made again where the repair touched what it looks at.
    """
    answered: set[str] = set()
    for fact in evidence.history:
        if isinstance(fact, Seen):
            answered.add(fact.check)
        else:
            mine = np.flatnonzero(model.repair_of == repair_id(model, fact.repair))
            answered = {c for c in answered if model.pack.checks[c].begins  # how it began stays as it was told
                        or departure(model, model.check_index[c])[mine].max(initial=0.0) < TOUCHED}
    allowed = []
    within = within_reach(model.pack, evidence, situation)
    there = model.applies @ after.mass
    for c, (check_id, check) in enumerate(model.pack.checks.items()):
        out = check_id in answered or check_id not in within
        out = out or senseless(model.pack, check, evidence) or kind_known(check, evidence.variant)
        out = out or not holds_as_told(check, evidence) or there[c] < HARDLY_THERE
        if not out:
            allowed.append(c)
    return np.array(allowed, dtype=np.int64)


def within_reach(pack: Pack, evidence: Evidence, situation: Situation) -> frozenset[str]:
    """The checks that this person may make on the machine as it stands, answered already or not: not refused, tools at
    hand, live only for the signed-off, no run of what must get no power."""
    stop, still = must_stop(pack, evidence), not_run(pack, evidence)
    within = set()
    for key, check in pack.checks.items():
        out = key in evidence.cannot or key in situation.declined or bool(set(check.tools) & evidence.cannot)
        out = out or (check.power == "live" and "live" not in situation.signoffs)
        out = out or (still and check.power in {"run", "live"}) or (stop and (check.at_outlet or check.resets))
        if not out:
            within.add(key)
    return frozenset(within)


def kind_known(check: Check, variant: Collection[str]) -> bool:
    """Whether it only tells how the machine is built ('gas or electric?'), and that is known on all its axes."""
    axes = {axis for result in check.results.values() for axis in result.identifies}
    return all(result.identifies for result in check.results.values()) and axes <= set(variant)


def holds_as_told(check: Check, evidence: Evidence) -> bool:
    """Whether nothing told of the machine's variant rules the check out."""
    told = {axis: value for axis, value in evidence.variant.items() if axis in check.only}
    return holds({axis: check.only[axis] for axis in told}, told)
