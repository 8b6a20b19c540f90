"""Full size: paired visits with common random numbers, timings, and regret against a search with far more nodes."""

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


def visit(p: Problem, policy: Policy, truth: int, luck: np.ndarray) -> Visit:
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
    p = problem(size, regime, seed, impossible=seed % 3 == 2, told=told)
    rng = np.random.default_rng(seed + 77)
    return p, int(rng.choice(len(p.belief), p=p.belief / p.belief.sum())), rng.random(p.checks)


def paired(size: Size, policies: dict[str, Policy], count: int, first: int,
           regime: str = "normal", told: bool = True) -> dict[str, list[Visit]]:
    """The same `count` machines visited under every policy."""
    visits: dict[str, list[Visit]] = {name: [] for name in policies}
    for i in range(count):
        p, truth, luck = drawn(size, regime, first + i, told)
        for name, policy in policies.items():
            visits[name].append(visit(p, policy, truth, luck))
    return visits


def against(visits: dict[str, list[Visit]], base: str) -> dict[str, tuple[float, float, float]]:
    """Policy -> mean cost, ratio of means to `base`, and the standard error of that ratio (delta method, paired)."""
    ours = np.array([v.cost for v in visits[base]])
    found = {}
    for name, those in visits.items():
        costs = np.array([v.cost for v in those])
        ratio = costs.mean() / ours.mean()
        error = np.std(costs - ratio * ours, ddof=1) / ours.mean() / np.sqrt(len(ours)) if len(ours) > 1 else 0.0
        found[name] = (float(costs.mean()), float(ratio), float(error))
    return found


def timings(visits: list[Visit]) -> tuple[float, float, float]:
    """Median, 95th percentile and longest decision, milliseconds."""
    ms = 1000 * np.array([s for v in visits for s in v.seconds])
    return float(np.median(ms)), float(np.quantile(ms, 0.95)), float(ms.max())


REFERENCE = Plan(create=(10_000, 8, 6, 4, 3, 2, 1), follow=(24, 6, 4, 3, 2, 1, 1), contenders=(24, 12, 8, 6, 5),
                 nodes=250_000, prune=0.0)
"""Takes about a second a step at 40 x 40 x 36 on one core of the machine quoted in DEVELOPERS.md: seven levels end
before the nodes do."""


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
