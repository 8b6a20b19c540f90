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

BATCH: Final = 512
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
    """(k, i, j): hypothesis k is i and j at once. A repair of i leaves j, and the other way round. Its group is R."""

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
        self._check_path = problem.check_path if len(problem.check_path) else np.zeros(c, dtype=np.int64)
        self._check_shuts = problem.check_shuts if len(problem.check_shuts) else np.zeros(c, dtype=np.int64)
        self._repair_path = problem.repair_path if len(problem.repair_path) else np.zeros(r, dtype=np.int64)
        covers = np.arange(len(problem.cover_cost))
        paths = np.concatenate([self._check_path, self._repair_path])
        self._needs = (paths[:, None] >> covers) & 1
        self._covers, self._minutes = covers, problem.cover_cost
        self._plain = np.concatenate([problem.check_cost, problem.repair_cost])
        self._split = c
        self._number: dict[int, int] = {}
        self._masks = np.zeros(0, dtype=np.int64)
        self._costs = np.zeros((0, c + r))
        self._numbered(np.array([problem.open], dtype=np.int64))

    @property
    def check_cost(self) -> Floats:
        """[sets, C] covers included."""
        costs: Floats = self._costs[:, :self._split]
        return costs

    @property
    def repair_cost(self) -> Floats:
        """[sets, R] covers included."""
        costs: Floats = self._costs[:, self._split:]
        return costs

    def after_check(self, sets: Ints, checks: Ints) -> Ints:
        """The sets of open covers after checks."""
        return self._numbered((self._masks[sets] | self._check_path[checks]) & ~self._check_shuts[checks])

    def after_repair(self, sets: Ints, repairs: Ints) -> Ints:
        """The sets of open covers after repairs."""
        return self._numbered(self._masks[sets] | self._repair_path[repairs])

    def _numbered(self, masks: Ints) -> Ints:
        distinct, inverse = np.unique(masks, return_inverse=True)
        fresh = [mask for mask in distinct.tolist() if mask not in self._number]
        if fresh:
            self._number |= {mask: len(self._number) + i for i, mask in enumerate(fresh)}
            added = np.array(fresh, dtype=np.int64)
            shut = 1 - ((added[:, None] >> self._covers) & 1)
            opening = (shut * self._minutes) @ self._needs.T
            self._masks = np.concatenate([self._masks, added])
            self._costs = np.vstack([self._costs, self._plain + opening])
        numbers = np.array([self._number[mask] for mask in distinct.tolist()], dtype=np.int64)
        return numbers[inverse.reshape(masks.shape)]


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


def result_mask(problem: Problem) -> NDArray[np.bool_]:
    """[C, O] which results exist."""
    return np.asarray((problem.rows > 0).any(axis=2))


def batches(count: int) -> Iterator[slice]:
    """Slices that cover `count` nodes, BATCH at a time."""
    for start in range(0, count, BATCH):
        yield slice(start, min(start + BATCH, count))
