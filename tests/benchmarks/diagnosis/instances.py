"""Random planning problems. Development and test draw from seeds apart."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bot.diagnosis.problem import Problem

REGIMES = ("normal", "stress", "noise_free", "shared")
DEVELOPMENT, TEST = 1_000_000, 2_000_000
"""First seeds of the two sets."""


@dataclass(frozen=True)
class Size:
    """How large a problem is."""

    faults: int
    checks: int
    repairs: int
    covers: int
    results: tuple[int, ...] = (2, 3)
    touched: tuple[int, int] = (1, 4)
    """How many faults depart from normal in a check, least and most."""


SMALL = (Size(5, 5, 4, 2), Size(6, 6, 4, 2), Size(7, 6, 5, 2), Size(8, 7, 5, 2, results=(2,), touched=(1, 5)))
MIDDLE = Size(20, 9, 7, 2, results=(2,), touched=(2, 8))
LARGE = {"40x40x36": Size(40, 40, 36, 6, touched=(1, 8)), "60x80x60": Size(60, 80, 60, 8, touched=(1, 9))}


def problem(size: Size, regime: str, seed: int, impossible: bool = False, told: bool = False) -> Problem:
    """One problem: faults with a skewed prior and an unknown one, checks that split some of them from the rest.

    `told`: a complaint that a quarter of the faults show is known from the start, as it is on a visit.
    """
    rng = np.random.default_rng(seed)
    faults = size.faults
    prior = rng.dirichlet(np.full(faults, 0.8)) * 0.96 + 0.04 / faults / 10
    belief = np.append(prior / prior.sum() * 0.96, 0.04)
    if told:
        shows = np.append(np.where(rng.random(faults) < 0.25, rng.uniform(0.5, 0.97, faults), 0.02), 0.25)
        belief = belief * shows / (belief @ shows)
    rows = _rows(rng, size, regime, prior)
    if impossible:
        rows = rows * (1 - rng.choice([0.0, 0.05, 0.2], size=size.checks))[:, None, None]
    group = _groups(rng, size, regime)
    scale = {"repairs": 2.0, "covers": 3.0, "checks": 0.4, "handoff": 2.0} if regime == "stress" else {}
    paths = 1 << np.arange(size.covers)
    behind = rng.integers(0, size.covers + 2, size=size.checks)
    check_path = np.where(behind < size.covers, paths[np.minimum(behind, size.covers - 1)], 0)
    behind = rng.integers(0, size.covers + 1, size=size.repairs)
    repair_path = np.where(behind < size.covers, paths[np.minimum(behind, size.covers - 1)], 0)
    every = (1 << size.covers) - 1
    shuts = np.where((check_path == 0) & (rng.random(size.checks) < 0.25), every, 0)
    repair_cost = rng.uniform(8, 60, size.repairs) * scale.get("repairs", 1.0)
    handoff = 150.0 * scale.get("handoff", 1.0)
    return Problem(
        belief=belief, rows=rows, check_cost=rng.uniform(1, 8, size.checks) * scale.get("checks", 1.0), group=group,
        works=np.ones(size.repairs), repair_cost=repair_cost,
        wrong_cost=rng.choice([0.0, 10.0, 25.0], size=size.repairs),
        handoff=np.full(size.repairs + 1, handoff), check_path=check_path.astype(np.int64),
        check_shuts=shuts.astype(np.int64), repair_path=repair_path.astype(np.int64),
        cover_cost=rng.uniform(4, 12, size.covers) * scale.get("covers", 1.0))


def _rows(rng: np.random.Generator, size: Size, regime: str, prior: np.ndarray) -> np.ndarray:
    width = max(size.results)
    rows = np.zeros((size.checks, width, size.faults + 1))
    for c in range(size.checks):
        results = int(rng.choice(size.results))
        plain = _row(rng, results, 0, regime)
        table = np.tile(plain, (size.faults, 1))
        count = int(rng.integers(size.touched[0], min(size.touched[1], size.faults - 1) + 1))
        for f in rng.choice(size.faults, size=count, replace=False):
            table[f] = _row(rng, results, int(rng.integers(1, results)), regime)
        rows[c, :results, :-1] = table.T
        rows[c, :results, -1] = 0.9 * (prior / prior.sum()) @ table + 0.1 / results
    return rows


def _row(rng: np.random.Generator, results: int, likely: int, regime: str) -> np.ndarray:
    strength = 1.0 if regime == "noise_free" else float(rng.uniform(0.75, 0.98))
    row = np.full(results, (1 - strength) / max(1, results - 1))
    row[likely] = strength
    return row


def _groups(rng: np.random.Generator, size: Size, regime: str) -> np.ndarray:
    """Which repair cures which fault; `shared`: 60 % of the faults share their repair with another."""
    if regime == "shared":
        alone = max(1, min(size.repairs - 1, round(0.4 * size.faults)))
        first = np.arange(size.faults)
        shared = max(1, min(size.repairs - alone, (size.faults - alone + 1) // 2))
        group = np.where(first < alone, first, alone + (first - alone) % shared)
    else:
        group = np.arange(size.faults) % size.repairs
    return np.append(rng.permutation(group), size.repairs)
