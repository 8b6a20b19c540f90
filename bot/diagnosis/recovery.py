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
    pairs: Ints
    """[P] the hypotheses that are two faults at once."""
    parts: Ints
    """[2, P] the repair of each of the two; R where none is known."""
    of_parts: Floats
    """[2, P, R] 1 where it is the repair."""
    handoff: Floats
    """[K] cost of handing off."""


def groups_of(problem: Problem) -> Groups:
    """The constant matrices."""
    member = np.zeros((len(problem.belief), problem.repairs))
    inside = problem.group < problem.repairs
    member[np.flatnonzero(inside), problem.group[inside]] = 1.0
    listed = np.array(problem.pairs, dtype=np.int64).reshape(-1, 3)
    parts = problem.group[listed[:, 1:].T]
    of_parts = (parts[:, :, None] == np.arange(problem.repairs)).astype(np.float64)
    return Groups(member, listed[:, 0], parts, of_parts, problem.handing)


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
    pairs = belief[:, groups.pairs]
    saved = (problem.handoff[:-1] + problem.wrong_cost) / SLACK
    rows = here = np.arange(count)
    open_now = sets
    left = in_group.reshape(-1)
    index = _promise(groups, in_group, pairs, access.promise[sets])
    halved: Floats | float = 0.0
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
            pairs = pairs[going]
        before, chosen = handing, rows * width + best
        at = left[chosen]
        cured = at * problem.works[best]
        left[chosen] = at = at - cured
        step = access.repair_cost.ravel().take(open_now * width + best) * mass
        handing = before - cured * problem.handoff[best]
        if pairs.size:
            pairs, both, halved, moved = _pair_step(problem, groups, pairs, best)
            in_group[rows] += moved
            cured = cured + both
            handing = (handing - both * problem.handoff[best]
                       - halved * (problem.handoff[best] - problem.handoff[-1]))
        mass = mass - cured
        trail.append((rows, before, step + problem.wrong_cost[best] * (mass - halved), best))
        value[rows] = handing
        was, open_now = open_now, access.after_repair(open_now, best)
        if pairs.size:
            index = _promise(groups, in_group[rows], pairs, access.promise[open_now])
        else:
            index.reshape(-1)[here * width + best] = at * access.promise.ravel().take(open_now * width + best)
            opened = (was != open_now).nonzero()[0]
            index[opened] = in_group.take(rows[opened], axis=0) * access.promise.take(open_now[opened], axis=0)
    for done, before, step, best in reversed(trail):
        through = step + value[done]
        value[done] = np.minimum(before, through)
        first[done] = np.where(through < before, best, -1)
    return value, first


def _promise(groups: Groups, in_group: Floats, pairs: Floats, promise: Floats) -> Floats:
    """[N, R] chance over cost of each repair. A repair that leaves half of a pair counts half."""
    if not pairs.size:
        return in_group * promise
    index: Floats = (in_group + 0.5 * pairs @ np.maximum(*groups.of_parts)) * promise
    return index


def _pair_step(problem: Problem, groups: Groups, pairs: Floats, best: Ints) -> tuple[Floats, Floats, Floats, Floats]:
    """What a repair each does to pairs [N, P]: [N, P] what is left of them; [N] what is cured of both faults at once,
    and of one; [N, R] what is left with one fault, by its repair."""
    mends = best[:, None] == groups.parts[:, None, :]
    gone = pairs * problem.works[best][:, None]
    both, first, second = mends[0] & mends[1], mends[0] & ~mends[1], mends[1] & ~mends[0]
    moved = (gone * first) @ groups.of_parts[1] + (gone * second) @ groups.of_parts[0]
    return (pairs - gone * (mends[0] | mends[1]), (gone * both).sum(axis=1), (gone * (first | second)).sum(axis=1),
            moved)
