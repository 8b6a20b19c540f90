"""From a pack to arrays: what belief and planner calculate with.

A hypothesis is a fault (or `unknown`) on machines of one *kind*: all variant combinations that no check can tell
apart. Rows that would be equal are thereby kept once.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from bot.diagnosis.evidence import UNKNOWN
from bot.diagnosis.thresholds import (
    BACKGROUND_COMPLAINT,
    LEAK_UNIFORM,
    LEAST_SHOWN,
    MISIDENTIFIED,
    NOT_THERE,
    SMOOTH_CHECKS,
    SMOOTH_COMPLAINTS,
    TEMPER_CHECKS,
)
from knowledge.likelihood import distribution, probability
from knowledge.schema import Check, Only, Pack, Repair

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
NO_COMBINATION: Final[Mapping[str, str]] = {}


@dataclass(frozen=True, slots=True, eq=False)
class Model:
    """One family, compiled. Axis lengths: H hypotheses, V variant combinations, C checks, O results at most."""

    pack: Pack
    faults: tuple[str, ...]
    complaints: tuple[str, ...]
    checks: tuple[str, ...]
    results: tuple[tuple[str, ...], ...]
    """Result ids of each check, in the order of the `rows` axis O."""
    combinations: tuple[Mapping[str, str], ...]
    fault_of: Ints
    """[H] index into `faults`; len(faults) for `unknown`."""
    kind_of: Ints
    """[H] which kind of machine; pairs of faults join only hypotheses of one kind."""
    weights: Floats
    """[H, V] joint prior of hypothesis and combination; sums to 1."""
    shows: Floats
    """[H, complaints] chance that the complaint is there."""
    mistold: Floats
    """[complaints] chance that it is told of a fault that does not name it."""
    rows: Floats
    """[C, O, H] chance of each result; padded with 0. `unknown` holds the leak."""
    normal: Floats
    """[C, O, kinds] the row of a machine of that kind without any of the faults."""
    applies: NDArray[np.bool_]
    """[C, H] whether the check exists on that machine."""
    repair_of: Ints
    """[H] index into `repairs`; -1 for `unknown`."""
    repairs: tuple[str, ...]
    entries: tuple[Repair, ...]
    """[repairs] what the pack says of each."""
    cures: tuple[tuple[str, ...], ...]
    """[repairs] the faults that each cures."""
    works: Floats
    """[repairs] chance that a repair done right cures its fault."""
    check_index: Mapping[str, int]
    complaint_index: Mapping[str, int]
    repair_index: Mapping[str, int]
    """By repair id and by fault id."""

    @property
    def hypotheses(self) -> int:
        """How many hypotheses there are, `unknown` included."""
        return len(self.fault_of)

    def name(self, fault: int) -> str:
        """The id of a fault by its index."""
        return self.faults[fault] if fault < len(self.faults) else UNKNOWN

    def cured_by(self, repair: str) -> tuple[str, ...]:
        """The faults that a repair cures, by its id or by the id of a fault."""
        return self.cures[self.repair_index[repair]]

    def result_index(self, check: str, result: str) -> int:
        """Where a result stands on the O axis. Raises KeyError with the ids there are."""
        known = self.results[self.check_index[check]]
        if result not in known:
            raise KeyError(f"check '{check}' has no result '{result}': it has {', '.join(known)}")
        return known.index(result)


def compile_pack(pack: Pack, *, smooth: float = SMOOTH_CHECKS, smooth_complaints: float = SMOOTH_COMPLAINTS,
                 temper: float = TEMPER_CHECKS) -> Model:
    """The arrays of a validated pack. Same pack, same arrays, bit for bit.

    `smooth` is the share of every check row given to all results alike, `smooth_complaints` the share of every
    complaint's chance given to the family's average, `temper` the power that check rows are raised to; simulations of
    the truth take 0, 0 and 1.
    """
    faults = tuple(pack.faults)
    combinations, shares = _combinations(pack)
    kinds = _kinds(pack, combinations)
    weights, fault_of, kind_of = _hypotheses(pack, combinations, shares, kinds)
    complaints, checks = tuple(pack.complaints), tuple(pack.checks)
    results = tuple(tuple(check.results) for check in pack.checks.values())
    shows_of, mistold = _shows(pack, complaints, smooth_complaints)
    shows = shows_of[fault_of]
    rows, normal, applies = _rows(pack, smooth, temper, results, combinations, kinds, fault_of, kind_of)
    _leak(rows, shows, weights.sum(axis=1), fault_of, kind_of, len(faults))
    own = {fault: pack.repair_of(fault)[0] for fault in faults}
    repairs = tuple(dict.fromkeys(own.values()))
    repair_index = {repair: i for i, repair in enumerate(repairs)}
    of_fault = np.array([*(repair_index[own[fault]] for fault in faults), -1])
    entries: dict[str, Repair] = {}
    cures: dict[str, list[str]] = {}
    for fault in faults:
        repair, entries[repair] = pack.repair_of(fault)
        cures.setdefault(repair, []).append(fault)
    return Model(
        pack=pack, faults=faults, complaints=complaints, checks=checks, results=results, combinations=combinations,
        fault_of=fault_of, kind_of=kind_of, weights=weights, shows=shows, mistold=mistold, rows=rows, normal=normal,
        applies=applies, repair_of=of_fault[fault_of], repairs=repairs,
        entries=tuple(entries[r] for r in repairs), cures=tuple(tuple(cures[r]) for r in repairs),
        works=np.array([entries[r].works for r in repairs]),
        check_index={check: i for i, check in enumerate(checks)},
        complaint_index={complaint: i for i, complaint in enumerate(complaints)},
        repair_index=repair_index | {f: repair_index[own[f]] for f in faults if f not in repair_index},
    )


def holds(only: Only, combination: Mapping[str, str]) -> bool:
    """Whether a machine of this combination is one that `only` speaks of."""
    return all(combination.get(axis) in values for axis, values in only.items())


def _combinations(pack: Pack) -> tuple[tuple[Mapping[str, str], ...], Floats]:
    listed = pack.family.combinations
    if not listed:
        return (NO_COMBINATION,), np.ones(1)
    combinations = tuple({a: str(v) for a, v in row.items() if a != "share"} for row in listed)
    shares = np.array([float(row["share"]) for row in listed])
    return combinations, shares / shares.sum()


def _kinds(pack: Pack, combinations: tuple[Mapping[str, str], ...]) -> Ints:
    """[V] the kind of each combination: equal where no check and no result tells them apart."""
    seen: dict[tuple[bool, ...], int] = {}
    kinds = []
    only = [check.only for check in pack.checks.values() if check.only]
    identified = [its for check in pack.checks.values() for result in check.results.values()
                  if (its := result.identifies)]
    for combination in combinations:
        signature = (*(holds(one, combination) for one in only), *(_agrees(one, combination) for one in identified))
        kinds.append(seen.setdefault(signature, len(seen)))
    return np.array(kinds)


def _agrees(identifies: Mapping[str, str], combination: Mapping[str, str]) -> bool:
    return all(combination.get(axis) == value for axis, value in identifies.items())


def _hypotheses(pack: Pack, combinations: tuple[Mapping[str, str], ...], shares: Floats,
                kinds: Ints) -> tuple[Floats, Ints, Ints]:
    """`frequency` is a share of the family's visits: spread over the combinations on which the fault can be."""
    frequency = np.array([fault.frequency for fault in pack.faults.values()])
    known = 1.0 - pack.family.unknown
    weights, fault_of, kind_of = [], [], []
    for f, fault in enumerate(pack.faults.values()):
        allowed = np.array([holds(fault.only, combination) for combination in combinations])
        if not allowed.any():
            allowed[:] = True
        spread = known * frequency[f] / frequency.sum() * shares * allowed / (shares * allowed).sum()
        for kind in np.unique(kinds[allowed]):
            weights.append(np.where(kinds == kind, spread, 0.0))
            fault_of.append(f)
            kind_of.append(kind)
    for kind in np.unique(kinds):
        weights.append(np.where(kinds == kind, pack.family.unknown * shares, 0.0))
        fault_of.append(len(pack.faults))
        kind_of.append(kind)
    return np.array(weights), np.array(fault_of), np.array(kind_of)


def _shows(pack: Pack, complaints: tuple[str, ...], smooth: float) -> tuple[Floats, Floats]:
    """[faults + unknown, complaints], pulled a little to the family's own average, and [complaints] what a fault is
    given that does not name the complaint: a share of how often it is told at all (see thresholds)."""
    frequency = np.array([fault.frequency for fault in pack.faults.values()])
    named = np.array([[probability(fault.shows[c]) if c in fault.shows else 0.0 for c in complaints]
                      for fault in pack.faults.values()])
    mistold = BACKGROUND_COMPLAINT * (frequency @ named / frequency.sum())
    said = np.where(named > 0, named, mistold)
    average = frequency @ said / frequency.sum()
    known = (1 - smooth) * said + smooth * average
    unknown = (1 - LEAK_UNIFORM) * average + LEAK_UNIFORM * average.mean()
    shows = np.clip(np.vstack([known, unknown]), LEAST_SHOWN, 1 - LEAST_SHOWN)
    return np.asarray(shows), np.asarray((1 - smooth) * mistold + smooth * average)


def _rows(pack: Pack, smooth: float, temper: float, results: tuple[tuple[str, ...], ...],
          combinations: tuple[Mapping[str, str], ...], kinds: Ints, fault_of: Ints,
          kind_of: Ints) -> tuple[Floats, Floats, NDArray[np.bool_]]:
    width = max((len(r) for r in results), default=1)
    size = len(fault_of)
    rows = np.zeros((len(results), width, size))
    normal = np.zeros((len(results), width, int(kinds.max()) + 1))
    applies = np.ones((len(results), size), dtype=bool)
    samples = [combinations[int(np.argmax(kinds == kind))] for kind in range(normal.shape[2])]
    for c, (check_id, check) in enumerate(pack.checks.items()):
        outcomes = results[c]
        plain, of_fault = _said(pack, smooth, temper, check_id, check, outcomes)
        table = np.vstack([of_fault, plain])
        for fits, those in _alike(check, samples).items():
            alike = np.isin(np.arange(len(samples)), those)
            here = alike[kind_of]
            if not fits:
                applies[c, here] = False
                rows[c, :len(outcomes), here] = normal[c, :len(outcomes), alike] = NOT_THERE / len(outcomes)
                continue
            fitted = table * np.array(fits)
            fitted /= fitted.sum(axis=1, keepdims=True)
            rows[c, :len(outcomes), here] = fitted[np.minimum(fault_of[here], len(table) - 1)]
            normal[c, :len(outcomes), alike] = fitted[-1]
    return rows, normal, applies


def _alike(check: Check, samples: Sequence[Mapping[str, str]]) -> dict[tuple[float, ...], list[int]]:
    """Kinds of machine by how a check is on them: for each result 1 where the kind is as the result says; empty where
    the kind has no such check."""
    found: dict[tuple[float, ...], list[int]] = {}
    for kind, sample in enumerate(samples):
        fits = tuple(1.0 if _agrees(result.identifies, sample) else MISIDENTIFIED for result in check.results.values())
        found.setdefault(fits if holds(check.only, sample) else (), []).append(kind)
    return found


def _said(pack: Pack, smooth: float, temper: float, check_id: str, check: Check,
          outcomes: tuple[str, ...]) -> tuple[Floats, Floats]:
    """The row of a normal machine, smoothed and tempered, and of each fault."""
    said = [check.likelihoods.get("normal", {})]
    own: list[int] = []
    for f, (fault_id, fault) in enumerate(pack.faults.items()):
        its = check.likelihoods.get(fault_id, fault.checks.get(check_id))
        if its is not None:
            said.append(its)
            own.append(f)
    sharp = np.array([list(distribution(dict(one), outcomes).values()) for one in said])
    whole = ((1 - smooth) * sharp + smooth / len(outcomes)) ** temper
    whole /= whole.sum(axis=1, keepdims=True)
    of_fault = np.tile(whole[0], (len(pack.faults), 1))
    of_fault[own] = whole[1:]
    return whole[0], of_fault


def _leak(rows: Floats, shows: Floats, prior: Floats, fault_of: Ints, kind_of: Ints, faults: int) -> None:
    """`unknown` behaves like an average fault most of the time, and anyhow for the rest (see thresholds)."""
    for h in np.flatnonzero(fault_of == faults):
        mates = (kind_of == kind_of[h]) & (fault_of < faults)
        marginal = rows[:, :, mates] @ (prior[mates] / prior[mates].sum())
        there = rows[:, :, h] > 0
        width = there.sum(axis=1, keepdims=True)
        total = rows[:, :, h].sum(axis=1, keepdims=True)
        rows[:, :, h] = np.where(there, (1 - LEAK_UNIFORM) * marginal + LEAK_UNIFORM * total / width, 0.0)
