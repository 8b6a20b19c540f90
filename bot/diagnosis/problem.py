"""A planning problem: what the search sees of a machine, a belief and a situation. Plain arrays.

Costs are minute-equivalents. Masses are unnormalised: an action's cost is multiplied by the mass that meets it.
Opening a cover costs opening and closing at once, and is paid once; a check that needs a cover shut makes it cost
again when it is next needed.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final

import numpy as np
from numpy.typing import NDArray

from bot.diagnosis.compiled import Floats, Ints

AHEAD: Final = 256
"""Sets of open covers that are numbered at once."""
BATCH: Final = 1024
"""Nodes worked on at once: small enough that the intermediate tables, a row a node, stay within a few megabytes and
mostly within the processor's cache."""


@dataclass(frozen=True, slots=True, eq=False)
class Problem:
    """K hypotheses, C checks with up to O results, R repairs."""

    belief: Floats
    """[K] mass of each hypothesis now."""
    rows: Floats
    """[C, O, K] chance of each result, 0 where padded. What is missing to 1 is the chance that the check turns out
    impossible."""
    check_cost: Floats
    """[C] minutes and risk."""
    group: Ints
    """[K] the repair that cures a hypothesis; R where none may be done here."""
    works: Floats
    """[R] chance that the repair cures a hypothesis of its group."""
    repair_cost: Floats
    """[R] minutes and proof."""
    wrong_cost: Floats
    """[R] paid on top when it did not cure."""
    handoff: Floats
    """[R + 1] cost of handing off when the truth is in that group (the senior still has to repair it)."""
    ask_cost: float = 1.0
    """Cost of asking for a check that turns out impossible."""
    check_path: Ints = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    """[C] bit mask of the covers that must be open; empty: none anywhere."""
    check_shuts: Ints = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    """[C] bit mask of the covers that it shuts."""
    repair_path: Ints = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    """[R] bit mask of the covers that must be open."""
    cover_cost: Floats = field(default_factory=lambda: np.zeros(0))
    """[covers] minutes to open and close again."""
    open: int = 0
    """Bit mask of the covers open now."""
    pairs: tuple[tuple[int, int, int], ...] = ()
    """(k, i, j): hypothesis k is i and j at once. A repair of i leaves j, and the other way round. Its group is R, and
    a senior has both repairs to make."""

    @property
    def handing(self) -> Floats:
        """[K] cost of handing off each hypothesis."""
        each: Floats = self.handoff[self.group]
        for k, i, j in self.pairs:
            both = each[j] - self.handoff[-1] if self.group[i] != self.group[j] else 0.0
            each[k] = each[i] + both
        return each

    @property
    def checks(self) -> int:
        """How many checks there are."""
        return len(self.check_cost)

    @property
    def repairs(self) -> int:
        """How many repairs there are."""
        return len(self.repair_cost)


class Access:
    """Costs by set of open covers. Sets met are numbered; the tables grow as they are met."""

    def __init__(self, problem: Problem) -> None:
        """The covers that are open now are set number 0."""
        c, r = problem.checks, problem.repairs
        self._path, self._shuts = np.zeros((2, c + r), dtype=np.int64)
        self._path[:len(problem.check_path)] = problem.check_path
        self._path[c:c + len(problem.repair_path)] = problem.repair_path
        self._shuts[:len(problem.check_shuts)] = problem.check_shuts
        covers = np.arange(len(problem.cover_cost))
        self._needs = (self._path[:, None] >> covers) & 1
        self._covers, self._minutes = covers, problem.cover_cost
        self._plain = np.concatenate([problem.check_cost, problem.repair_cost])
        self._problem = problem
        _, self._kinds = np.unique(np.stack([self._path, self._shuts]), axis=1, return_index=True)
        self._masks = np.zeros(0, dtype=np.int64)
        self._after = np.zeros((0, c + r), dtype=np.int64)
        self.check_cost: Floats = np.zeros((0, c))
        """[sets, C] covers included."""
        self.repair_cost: Floats = np.zeros((0, r))
        """[sets, R] covers included."""
        self.promise: Floats = np.zeros((0, r))
        """[sets, R] chance of a cure over cost, were the fault one that the repair cures."""
        self.least: Floats = np.zeros((0, r))
        """[sets, R] the least that a fault known for certain costs: its repair or hand-off."""
        self._add(np.array([problem.open]))

    def after_check(self, sets: Ints, checks: Ints) -> Ints:
        """The sets of open covers after checks."""
        return self._moved(sets, checks)

    def after_repair(self, sets: Ints, repairs: Ints) -> Ints:
        """The sets of open covers after repairs."""
        return self._moved(sets, repairs + self._problem.checks)

    def _moved(self, sets: Ints, actions: Ints) -> Ints:
        place = sets * self._after.shape[1] + actions
        after: Ints = self._after.ravel().take(place)
        if after.min(initial=0) < 0:
            fresh = np.unique(place[after < 0])
            of, action = np.divmod(fresh, self._after.shape[1])
            self._add(self._next(self._masks[of], action))
            after = self._after.ravel().take(place)
        return after

    def _next(self, masks: Ints, actions: Ints) -> Ints:
        """What is open after actions."""
        after: Ints = (masks | self._path[actions]) & ~self._shuts[actions]
        return after

    def _add(self, masks: Ints) -> None:
        """Numbers these sets and those that follow on them, AHEAD or so at a time: one by one is slow."""
        fresh, every = np.setdiff1d(masks, self._masks), np.arange(len(self._path))
        newest = fresh
        while len(newest) and len(fresh) < AHEAD:
            newest = np.setdiff1d(self._next(newest[:, None], self._kinds), np.concatenate([self._masks, fresh]))
            fresh = np.concatenate([fresh, newest])
        self._masks = np.concatenate([self._masks, fresh])
        shut = 1 - ((fresh[:, None] >> self._covers) & 1)
        costs = self._plain + (shut * self._minutes) @ self._needs.T
        repairs = costs[:, self._problem.checks:]
        self.check_cost = np.vstack([self.check_cost, costs[:, :self._problem.checks]])
        self.repair_cost = np.vstack([self.repair_cost, repairs])
        self.promise = np.vstack([self.promise, self._problem.works / (repairs + self._problem.wrong_cost)])
        self.least = np.vstack([self.least, np.minimum(self._problem.handoff[:-1], repairs)])
        order = np.argsort(self._masks)
        after = self._next(self._masks[:, None], every)
        place = order[np.minimum(np.searchsorted(self._masks, after, sorter=order), len(order) - 1)]
        self._after = np.where(self._masks[place] == after, place, -1)


def after_repair(problem: Problem, belief: Floats, repairs: Ints) -> Floats:
    """[N, K] the mass that is left when repairs [N] were done on beliefs [N, K] and did not cure."""
    works = problem.works[repairs][:, None]
    mine = problem.group[None, :] == repairs[:, None]
    left: Floats = np.where(mine, belief * (1 - works), belief)
    for k, i, j in problem.pairs:
        for gone, stays in ((i, j), (j, i)):
            hit = (problem.group[gone] == repairs) & (problem.group[stays] != repairs)
            moved = belief[:, k] * works[:, 0] * hit
            left[:, k] -= moved
            left[:, stays] += moved
        cured = (problem.group[i] == repairs) & (problem.group[j] == repairs)
        left[:, k] -= belief[:, k] * works[:, 0] * cured
    return left


def in_vain(problem: Problem, belief: Floats, repairs: Ints, left: Floats) -> Floats:
    """[N] of what is `left` after repairs [N] on beliefs [N, K], the mass for which the part was in vain: one of two
    faults put right is none."""
    wasted: Floats = left.sum(axis=1)
    for k, i, j in problem.pairs:
        halved = (problem.group[i] == repairs) != (problem.group[j] == repairs)
        wasted -= belief[:, k] * problem.works[repairs] * halved
    return wasted


def result_mask(problem: Problem) -> NDArray[np.bool_]:
    """[C, O] which results exist."""
    return np.asarray((problem.rows > 0).any(axis=2))


def batches(count: int) -> Iterator[slice]:
    """Slices that cover `count` nodes, BATCH at a time."""
    for start in range(0, count, BATCH):
        yield slice(start, min(start + BATCH, count))
