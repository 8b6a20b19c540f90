"""Which checks are worth trying at a belief, many beliefs at once."""

from __future__ import annotations

from typing import Final

import numpy as np

from bot.diagnosis.compiled import Floats
from bot.diagnosis.problem import Problem

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
        c, o, k = problem.rows.shape
        flat = problem.rows.reshape(c * o, k)
        self._shape = (c, o)
        self._plain = np.ascontiguousarray(flat.T)
        self._square = np.ascontiguousarray((flat[:, self._left] * flat[:, self._right] * self._times).T)

    def gain(self, belief: Floats) -> Floats:
        """[N, C] gain, scaled by mass."""
        products = belief[:, self._left] * belief[:, self._right]
        chance = belief @ self._plain
        square = products @ self._square
        np.divide(square, chance, out=square, where=chance > 1e-300)
        c, o = self._shape
        made = chance.reshape(len(belief), c, o).sum(axis=2)
        mass = belief.sum(axis=1)
        before = (products @ self._times) / np.maximum(mass, 1e-300) ** 2
        gain: Floats = square.reshape(len(belief), c, o).sum(axis=2) - before[:, None] * made
        return gain
