"""A planning problem: what the search sees of a machine, a belief and a situation. Plain arrays.

Costs are minute-equivalents. Masses are unnormalised: an action's cost is multiplied by the mass that meets it.
Opening a cover costs opening and closing at once, and is paid once; a check that needs a cover shut makes it cost
again when it is next needed.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from bot.diagnosis.compiled import Floats, Ints


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
    """Costs by set of open covers. Sets met are numbered; tables are filled as they are met."""

    def __init__(self, problem: Problem) -> None:
        """All tables start with the covers that are open now, as set number 0."""
        self._problem = problem
        c, r = problem.checks, problem.repairs
        nothing = np.zeros
        self._check_path = problem.check_path if len(problem.check_path) else nothing(c, dtype=np.int64)
        self._check_shuts = problem.check_shuts if len(problem.check_shuts) else nothing(c, dtype=np.int64)
        self._repair_path = problem.repair_path if len(problem.repair_path) else nothing(r, dtype=np.int64)
        self._number: dict[int, int] = {}
        self._masks: list[int] = []
        self.check_cost: Floats = np.zeros((0, c))
        """[sets, C] covers included."""
        self.repair_cost: Floats = np.zeros((0, r))
        """[sets, R] covers included."""
        self._after_check: Ints = np.zeros((0, c), dtype=np.int64)
        self._after_repair: Ints = np.zeros((0, r), dtype=np.int64)
        self.number(problem.open)

    def number(self, mask: int) -> int:
        """The number of a set of open covers."""
        if mask not in self._number:
            self._number[mask] = len(self._masks)
            self._masks.append(mask)
            problem = self._problem
            self.check_cost = np.vstack([self.check_cost, problem.check_cost + self._opening(self._check_path, mask)])
            self.repair_cost = np.vstack(
                [self.repair_cost, problem.repair_cost + self._opening(self._repair_path, mask)])
            self._after_check = np.vstack([self._after_check, np.full(problem.checks, -1)])
            self._after_repair = np.vstack([self._after_repair, np.full(problem.repairs, -1)])
        return self._number[mask]

    def _opening(self, paths: Ints, mask: int) -> Floats:
        cost = np.zeros(len(paths))
        for bit, minutes in enumerate(self._problem.cover_cost):
            cost += minutes * (((paths & ~mask) >> bit) & 1)
        return cost

    def after_check(self, sets: Ints, checks: Ints) -> Ints:
        """The sets of open covers after checks."""
        return self._after(sets, checks, "_after_check", self._check_path, self._check_shuts)

    def after_repair(self, sets: Ints, repairs: Ints) -> Ints:
        """The sets of open covers after repairs."""
        return self._after(sets, repairs, "_after_repair", self._repair_path, None)

    def _after(self, sets: Ints, actions: Ints, table: str, paths: Ints, shuts: Ints | None) -> Ints:
        after: Ints = getattr(self, table)[sets, actions]
        missing = after < 0
        if missing.any():
            for s, a in {*zip(sets[missing].tolist(), actions[missing].tolist(), strict=True)}:
                mask = self._masks[s] | int(paths[a])
                number = self.number(mask & ~int(shuts[a]) if shuts is not None else mask)
                getattr(self, table)[s, a] = number
            after = getattr(self, table)[sets, actions]
        return after


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
