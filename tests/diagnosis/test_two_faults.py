"""Two faults at once in the plan: each part that is bad is needed, and a senior has both to put right."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.diagnosis.levels import Plan
from bot.diagnosis.problem import Access, Problem, after_repair
from bot.diagnosis.recovery import groups_of, recovery
from bot.diagnosis.search import search

SENIOR = 120.0


def both_bad(share: float, prices: tuple[float, float] = (60.0, 60.0)) -> Problem:
    """A belt and a heater, both bad with chance `share`, one of them for the rest; 40 minutes each, works always."""
    alone = (1 - share) / 2
    return Problem(
        belief=np.array([alone, alone, share]), rows=np.zeros((0, 1, 3)), check_cost=np.zeros(0),
        group=np.array([0, 1, 2]), works=np.ones(2), repair_cost=np.array([40.0, 40.0]), wrong_cost=np.array(prices),
        handoff=np.array([SENIOR + 40, SENIOR + 40, SENIOR]), pairs=((2, 0, 1),))


def test_a_senior_has_both_parts_to_fit() -> None:
    """Handing off is no way round the work: his coming, and both repairs."""
    assert both_bad(1.0).handing.tolist() == [SENIOR + 40, SENIOR + 40, SENIOR + 80]


def test_one_part_for_two_faults_is_fitted_once() -> None:
    """Where the same repair cures both, a senior makes it once as well."""
    one = both_bad(1.0)
    same = Problem(belief=one.belief, rows=one.rows, check_cost=one.check_cost, group=np.array([0, 0, 1]),
                   works=np.ones(1), repair_cost=np.array([40.0]), wrong_cost=np.array([60.0]),
                   handoff=np.array([SENIOR + 40, SENIOR]), pairs=((2, 0, 1),))
    assert same.handing[2] == SENIOR + 40
    value, first = recovery(same, groups_of(same), Access(same), same.belief[None, :], np.zeros(1, dtype=np.int64))
    assert (value[0], first[0]) == (40.0, 0)


def test_the_first_of_two_parts_that_are_bad_is_not_in_vain() -> None:
    """The machine still stands after the belt, and the belt was torn all the same: no price for a wrong part."""
    found = search(both_bad(1.0, prices=(720.0, 720.0)), np.zeros(0, dtype=bool), Plan())
    assert found.repair >= 0
    assert found.stop == pytest.approx(80)
    assert found.repair_value == pytest.approx(80)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10_000))
def test_what_recovery_says_is_what_it_comes_to(seed: int) -> None:
    """Every truth walked by hand: minutes until it runs, a price for each part that was good, a senior at the end."""
    rng = np.random.default_rng(seed)
    faults, pairs = 4, ((5, 0, 1), (6, 1, 2), (7, 0, 3))
    group = np.append(rng.permutation(np.array([0, 1, 2, int(rng.integers(0, 4))])), [3, 3, 3, 3])
    cost = rng.uniform(8, 60, 3)
    problem = Problem(
        belief=rng.dirichlet(np.ones(8)), rows=np.zeros((0, 1, 8)), check_cost=np.zeros(0), group=group,
        works=np.ones(3), repair_cost=cost, wrong_cost=rng.choice([0.0, 60.0, 150.0], 3),
        handoff=np.append(SENIOR + cost, SENIOR), pairs=pairs)
    truths = [{f} for f in range(faults)] + [{4}] + [{i, j} for _, i, j in pairs]
    groups, access, shut = groups_of(problem), Access(problem), np.zeros(1, dtype=np.int64)
    belief, order = problem.belief[None, :], []
    said, first = recovery(problem, groups, access, belief, shut)
    while first[0] >= 0 and belief.sum() > 1e-9:
        order.append(int(first[0]))
        belief = after_repair(problem, belief, first)
        _, first = recovery(problem, groups, access, belief, shut)
    walked = sum(p * _walked(problem, truth, order) for p, truth in zip(problem.belief, truths, strict=True))
    assert said[0] == pytest.approx(walked)


def _walked(problem: Problem, truth: set[int], order: list[int]) -> float:
    """What one truth costs: fault 4 is one that nobody here knows."""
    bad, cost = set(truth), 0.0
    for repair in order:
        mended = {f for f in bad if problem.group[f] == repair}
        bad -= mended
        cost += float(problem.repair_cost[repair]) + (0.0 if mended else float(problem.wrong_cost[repair]))
        if not bad:
            return cost
    left = {int(problem.group[f]) for f in bad}
    return cost + SENIOR + sum(float(problem.handoff[g]) - SENIOR for g in left)
