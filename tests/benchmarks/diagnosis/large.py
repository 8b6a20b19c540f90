"""Full size: paired visits with common random numbers, timings, and regret against a search with far more nodes.

Most of the spread of a visit's cost is which fault the machine has. So each problem is visited by many machines whose
faults are spread evenly over the belief (systematic sampling), the same under every policy; decisions at states that
an earlier machine of the problem came through are remembered. Errors are over problems, which are independent.
"""

from __future__ import annotations

import time
from dataclasses import dataclass, replace

import numpy as np

from bot.diagnosis.levels import Found, Plan
from bot.diagnosis.problem import Problem
from bot.diagnosis.search import search
from tests.benchmarks.diagnosis.instances import Size, problem
from tests.benchmarks.diagnosis.policies import Action, Policy, State, chosen, led_to


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
        ways = led_to(p, state, (kind, a))
        if kind == "repair":
            way = ways[0 if p.group[truth] == a else 1]
        else:
            way = ways[int(np.searchsorted(np.cumsum(p.rows[a, :, truth]), luck[a], side="right"))]
        cost += way.minutes
        if way.then is None:
            break
        state = replace(way.then, belief=way.then.belief / way.mass)
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
                 contenders=(40, 24, 16, 12, 10, 8), nodes=1_600_000, share=1.0, prune=0.0)
"""A step that uses them all takes 8 to 10 seconds of one core of the machine quoted in DEVELOPERS.md, and up to two
gigabytes."""
JUDGE = replace(REFERENCE, nodes=400_000)
"""Spent on every state that a choice may lead to."""


@dataclass(frozen=True)
class Regret:
    """How much dearer a visit's choices are than the reference's, minutes."""

    own: float
    """By the reference's own values. It cannot be less than nought, and the reference's luck counts against us: of many
    values, each a little wrong, the least is wrong to its own side."""
    judged: float
    """Where the two choose differently, both choices valued by a judge who looks from the states that they lead to."""
    apart: int
    """Steps where they choose differently."""
    seconds: tuple[float, ...]
    """Of the reference, a step."""


def regret(p: Problem, visited: Visit, reference: Plan = REFERENCE, judge: Plan = JUDGE) -> Regret:
    """The cost of a policy less that of another is the expected sum of Q(state, its action) - Q(state, the other's)
    along its visits (performance difference), so that one visit tells far more than the difference of two noisy costs.
    """
    own, judged, apart, seconds = 0.0, 0.0, 0, []
    for state, mine in zip(visited.states, visited.actions, strict=True):
        start = time.process_time()
        also = (mine[1],) if mine[0] == "check" else ()
        found = search(state.problem(p), state.allowed(p), replace(reference, also=also))
        seconds.append(time.process_time() - start)
        theirs = chosen(found)
        if mine == theirs:
            continue
        apart += 1
        own += max(0.0, _by(found, state.problem(p), mine) - found.value)
        judged += worth(p, state, mine, judge) - worth(p, state, theirs, judge)
    return Regret(own, judged, apart, tuple(seconds))


def _by(found: Found, here: Problem, action: Action) -> float:
    """What a search makes of an action."""
    kind, a = action
    if kind == "check":
        return found.checks.get(a, found.stop)
    if kind == "repair":
        return min(found.repair_value, found.stop) if a == found.repair else found.stop
    return float(here.belief @ here.handoff[here.group])


def worth(p: Problem, state: State, action: Action, plan: Plan) -> float:
    """Expected minutes of an action, and of what a search reckons from each state that it leads to."""
    mass = float(state.belief.sum())
    if action[0] == "handoff":
        return float(state.belief @ p.handoff[p.group]) / mass
    total = 0.0
    for way in led_to(p, state, action):
        total += way.mass * way.minutes
        if way.then is not None and way.mass > 1e-9 * mass:
            total += way.mass * search(way.then.problem(p), way.then.allowed(p), plan).value
    return total / mass
