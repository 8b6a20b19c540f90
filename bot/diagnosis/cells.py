"""The hypotheses that are planned on: fewer than the belief has, and without making machines easier than they are.

Belief weighs every fault on every kind of machine. Planning joins kinds, always for all faults alike: if the likely
fault were split by kind and the others not, then a check that exists on one kind only would seem to tell them apart
by being possible, and be asked for nothing.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bot.diagnosis.belief import Posterior
from bot.diagnosis.compiled import Floats, Ints, Model
from bot.diagnosis.thresholds import KINDS_ALIKE, PLANNED_HYPOTHESES, PLANNED_MASS


@dataclass(frozen=True, slots=True, eq=False)
class Cells:
    """K hypotheses to plan on: a fault on machines of kinds that are alike. Pairs of faults follow at the end."""

    mass: Floats
    """[K]"""
    rows: Floats
    """[C, O, K] chance of each result; what is missing to 1 is the chance that the machine has no such check."""
    fault_of: Ints
    """[K] index into the model's faults; len(faults) for unknown, for what is left out and for pairs."""
    repair_of: Ints
    """[K] index into the model's repairs, -1 where none is known."""
    pairs: tuple[tuple[int, int, int], ...]
    """(k, i, j): hypothesis k is i and j at once."""


def cells_of(model: Model, after: Posterior, checks: Ints) -> Cells:
    """The belief as cells, with the rows of those checks. The faults that share the last half per cent count as
    unknown."""
    kinds = kinds_apart(model, after)
    width = len(model.faults) + 1
    cell = kinds[model.kind_of] * width + model.fault_of
    mass = _sums(cell, after.mass, width * (int(kinds.max()) + 1))
    paired = np.unique(cell[np.concatenate([after.pairs.first, after.pairs.second])])
    likely = _kept(mass)
    likely[paired] = True
    cell = np.where(likely[cell], cell, (cell // width) * width + width - 1)
    kept, of = np.unique(cell, return_inverse=True)
    rows = _joined(model, after, of, len(kept), checks)
    fault_of = kept % width
    repair_of = np.full(len(kept), -1)
    known = fault_of[of] < width - 1
    repair_of[of[known]] = model.repair_of[known]
    return _with_pairs(model, after, Cells(_sums(of, after.mass, len(kept)), rows, fault_of, repair_of, ()), of, checks)


def kinds_apart(model: Model, after: Posterior) -> Ints:
    """[kinds] a number for each kind of machine; equal for kinds on which much the same faults are likely.

    Joined greedily while that misplaces little of the belief, or while there are too many cells: joining a and b
    misplaces 2 m_a m_b / (m_a + m_b) times the total variation between the faults of a and of b.
    """
    count = int(model.kind_of.max()) + 1
    table = np.zeros((count, len(model.faults) + 1))
    np.add.at(table, (model.kind_of, model.fault_of), after.mass)
    number = np.arange(count)
    left = list(range(count))
    once = np.where(np.tri(count, dtype=bool), np.inf, 0.0)  # each two kinds are looked at once
    while len(left) > 1:
        share = table[left].sum(axis=1)
        profile = table[left] / np.maximum(share, 1e-300)[:, None]
        apart = 0.5 * np.abs(profile[:, None] - profile[None]).sum(axis=2)
        misplaced = 2 * share[:, None] * share / np.maximum(share[:, None] + share, 1e-300) * apart
        misplaced = np.round(misplaced, 12) + once[:len(left), :len(left)]
        a, b = np.unravel_index(int(np.argmin(misplaced)), misplaced.shape)
        if misplaced[a, b] > KINDS_ALIKE and _kept(table[left].ravel()).sum() <= PLANNED_HYPOTHESES:
            break
        table[left[a]] += table[left[b]]
        number[number == left[b]] = left[a]
        del left[b]
    return np.unique(number, return_inverse=True)[1]


def _sums(of: Ints, mass: Floats, count: int) -> Floats:
    return np.asarray(np.bincount(of, weights=mass, minlength=count), dtype=np.float64)


def _kept(mass: Floats) -> NDArray[np.bool_]:
    """[cells] the likeliest that make up PLANNED_MASS of the belief."""
    order = np.argsort(-np.round(mass, 12), kind="stable")
    running = np.cumsum(mass[order])
    kept = np.zeros(len(mass), dtype=bool)
    kept[order[:int(np.searchsorted(running, PLANNED_MASS * running[-1])) + 1]] = True
    return kept


def _joined(model: Model, after: Posterior, of: Ints, count: int, checks: Ints) -> Floats:
    """[C, O, K] rows averaged over the hypotheses of each cell; nothing where the machine has no such check."""
    share = np.maximum(after.mass, 1e-300)
    share = share / _sums(of, share, count)[of]
    spread = np.zeros((len(of), count))
    spread[np.arange(len(of)), of] = share
    rows = np.empty((len(checks), model.rows.shape[1], count))
    for place, c in enumerate(checks.tolist()):
        rows[place] = np.where(model.applies[c], after.given.row(c), 0.0) @ spread
    return rows


def _with_pairs(model: Model, after: Posterior, cells: Cells, of: Ints, checks: Ints) -> Cells:
    if not len(after.pairs.mass):
        return cells
    first, second = after.pairs.first, after.pairs.second
    away = np.stack([departure_at(model, first, checks), departure_at(model, second, checks)]) + 1e-9
    share = (away / away.sum(axis=0))[:, :, None, :]
    joint = share[0] * cells.rows[:, :, of[first]] + share[1] * cells.rows[:, :, of[second]]
    count, more = len(cells.mass), len(after.pairs.mass)
    return Cells(
        np.append(cells.mass, after.pairs.mass), np.concatenate([cells.rows, joint], axis=2),
        np.append(cells.fault_of, np.full(more, len(model.faults))), np.append(cells.repair_of, np.full(more, -1)),
        tuple(zip(range(count, count + more), of[first].tolist(), of[second].tolist(), strict=True)))


def departure_at(model: Model, hypotheses: Ints, checks: Ints) -> Floats:
    """[C, P] how far the rows of those checks depart from normal for some hypotheses."""
    normal = model.normal[checks][:, :, model.kind_of[hypotheses]]
    away: Floats = 0.5 * np.abs(model.rows[checks][:, :, hypotheses] - normal).sum(axis=1)
    return away
