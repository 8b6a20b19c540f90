"""Which checks are worth trying at a belief, many beliefs at once."""

from __future__ import annotations

import numpy as np

from bot.diagnosis.compiled import Floats
from bot.diagnosis.problem import Problem, batches, result_mask
from bot.diagnosis.thresholds import SINGLE


class Scorer:
    """Gini gain a minute of every check at many beliefs at once.

    gain(c) = sum_o sum_k p(o,k)^2 / p(o) - sum_k p(k)^2 over classes k of hypotheses cured by the same repair.
    The squares of sums are expanded into products of two hypotheses of a class, so one matrix product does it.
    Columns are results: the first of every check, then the second of those that have one and so on, checks with most
    results first, so that sums over a check's results are sums of whole blocks.
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
        there[:, :1] = True  # so that every check has a column of its own
        width = there.sum(axis=1)
        order = np.argsort(-width, kind="stable")
        self._back = np.argsort(order)
        self._blocks = [int((width > o).sum()) for o in range(int(width.max(initial=0)))]
        place = np.argsort(~there, axis=1, kind="stable")
        columns = [problem.rows[order[:n], place[order[:n], o]] for o, n in enumerate(self._blocks)]
        flat = np.concatenate([*columns, np.zeros((0, len(problem.belief)))])
        self._plain = np.ascontiguousarray(flat.T)
        square = flat[:, self._left]
        square *= flat[:, self._right]
        square *= self._times
        self._square = square.T

    def gain(self, belief: Floats) -> Floats:
        """[N, C] gain, scaled by mass."""
        gain = np.empty((len(belief), len(self._back)))
        for some in batches(len(belief) if self._blocks else 0):
            gain[some] = self._gain(belief[some])
        return gain

    def _gain(self, belief: Floats) -> Floats:
        products = belief[:, self._left]
        products *= belief[:, self._right]
        chance = belief @ self._plain
        square = products @ self._square
        mass = belief.sum(axis=1)
        before = (products @ self._times) / np.maximum(mass, 1e-300) ** 2
        np.maximum(chance, 1e-300, out=chance)
        square /= chance
        gain, made, start = square[:, :self._blocks[0]], chance[:, :self._blocks[0]], 0
        for n in self._blocks:
            if start:
                gain[:, :n] += square[:, start:start + n]
                made[:, :n] += chance[:, start:start + n]
            start += n
        gain -= before[:, None] * made
        in_order: Floats = gain.take(self._back, axis=1)
        return in_order
