"""The exact optimum of small problems, twice: dynamic programming over all states, and an independent brute force.

A state is (answers, failed repairs, open covers). Both take repairs that surely cure their own faults (works = 1),
so that a repair is never worth doing twice.
"""

from __future__ import annotations

import numpy as np

from bot.diagnosis.problem import Problem


def optimum(p: Problem) -> float:
    """Expected cost of the best policy there is, by dynamic programming."""
    there = [[int(o) for o in np.flatnonzero((p.rows[c] > 0).any(axis=1))] for c in range(p.checks)]
    blank = 1 - p.rows.sum(axis=1)
    answers = [[None, *range(len(there[c])), *(["no"] if blank[c].max() > 1e-12 else [])] for c in range(p.checks)]
    radix = np.array([len(a) for a in answers])
    stride = np.concatenate([[1], np.cumprod(radix)[:-1]])
    codes = np.arange(int(np.prod(radix)))
    digit = (codes[:, None] // stride) % radix
    belief = np.broadcast_to(p.belief, (len(codes), len(p.belief))).copy()
    for c in range(p.checks):
        factors = [np.ones(len(p.belief)), *(p.rows[c, o] for o in there[c]), blank[c]]
        belief *= np.array(factors[:radix[c]])[digit[:, c]]
    depth = (digit > 0).sum(axis=1)
    layers = [codes[depth == d] for d in range(p.checks + 1)]
    sets = 1 << len(p.cover_cost)
    value = np.full((1 << p.repairs, sets, len(codes)), np.inf)
    for failed in sorted(range(1 << p.repairs), key=lambda f: -f.bit_count()):
        left = np.array([not (g < p.repairs and failed >> g & 1) for g in p.group])
        for layer in reversed(layers):
            b = belief[layer] * left
            mass = b.sum(axis=1)
            for covers in range(sets):
                best = b @ p.handoff[p.group]
                for r in range(p.repairs):
                    if not failed >> r & 1:
                        stays = mass - b[:, p.group == r].sum(axis=1)
                        cost = (p.repair_cost[r] + _opening(p, int(p.repair_path[r]), covers)) * mass
                        after = value[failed | 1 << r, covers | int(p.repair_path[r]), layer]
                        best = np.minimum(best, cost + p.wrong_cost[r] * stays + after)
                for c in range(p.checks):
                    free = digit[layer, c] == 0
                    if free.any():
                        best[free] = np.minimum(best[free], _check(p, c, covers, layer[free], b[free], stride, there,
                                                                   blank, value[failed]))
                value[failed, covers, layer] = best
    return float(value[0, p.open, 0])


def _check(p: Problem, c: int, covers: int, layer: np.ndarray, b: np.ndarray, stride: np.ndarray,
           there: list[list[int]], blank: np.ndarray, value: np.ndarray) -> np.ndarray:
    path, shuts = int(p.check_path[c]), int(p.check_shuts[c])
    lost = b @ blank[c]
    total = (p.check_cost[c] + _opening(p, path, covers)) * (b.sum(axis=1) - lost) + p.ask_cost * lost
    after = (covers | path) & ~shuts
    for i in range(len(there[c])):
        total = total + value[after, layer + (i + 1) * stride[c]]
    if blank[c].max() > 1e-12:
        total = total + value[covers, layer + (len(there[c]) + 1) * stride[c]]
    return total


def _opening(p: Problem, path: int, covers: int) -> float:
    return float(sum(cost for bit, cost in enumerate(p.cover_cost) if path >> bit & 1 and not covers >> bit & 1))


def brute_force(p: Problem) -> float:
    """The same by plain recursion over all courses of action; shares no code and no state encoding with the above."""
    faults = range(len(p.belief))

    def best(b: tuple[float, ...], open_covers: frozenset[int], checks: frozenset[int],
             repairs: frozenset[int]) -> float:
        total = sum(b)
        if total < 1e-15:
            return 0.0
        value = sum(b[f] * p.handoff[p.group[f]] for f in faults)
        for r in repairs:
            need = {i for i in range(len(p.cover_cost)) if p.repair_path[r] & (1 << i)}
            rest = tuple(0.0 if p.group[f] == r else b[f] for f in faults)
            cost = total * (p.repair_cost[r] + sum(p.cover_cost[i] for i in need - open_covers))
            cost += sum(rest) * p.wrong_cost[r] + best(rest, open_covers | need, checks, repairs - {r})
            value = min(value, cost)
        for c in checks:
            need = {i for i in range(len(p.cover_cost)) if p.check_path[c] & (1 << i)}
            shut = {i for i in range(len(p.cover_cost)) if p.check_shuts[c] & (1 << i)}
            minutes = p.check_cost[c] + sum(p.cover_cost[i] for i in need - open_covers)
            cost = 0.0
            made = [0.0] * len(b)
            for o in range(p.rows.shape[1]):
                post = tuple(b[f] * p.rows[c, o, f] for f in faults)
                made = [m + x for m, x in zip(made, post, strict=True)]
                cost += sum(post) * minutes + best(post, (open_covers | need) - shut, checks - {c}, repairs)
            without = tuple(max(0.0, b[f] - made[f]) if b[f] - made[f] > 1e-12 else 0.0 for f in faults)
            cost += sum(without) * p.ask_cost + best(without, open_covers, checks - {c}, repairs)
            value = min(value, cost)
        return value

    covers = frozenset(i for i in range(len(p.cover_cost)) if p.open >> i & 1)
    return best(tuple(p.belief.tolist()), covers, frozenset(range(p.checks)), frozenset(range(p.repairs)))
