"""The policies that are set side by side, and the exact cost of following one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from bot.diagnosis.levels import Found, Plan
from bot.diagnosis.planner import PLAN
from bot.diagnosis.problem import Access, Problem
from bot.diagnosis.recovery import groups_of, recovery
from bot.diagnosis.search import search

Action = tuple[str, int]
"""("check", c), ("repair", r) or ("handoff", -1)."""


@dataclass(frozen=True)
class State:
    """Where a visit stands: belief [K] unnormalised, open covers, checks and repairs that are left."""

    belief: np.ndarray
    open: int
    checks: frozenset[int]
    repairs: frozenset[int]

    def problem(self, p: Problem) -> Problem:
        """The same problem seen from here. Repairs that failed have no mass left to cure."""
        return replace(p, belief=self.belief / self.belief.sum(), open=self.open)

    def allowed(self, p: Problem) -> np.ndarray:
        """[C] checks that may be asked."""
        return np.array([c in self.checks for c in range(p.checks)])


Policy = Callable[[Problem, State], Action]


def _by_recovery(p: Problem, state: State) -> Action:
    here = state.problem(p)
    _, first = recovery(here, groups_of(here), Access(here), here.belief[None, :], np.zeros(1, dtype=np.int64))
    return ("repair", int(first[0])) if first[0] >= 0 else ("handoff", -1)


def in_order_of_prior(p: Problem, state: State) -> Action:
    """Repairs from the likeliest down, by the prior alone; hand-off at the end."""
    order = sorted(state.repairs, key=lambda r: (-p.belief[p.group == r].sum(), r))
    return ("repair", order[0]) if order else ("handoff", -1)


def by_cost(p: Problem, state: State) -> Action:
    """Repairs by probability over cost, and hand-off when that is cheaper. No checks."""
    return _by_recovery(p, state)


def _class_masses(p: Problem, belief: np.ndarray) -> np.ndarray:
    return np.bincount(p.group, weights=belief, minlength=p.repairs + 1) / belief.sum()


def _entropy(q: np.ndarray) -> float:
    q = q[q > 1e-15]
    return float(-(q * np.log2(q)).sum())


def _information(p: Problem, state: State, c: int) -> float:
    before, after = _entropy(_class_masses(p, state.belief)), 0.0
    for row in p.rows[c]:
        post = state.belief * row
        if post.sum() > 1e-15:
            after += post.sum() / state.belief.sum() * _entropy(_class_masses(p, post))
    return before * float((state.belief @ p.rows[c].sum(axis=0)) / state.belief.sum()) - after


def _cost(p: Problem, state: State, c: int) -> float:
    return float(p.check_cost[c] + sum(x for i, x in enumerate(p.cover_cost)
                                       if p.check_path[c] >> i & 1 and not state.open >> i & 1))


def until_sure(per_minute: bool) -> Policy:
    """Most information (a minute) until one repair is 85 % sure; then repairs by probability over cost."""
    def policy(p: Problem, state: State) -> Action:
        known = _class_masses(p, state.belief)[:-1]
        if known.max(initial=0.0) < 0.85 and state.checks:
            def score(c: int) -> float:
                return _information(p, state, c) / (_cost(p, state, c) if per_minute else 1.0)
            best = max(sorted(state.checks), key=score)
            if score(best) > 1e-6:
                return ("check", best)
        return _by_recovery(p, state)
    return policy


def while_of_value(p: Problem, state: State) -> Action:
    """Most information a minute, as long as some check pays by itself."""
    here = state.problem(p)
    found = search(here, state.allowed(p), MYOPIC)
    paying = [c for c, q in found.checks.items() if q < found.stop - 1e-9]
    if not paying:
        return _by_recovery(p, state)
    return ("check", max(sorted(paying), key=lambda c: _information(p, state, c) / _cost(p, state, c)))


def chosen(found: Found) -> Action:
    """The action that a search comes out at."""
    check = min(found.checks, key=lambda c: (round(found.checks[c], 7), c), default=None)
    if check is not None and found.checks[check] < min(found.stop, found.repair_value) - 1e-9:
        return ("check", check)
    return ("repair", found.repair) if found.repair >= 0 else ("handoff", -1)


def looking(plan: Plan) -> Policy:
    """The search with a plan of width and depth."""
    return lambda p, state: chosen(search(state.problem(p), state.allowed(p), plan))


ALL = 10_000
MYOPIC = Plan(create=(ALL,), follow=(ALL,), nodes=10**9, share=1.0, prune=0.0)
TWO = Plan(create=(ALL, ALL), follow=(ALL, ALL), nodes=10**9, share=1.0, prune=0.0)
DEEP_2 = Plan(create=(ALL, 2, 2, 2), follow=(ALL, 2, 2, 2), nodes=10**9, share=1.0, prune=0.03)
DEEP_3 = Plan(create=(ALL, 3, 3, 3), follow=(ALL, 3, 3, 3), nodes=10**9, share=1.0, prune=0.02)

POLICIES: dict[str, Policy] = {
    "repairs in order of prior": in_order_of_prior,
    "p/C repairs and hand-off": by_cost,
    "information gain, stop at 85 %": until_sure(per_minute=False),
    "information gain a minute, stop at 85 %": until_sure(per_minute=True),
    "gain a minute, stop when of no value": while_of_value,
    "myopic ECR": looking(MYOPIC),
    "two steps, ECR at the leaf": looking(TWO),
    "ours": looking(PLAN),
}


@dataclass(frozen=True)
class Way:
    """One way that an action may turn out."""

    mass: float
    """Of the belief that it was asked for."""
    minutes: float
    """Of everything but what follows."""
    then: State | None
    """Its belief is not normalised. None: cured."""


def led_to(p: Problem, state: State, action: Action) -> list[Way]:
    """What a check (its results in order, impossible last) or a repair (cured, not cured) may turn out as."""
    kind, a = action
    if kind == "repair":
        path = int(p.repair_path[a])
        minutes = float(p.repair_cost[a] + opening(p, path, state.open))
        left = np.where(p.group == a, state.belief * (1 - p.works[a]), state.belief)
        failed = State(left, state.open | path, state.checks, state.repairs - {a})
        return [Way(float(state.belief.sum() - left.sum()), minutes, None),
                Way(float(left.sum()), minutes + float(p.wrong_cost[a]), failed)]
    path, checks = int(p.check_path[a]), state.checks - {a}
    minutes = float(p.check_cost[a] + opening(p, path, state.open))
    covers = (state.open | path) & ~int(p.check_shuts[a])
    ways = [_with(state.belief * row, minutes, covers, checks, state.repairs) for row in p.rows[a]]
    without = state.belief * np.maximum(0.0, 1 - p.rows[a].sum(axis=0))
    return [*ways, _with(without, p.ask_cost, state.open, checks, state.repairs)]


def _with(belief: np.ndarray, minutes: float, covers: int, checks: frozenset[int], repairs: frozenset[int]) -> Way:
    return Way(float(belief.sum()), minutes, State(belief, covers, checks, repairs))


def follow(p: Problem, policy: Policy) -> float:
    """Exact expected cost of a policy: every course it can take, weighed."""
    memo: dict[tuple[tuple[tuple[int, int], ...], frozenset[int], int], float] = {}

    def cost(state: State, facts: tuple[tuple[int, int], ...]) -> float:
        mass = float(state.belief.sum())
        if mass < 1e-13:
            return 0.0
        key = (tuple(sorted(facts)), state.repairs, state.open)
        if key not in memo:
            memo[key] = step(state, facts, mass)
        return memo[key]

    def step(state: State, facts: tuple[tuple[int, int], ...], mass: float) -> float:
        kind, a = policy(p, state)
        if kind == "handoff":
            return float(state.belief @ p.handoff[p.group])
        total = 0.0
        for o, way in enumerate(led_to(p, state, (kind, a))):
            total += way.mass * way.minutes
            if way.then is not None:
                total += cost(way.then, facts if kind == "repair" else (*facts, (a, o)))
        return total

    return cost(State(p.belief, p.open, frozenset(range(p.checks)), frozenset(range(p.repairs))), ())


def opening(p: Problem, path: int, covers: int) -> float:
    """Minutes to open what is not open yet."""
    return float(sum(cost for bit, cost in enumerate(p.cover_cost) if path >> bit & 1 and not covers >> bit & 1))
