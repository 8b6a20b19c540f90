"""Full size: paired visits with common random numbers, timings, and regret against a search with far more nodes.

Most of the spread of a visit's cost is which fault the machine has. So each problem is visited by many machines whose
faults are spread evenly over the belief (systematic sampling), the same under every policy; decisions at states that
an earlier machine of the problem came through are remembered. Errors are over problems, which are independent.
"""

from __future__ import annotations

import time
from dataclasses import dataclass, replace

import numpy as np

from bot.diagnosis.problem import Problem
from bot.diagnosis.search import Plan, search
from tests.benchmarks.diagnosis.instances import Size, problem
from tests.benchmarks.diagnosis.policies import Action, Policy, State, opening


@dataclass(frozen=True)
class Visit:
    """What one simulated visit came to."""

    cost: float
    states: tuple[State, ...]
    actions: tuple[Action, ...]
    seconds: tuple[float, ...]


def visit(p: Problem, truth: int, luck: np.ndarray, policy: Policy) -> Visit:
    """One machine with fault `truth`; `luck` [C] decides every result, so that all policies see the same machine."""
    state = State(p.belief, p.open, frozenset(range(p.checks)), frozenset(range(p.repairs)))
    cost, states, actions, seconds = 0.0, [], [], []
    while True:
        start = time.process_time()
        kind, a = policy(p, state)
        seconds.append(time.process_time() - start)
        states.append(state)
        actions.append((kind, a))
        if kind == "handoff":
            cost += float(p.handoff[p.group[truth]])
            break
        if kind == "repair":
            path = int(p.repair_path[a])
            cost += p.repair_cost[a] + opening(p, path, state.open)
            if p.group[truth] == a:
                break
            cost += p.wrong_cost[a]
            left = np.where(p.group == a, 0.0, state.belief)
            state = State(left / left.sum(), state.open | path, state.checks, state.repairs - {a})
            continue
        path = int(p.check_path[a])
        chances = p.rows[a, :, truth]
        o = int(np.searchsorted(np.cumsum(chances), luck[a], side="right"))
        if o >= len(chances):
            cost += p.ask_cost
            post = state.belief * (1 - p.rows[a].sum(axis=0))
            state = State(post / post.sum(), state.open, state.checks - {a}, state.repairs)
            continue
        cost += p.check_cost[a] + opening(p, path, state.open)
        post = state.belief * p.rows[a, o]
        covers = (state.open | path) & ~int(p.check_shuts[a])
        state = State(post / post.sum(), covers, state.checks - {a}, state.repairs)
    return Visit(float(cost), tuple(states), tuple(actions), tuple(seconds))


def drawn(size: Size, regime: str, seed: int, told: bool = True) -> tuple[Problem, int, np.ndarray]:
    """A problem with its true fault and the luck of every check."""
    p, truths, luck = machines(size, regime, seed, 1, told)
    return p, int(truths[0]), luck[0]


def machines(size: Size, regime: str, seed: int, count: int,
             told: bool = True) -> tuple[Problem, np.ndarray, np.ndarray]:
    """A problem with the true faults of `count` machines [count] and the luck of their checks [count, C]."""
    p = problem(size, regime, seed, impossible=seed % 3 == 2, told=told)
    rng = np.random.default_rng(seed + 77)
    places = (rng.random() + np.arange(count)) / count
    truths = np.searchsorted(np.cumsum(p.belief) / p.belief.sum(), places, side="right")
    return p, np.minimum(truths, len(p.belief) - 1), rng.random((count, p.checks))


def remembering(policy: Policy) -> Policy:
    """The same policy, which asks itself once a state. For one problem."""
    known: dict[tuple[bytes, int, frozenset[int], frozenset[int]], Action] = {}

    def act(p: Problem, state: State) -> Action:
        key = (np.round(state.belief / state.belief.sum(), 12).tobytes(), state.open, state.checks, state.repairs)
        if key not in known:
            known[key] = policy(p, state)
        return known[key]
    return act


def paired(size: Size, policies: dict[str, Policy], problems: int, each: int, first: int,
           regime: str = "normal", told: bool = True) -> dict[str, np.ndarray]:
    """Policy -> costs [problems, each] of the same machines."""
    costs: dict[str, np.ndarray] = {name: np.zeros((problems, each)) for name in policies}
    for i in range(problems):
        p, truths, luck = machines(size, regime, first + i, each, told)
        for name, policy in policies.items():
            mine = remembering(policy)
            costs[name][i] = [visit(p, int(truth), its, mine).cost for truth, its in zip(truths, luck, strict=True)]
    return costs


def against(costs: dict[str, np.ndarray], base: str) -> dict[str, tuple[float, float, float]]:
    """Policy -> mean cost, ratio of means to `base`, and the standard error of that ratio (delta method, over
    problems)."""
    theirs = costs[base].mean(axis=1)
    found = {}
    for name, table in costs.items():
        mine = table.mean(axis=1)
        ratio = mine.mean() / theirs.mean()
        error = np.std(mine - ratio * theirs, ddof=1) / theirs.mean() / np.sqrt(len(mine)) if len(mine) > 1 else 0.0
        found[name] = (float(mine.mean()), float(ratio), float(error))
    return found


def timings(visits: list[Visit]) -> tuple[float, float, float]:
    """Median, 95th percentile and longest decision, milliseconds."""
    ms = 1000 * np.array([s for v in visits for s in v.seconds])
    return float(np.median(ms)), float(np.quantile(ms, 0.95)), float(ms.max())


REFERENCE = Plan(create=(10_000, 16, 10, 7, 5, 3, 2, 2), follow=(40, 10, 8, 6, 4, 3, 2, 1),
                 contenders=(40, 24, 16, 12, 10, 8), nodes=1_600_000, prune=0.0)
"""A step that uses them all takes 8 to 10 seconds of one core of the machine quoted in DEVELOPERS.md, and up to two
gigabytes."""


def regret(p: Problem, visited: Visit, reference: Plan = REFERENCE) -> tuple[float, list[float]]:
    """How much dearer a visit's choices are than the reference's, by the reference's own values; seconds a step.

    The cost of a policy less that of another is the expected sum of Q(state, its action) - V(state) along its
    visits (performance difference), so that one visit tells far more than the difference of two noisy costs.
    """
    total, seconds = 0.0, []
    for state, (kind, a) in zip(visited.states, visited.actions, strict=True):
        start = time.process_time()
        here = state.problem(p)
        found = search(here, state.allowed(p), replace(reference, also=(a,)))
        seconds.append(time.process_time() - start)
        q = found.stop
        if kind == "check":
            q = found.checks.get(a, found.stop)
        elif kind == "repair" and a == found.repair:
            q = min(found.repair_value, found.stop)
        elif kind == "handoff":
            q = float(here.belief @ here.handoff[here.group])
        total += max(0.0, q - found.value)
    return total, seconds
