"""Expected cost of recovery: repairs only, best first, hand-off when that is cheaper. The value at every leaf.

Repairs in order of probability over cost are optimal for one fault, one repair a fault and fixed costs (Kadane &
Simon 1977; Heckerman, Breese & Rommelse 1995). With a cost that is paid only when the repair fails the order is
by p / (cost + wrong_cost), by the same exchange argument. Covers make costs depend on the order: greedy then.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bot.diagnosis.compiled import Floats, Ints
from bot.diagnosis.problem import Access, Problem, batches
from bot.diagnosis.thresholds import SLACK

LONGEST = 24


@dataclass(frozen=True, slots=True, eq=False)
class Groups:
    """Constant matrices of a problem, built once."""

    member: Floats
    """[K, R] 1 where the repair cures the hypothesis."""
    pair_parts: tuple[tuple[int, int, int], ...]
    """(k, group of i, group of j)."""
    handoff: Floats
    """[K] cost of handing off."""


def groups_of(problem: Problem) -> Groups:
    """The constant matrices."""
    member = np.zeros((len(problem.belief), problem.repairs))
    inside = problem.group < problem.repairs
    member[np.flatnonzero(inside), problem.group[inside]] = 1.0
    parts = tuple((k, int(problem.group[i]), int(problem.group[j])) for k, i, j in problem.pairs)
    return Groups(member, parts, problem.handoff[problem.group])


def recovery(problem: Problem, groups: Groups, access: Access, belief: Floats,
             sets: Ints) -> tuple[Floats, Ints]:
    """[N] expected cost (times mass) from beliefs [N, K] and sets of open covers [N]; first repair, -1 for hand-off."""
    value, first = np.empty(len(belief)), np.empty(len(belief), dtype=np.int64)
    for some in batches(len(belief)):
        value[some], first[some] = recovery_of(problem, groups, access, belief[some], belief[some] @ groups.member,
                                               sets[some])
    return value, first


def recovery_of(problem: Problem, groups: Groups, access: Access, belief: Floats, in_group: Floats,
                sets: Ints) -> tuple[Floats, Ints]:
    """The same in one batch; `in_group` [N, R] is the mass that each repair cures (changed in place)."""
    count, width = in_group.shape
    mass = belief.sum(axis=1)
    handing = belief @ groups.handoff
    value = handing.copy()
    first = np.full(count, -1, dtype=np.int64)
    if not width:
        return value, first
    pairs = [belief[:, k].copy() for k, _, _ in groups.pair_parts]
    saved = (problem.handoff[:-1] + problem.wrong_cost) / SLACK
    rows = here = np.arange(count)
    open_now = sets
    left = in_group.reshape(-1)
    index = _promise(problem, groups, in_group, pairs, access.promise[sets])
    trail: list[tuple[Ints, Floats, Floats, Ints]] = []
    for _ in range(LONGEST):
        best = index.argmax(axis=1)
        go = (index.ravel().take(here * width + best) * saved[best] > mass) & (mass > 1e-12)
        if not go.all():
            going = go.nonzero()[0]
            if not len(going):
                break
            rows, best, open_now, mass = rows[going], best[going], open_now[going], mass[going]
            index, handing, here = index.take(going, axis=0), handing[going], here[:len(going)]
            pairs = [pair[going] for pair in pairs]
        before, chosen = handing, rows * width + best
        at = left[chosen]
        cured = at * problem.works[best]
        left[chosen] = at = at - cured
        step = access.repair_cost.ravel().take(open_now * width + best) * mass
        handing = before - cured * problem.handoff[best]
        for p, (_, i, j) in enumerate(groups.pair_parts):
            part, gone = _pair_step(problem, pairs[p], best, i, j, in_group, rows)
            pairs[p] = pairs[p] - part
            cured, handing = cured + gone[0], handing + gone[1]
        mass = mass - cured
        trail.append((rows, before, step + problem.wrong_cost[best] * mass, best))
        value[rows] = handing
        was, open_now = open_now, access.after_repair(open_now, best)
        if pairs:
            index = _promise(problem, groups, in_group[rows], pairs, access.promise[open_now])
        else:
            index.reshape(-1)[here * width + best] = at * access.promise.ravel().take(open_now * width + best)
            opened = (was != open_now).nonzero()[0]
            index[opened] = in_group.take(rows[opened], axis=0) * access.promise.take(open_now[opened], axis=0)
    for done, before, step, best in reversed(trail):
        through = step + value[done]
        value[done] = np.minimum(before, through)
        first[done] = np.where(through < before, best, -1)
    return value, first


def _promise(problem: Problem, groups: Groups, in_group: Floats, pairs: list[Floats], promise: Floats) -> Floats:
    """[N, R] chance over cost of each repair. A repair that leaves half of a pair counts half."""
    index: Floats = in_group * promise
    for (_, i, j), pair in zip(groups.pair_parts, pairs, strict=True):
        for one in {i, j} - {problem.repairs}:
            index[:, one] += 0.5 * pair * promise[:, one]
    return index


def _pair_step(problem: Problem, pair: Floats, best: Ints, i: int, j: int, in_group: Floats,
               rows: Ints) -> tuple[Floats, tuple[Floats, Floats]]:
    """What a repair does to one pair: the mass that leaves it; what of that is cured; change of the hand-off cost."""
    works = problem.works[best]
    of_pair = problem.handoff[-1]
    part = np.zeros_like(pair)
    cured = np.zeros_like(pair)
    change = np.zeros_like(pair)
    both = (best == i) & (best == j)
    cured = np.where(both, pair * works, cured)
    change = change - np.where(both, pair * works * of_pair, 0.0)
    part = part + cured
    for one, other in ((i, j), (j, i)):
        moved = np.where((best == one) & (best != other), pair * works, 0.0)
        part = part + moved
        if other < problem.repairs:
            in_group[rows, other] += moved
            change = change + moved * (problem.handoff[other] - of_pair)
    return part, (cured, change)
