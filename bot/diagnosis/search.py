"""Looking ahead level by level: every level's nodes are expanded and valued in one batch.

The value of a leaf is the cost of recovery by repairs alone; the value of a node the least of that, of its best
checks and of its first repair tried. A wide first level sees every check; below it each node creates a few edges
(the best by Gini gain a minute), and the best of these by their one-step value are followed further. The budget
counts nodes: the same problem gives the same answer on any machine.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from bot.diagnosis.compiled import Floats, Ints
from bot.diagnosis.gain import Scorer
from bot.diagnosis.levels import Bools, Found, Level, Plan, children_of
from bot.diagnosis.likely import likeliest
from bot.diagnosis.problem import Access, Problem, after_repair, batches, in_vain, result_mask
from bot.diagnosis.recovery import Groups, groups_of, recovery_of
from bot.diagnosis.thresholds import RARE


def search(problem: Problem, allowed: Bools, plan: Plan) -> Found:
    """Looks ahead from the problem's belief with the checks that are `allowed` [C]."""
    likely = likeliest(problem, plan.share)
    looking = _Search(likely.problem, allowed, plan)
    found = looking.run()
    if looking.cut and 2 * found.nodes <= plan.again:
        found = _Search(likely.problem, allowed, plan.wider(), looking).run()
    return replace(found, repair=int(likely.repairs[found.repair])) if found.repair >= 0 else found


class _Search:
    def __init__(self, problem: Problem, allowed: Bools, plan: Plan, like: _Search | None = None) -> None:
        self.problem, self.plan = problem, plan
        self.groups: Groups = like.groups if like else groups_of(problem)
        self.access: Access = like.access if like else Access(problem)
        self.scorer: Scorer = like.scorer if like else Scorer(problem)
        self.names: tuple[Names, Names] = like.names if like else _names(problem)
        self.rows, self.there = _with_absence(problem)
        self.outside = (problem.group == problem.repairs).astype(np.float64)
        self.allowed = allowed
        self.plain_cost = problem.check_cost.astype(np.float64)
        self.rows_kept = problem.rows.sum(axis=1)
        self.absent = self.rows.shape[1] - 1
        self.mass = float(problem.belief.sum())
        self.cut = False
        """Whether something that may pay was left out."""
        size = len(problem.belief) + problem.repairs
        self.nodes = int(plan.nodes * min(1.0, plan.size / size))

    def run(self) -> Found:
        root = Level(self.problem.belief[None, :].copy(), np.zeros(1, dtype=np.int64), ~self.allowed[None, :],
                     np.zeros(1, dtype=np.uint64))
        self._value(root)
        levels = [root]
        frontier: Ints = np.zeros(1, dtype=np.int64)
        used = 1
        for depth, (create, follow) in enumerate(zip(self.plan.create, self.plan.follow, strict=True)):
            left = self.nodes - used
            if left <= 0 or not len(frontier):
                break
            level = levels[-1]
            nxt = self._expand(level, self._affordable(level, frontier, create, left), create)
            if nxt is None:
                break
            used += len(nxt.belief)
            levels.append(nxt)
            self._back_up(level, nxt)
            frontier = self._frontier(level, nxt, follow, depth == 0)
            if 0 < depth <= len(self.plan.contenders) and self.plan.contenders[depth - 1] < len(root.action):
                running = self._in_race(levels, self.plan.contenders[depth - 1])[frontier]
                self.cut |= not running.all()
                frontier = frontier[running]
        self.cut |= len(frontier) > 0
        for level, nxt in reversed(list(pairwise(levels))):
            self._back_up(level, nxt)
        return self._found(levels, used)

    def _value(self, level: Level) -> None:
        count = len(level.belief)
        level.mass = level.belief.sum(axis=1)
        level.leaf, level.bound, level.value = np.empty(count), np.empty(count), np.empty(count)
        level.repair, level.pays = np.empty(count, dtype=np.int64), np.empty(count, dtype=bool)
        for some in batches(count):
            self._value_some(level, some)
        level.best = np.full(count, -1, dtype=np.int64)

    def _value_some(self, level: Level, some: slice) -> None:
        """Fills in a stretch of a level's nodes."""
        belief, sets = level.belief[some], level.sets[some]
        inside = belief @ self.groups.member
        outside = belief @ self.outside
        least = self.access.least[sets]
        bound = (inside * least).sum(axis=1) + outside * self.problem.handoff[-1] - self._less_for_pairs(belief, least)
        leaf, repair = recovery_of(self.problem, self.groups, self.access, belief, inside.copy(), sets)
        level.leaf[some], level.repair[some], level.bound[some] = leaf, repair, bound
        level.value[some], level.pays[some] = leaf, self._can_pay(leaf - bound, level.mass[some], level.done[some])

    def _less_for_pairs(self, belief: Floats, least: Floats) -> Floats:
        """[N] what pairs, counted as handed off, cost less at least: no more than the dearer of their two repairs."""
        own = (self.groups.parts < self.problem.repairs).all(axis=0)
        first, second = self.groups.parts[:, own]
        dearer = np.maximum(least[:, first], least[:, second])
        saved = np.maximum(0.0, self.problem.handoff[-1] - dearer)
        less: Floats = (belief[:, self.groups.pairs[own]] * saved).sum(axis=1)
        return less

    def _can_pay(self, gap: Floats, mass: Floats, done: Bools) -> Bools:
        """[N] whether what is to gain at most is more than the cheapest check that is left. Covers are left out:
        the bound counts those that a repair needs, and a check may open the very same."""
        pays: Bools = gap > self.plain_cost.min(initial=np.inf) * mass
        doubtful = np.flatnonzero(pays)
        left = np.where(done[doubtful], np.inf, self.plain_cost).min(axis=1, initial=np.inf)
        pays[doubtful] = gap[doubtful] > left * mass[doubtful]
        return pays

    def _affordable(self, level: Level, frontier: Ints, create: int, left: int) -> Ints:
        """The nodes whose value may still move most, as many as the budget allows."""
        checks = int(self.allowed.sum())
        share = 1 + min(create, checks) * float(self.there[self.allowed].sum()) / max(1, checks)
        most = max(1, int(left / share))
        if len(frontier) <= most:
            return frontier
        gap = (level.leaf - level.bound)[frontier]
        order = np.argsort(-np.round(gap, 12), kind="stable")
        self.cut = True
        chosen: Ints = np.sort(frontier[order[:most]])
        return chosen

    def _expand(self, level: Level, nodes: Ints, create: int) -> Level | None:
        """Tries checks and the first repair at `nodes`; the children are the next level."""
        belief, sets = level.belief[nodes], level.sets[nodes]
        mass = level.mass[nodes]
        cost = self.access.check_cost[sets]
        gain = self.scorer.gain(belief)
        score = np.where(level.done[nodes] | (gain <= 1e-9 * mass[:, None]), -1.0, gain / cost)
        width = min(create, score.shape[1])
        if width < score.shape[1]:
            top = _highest(score, width)
            self.cut |= int((score > 0).sum(axis=1).max()) > width
        else:
            top = np.broadcast_to(np.arange(width), (len(nodes), width))
        picked = np.take_along_axis(score, top, axis=1) > 0
        at, slot = np.nonzero(picked)
        checks = top[at, slot]
        trying = np.flatnonzero(level.repair[nodes] >= 0)
        repairs = level.repair[nodes][trying]
        if not len(checks) and not len(trying):
            return None
        edges = len(checks)
        kept = (belief[at] * self.rows_kept[checks]).sum(axis=1)
        lost = np.maximum(0.0, mass[at] - kept)
        base = cost[at, checks] * kept + self.problem.ask_cost * lost
        lost[self.there[checks, self.absent]] = 0.0
        edge, result = np.nonzero(self.there[checks])
        child_sets = self.access.after_check(sets[at], checks)[edge]
        child_sets = np.where(result == self.absent, sets[at[edge]], child_sets)
        key = level.key[nodes][at[edge]] + self.names[0][checks[edge], result]
        left = np.zeros((0, belief.shape[1]))
        if len(trying):
            left = after_repair(self.problem, belief[trying], repairs)
            repair_base = (self.access.repair_cost[sets[trying], repairs] * mass[trying]
                           + self.problem.wrong_cost[repairs] * in_vain(self.problem, belief[trying], repairs, left))
            child_sets = np.concatenate([child_sets, self.access.after_repair(sets[trying], repairs)])
            key = np.concatenate([key, level.key[nodes][trying] + self.names[1][repairs]])
            edge = np.concatenate([edge, edges + np.arange(len(trying))])
            result = np.concatenate([result, np.full(len(trying), -1)])
            at, checks = np.concatenate([at, trying]), np.concatenate([checks, np.full(len(trying), -1)])
            base, lost = np.concatenate([base, repair_base]), np.concatenate([lost, np.zeros(len(trying))])
        level.parent, level.action, level.base = nodes[at], checks, base
        level.lost = lost / mass[at]
        level.child_edge, level.child_result = edge, result
        kept = self._merged(level, child_sets, key)
        nxt = self._children(level, kept, left)
        nxt.sets, nxt.key = child_sets[kept], key[kept]
        self._value(nxt)
        return nxt

    def _merged(self, level: Level, sets: Ints, key: NDArray[np.uint64]) -> Ints:
        """Which children to keep: equal states that were reached in different orders are one."""
        if self.problem.pairs:
            level.child = np.arange(len(key))
            return level.child
        whole = key + sets.astype(np.uint64) * np.uint64(0x9E3779B97F4A7C15)
        _, index, level.child = np.unique(whole, return_index=True, return_inverse=True)
        kept: Ints = index
        return kept

    def _children(self, level: Level, kept: Ints, left: Floats) -> Level:
        """The beliefs of the children that are kept; `left` are those after a repair, which come last."""
        by_check = len(level.child_edge) - len(left)
        edge, result = level.child_edge[kept], level.child_result[kept]
        belief, done = level.belief[level.parent[edge]], level.done[level.parent[edge]]
        after_check = kept < by_check
        for some in batches(len(kept)):
            of_check = np.flatnonzero(after_check[some]) + some.start
            belief[of_check] *= self.rows[level.action[edge[of_check]], result[of_check]]
        done[np.flatnonzero(after_check), level.action[edge[after_check]]] = True
        belief[~after_check] = left[kept[~after_check] - by_check]
        return Level(belief, np.zeros(0, dtype=np.int64), done, np.zeros(0, dtype=np.uint64))

    def _back_up(self, level: Level, nxt: Level) -> None:
        edges = len(level.parent)
        q = level.base + np.bincount(level.child_edge, weights=nxt.value[level.child], minlength=edges)
        if (level.lost > 0).any():
            q = q + level.lost * self._without(level, q)
        level.q = np.round(q, 9)
        level.value = level.leaf.copy()
        np.minimum.at(level.value, level.parent, level.q)
        level.best = np.full(len(level.leaf), -1, dtype=np.int64)
        hit = np.flatnonzero((level.q <= level.value[level.parent]) & (level.q < level.leaf[level.parent] - 1e-9))
        level.best[level.parent[hit[::-1]]] = hit[::-1]

    def _without(self, level: Level, q: Floats) -> Floats:
        """[E] value of the parent when this edge's check turns out impossible: its best other action."""
        rough = q + level.lost * level.leaf[level.parent]
        first = level.leaf.copy()
        np.minimum.at(first, level.parent, rough)
        is_first = rough <= first[level.parent]
        second = level.leaf.copy()
        np.minimum.at(second, level.parent[~is_first], rough[~is_first])
        return np.where(is_first, second[level.parent], first[level.parent])

    def _frontier(self, level: Level, nxt: Level, follow: int, wide: bool) -> Ints:
        """Children worth looking into: of the best edges of each parent, and where a check can still pay."""
        order = np.lexsort((level.q, level.parent))
        parents = level.parent[order]
        fresh = np.flatnonzero(np.diff(parents, prepend=-1))
        rank = np.arange(len(order)) - np.repeat(fresh, np.diff(fresh, append=len(order)))
        keep = level.action < 0
        keep[order[rank < follow]] = True
        if wide:
            checks = np.flatnonzero(level.action >= 0)
            gain = self.scorer.gain(level.belief[:1])[0] / self.access.check_cost[0]
            keep[checks[np.argsort(-gain[level.action[checks]], kind="stable")[:follow // 2]]] = True
            keep |= np.isin(level.action, self.plan.also)
        worth = nxt.pays & (nxt.mass > self.plan.prune * self.mass)
        chosen = np.flatnonzero(worth & children_of(level, nxt, keep))
        self.cut |= len(chosen) < int(worth.sum())
        return chosen

    def _in_race(self, levels: list[Level], contenders: int) -> Bools:
        """Nodes of the last level that come of the best root actions so far."""
        for level, nxt in reversed(list(pairwise(levels))):
            self._back_up(level, nxt)
        kept = np.zeros(len(levels[0].action), dtype=bool)
        kept[np.argsort(levels[0].q, kind="stable")[:contenders]] = True
        nodes = np.zeros(0, dtype=bool)
        for level, nxt in pairwise(levels):
            nodes = children_of(level, nxt, kept)
            kept = nodes[nxt.parent]
        return nodes

    def _found(self, levels: list[Level], used: int) -> Found:
        root = levels[0]
        checks = {int(a): float(q / self.mass) for a, q in zip(root.action, root.q, strict=True) if a >= 0}
        tried = [float(q / self.mass) for a, q in zip(root.action, root.q, strict=True) if a < 0]
        first = int(root.repair[0])
        return Found(stop=float(root.leaf[0] / self.mass), repair=first,
                     repair_minutes=float(self.access.repair_cost[0, first]) if first >= 0 else 0.0,
                     repair_value=tried[0] if tried else float("inf"), checks=checks, levels=tuple(levels),
                     nodes=used, access=self.access)


def _highest(score: Floats, width: int) -> Ints:
    """[N, width] the columns of the highest scores, ties by the lower column, on any machine alike."""
    columns = score.shape[1]
    steps = np.round(np.maximum(score, 0.0) / (float(score.max(initial=0.0)) or 1.0) * 2.0**40).astype(np.int64)
    key = steps * columns - np.arange(columns)
    return np.sort(np.argpartition(-key, width - 1, axis=1)[:, :width], axis=1)


def _with_absence(problem: Problem) -> tuple[Floats, Bools]:
    """[C, O + 1, K] and [C, O + 1] results with one more, that the check turns out impossible. It is there where it
    tells hypotheses apart (a machine that has no such thing) or is not rare; else no node is spent on it."""
    absent = np.maximum(0.0, 1 - problem.rows.sum(axis=1))
    telling = (np.ptp(absent, axis=1) > 1e-6) | (absent.max(axis=1) > RARE)
    return (np.concatenate([problem.rows, absent[:, None]], axis=1),
            np.concatenate([result_mask(problem), telling[:, None]], axis=1))


Names = NDArray[np.uint64]


def _names(problem: Problem) -> tuple[Names, Names]:
    """A number for each result of each check [C, O] and for each repair [R]: their sums tell states apart."""
    rng = np.random.default_rng(2011)
    shape = (problem.checks, problem.rows.shape[1] + 1)
    return (rng.integers(0, 2**63, size=shape, dtype=np.uint64),
            rng.integers(0, 2**63, size=problem.repairs, dtype=np.uint64))
