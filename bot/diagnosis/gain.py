"""Which checks are worth trying at a belief, many beliefs at once."""

from __future__ import annotations

from typing import Final

import numpy as np

from bot.diagnosis.compiled import Floats
from bot.diagnosis.problem import Problem, batches, result_mask

SINGLE: Final = 0.05
"""Share of the gain that counts single hypotheses instead of classes of equal repair."""


class Scorer:
    """Gini gain a minute of every check at many beliefs at once.

    gain(c) = sum_o sum_k p(o,k)^2 / p(o) - sum_k p(k)^2 over classes k of hypotheses cured by the same repair.
    The squares of sums are expanded into products of two hypotheses of a class, so one matrix product does it.
    A small part of the same gain over single hypotheses is added: a check may tell faults of one class apart and
    so make another check pay.
    """

    def __init__(self, problem: Problem) -> None:
        """Products of likelihoods, once a problem."""
        left, right, times = [], [], []
        for group in range(problem.repairs + 1):
            mine = np.flatnonzero(problem.group == group)
            i, j = np.triu_indices(len(mine))
            left.append(mine[i])
            right.append(mine[j])
            times.append(np.where(i == j, 1.0, 2.0 * (1 - SINGLE)))
        self._left, self._right = np.concatenate(left), np.concatenate(right)
        self._times = np.concatenate(times)
        there = result_mask(problem)
        there[:, :1] = True  # so that every check has a stretch of columns of its own
        flat = problem.rows[there].astype(np.float64)
        self._starts = np.cumsum(there.sum(axis=1)) - there.sum(axis=1)
        self._plain = np.ascontiguousarray(flat.T)
        square = flat[:, self._left]
        square *= flat[:, self._right]
        square *= self._times
        self._square = square.T

    def gain(self, belief: Floats) -> Floats:
        """[N, C] gain, scaled by mass."""
        gain = np.empty((len(belief), len(self._starts)))
        for some in batches(len(belief)):
            gain[some] = self._gain(belief[some])
        return gain

    def _gain(self, belief: Floats) -> Floats:
        products = belief[:, self._left] * belief[:, self._right]
        chance = belief @ self._plain
        square = products @ self._square
        np.divide(square, chance, out=square, where=chance > 1e-300)
        made = np.add.reduceat(chance, self._starts, axis=1)
        mass = belief.sum(axis=1)
        before = (products @ self._times) / np.maximum(mass, 1e-300) ** 2
        gain: Floats = np.add.reduceat(square, self._starts, axis=1) - before[:, None] * made
        return gain
