"""The search goes on with the likeliest hypotheses, and loses neither belief nor what is expected."""

from dataclasses import replace

import numpy as np

from bot.diagnosis.likely import FEWEST, likeliest
from bot.diagnosis.problem import Problem


def many(count: int = 60) -> Problem:
    """A machine with `count` faults, each half as likely again as the next, and a repair of its own for each."""
    belief = 1.5 ** -np.arange(count)
    rng = np.random.default_rng(7)
    rows = rng.random((5, 3, count))
    return Problem(belief / belief.sum(), rows / rows.sum(axis=1, keepdims=True), np.ones(5), np.arange(count),
                   np.ones(count), np.arange(count) + 10.0, np.zeros(count), np.append(np.arange(count) + 100.0, 120.0))


def test_belief_and_what_is_expected_stay() -> None:
    """The rest is one hypothesis: all that is believed, and every result's chance, is as it was."""
    whole = many()
    small = likeliest(whole, 0.99).problem
    assert FEWEST <= len(small.belief) < len(whole.belief)
    assert np.isclose(small.belief.sum(), whole.belief.sum())
    assert np.allclose(small.rows @ small.belief, whole.rows @ whole.belief)


def test_repairs_keep_their_names_and_costs() -> None:
    """What the search names by its own number is found again in the whole problem."""
    order = np.random.default_rng(3).permutation(60)
    whole = many()
    whole = replace(whole, group=order)
    likely = likeliest(whole, 0.99)
    assert np.array_equal(likely.repairs[likely.problem.group[:-1]], whole.group[:len(likely.problem.belief) - 1])
    assert np.array_equal(likely.problem.repair_cost, whole.repair_cost[likely.repairs])
    assert likely.problem.group[-1] == likely.problem.repairs


def test_both_faults_of_a_pair_that_is_kept_stay() -> None:
    """A repair of the one leaves the other, however unlikely that is alone."""
    whole = many()
    belief = np.append(whole.belief * 0.9, 0.1)
    whole = replace(whole, belief=belief, rows=np.concatenate([whole.rows, whole.rows[:, :, :1]], axis=2),
                    group=np.append(whole.group, whole.repairs), pairs=((60, 0, 59),))
    likely = likeliest(whole, 0.99)
    (k, i, j), = likely.problem.pairs
    assert np.isclose(likely.problem.belief[k], 0.1)
    assert likely.repairs[likely.problem.group[i]] == 0 and likely.repairs[likely.problem.group[j]] == 59


def test_all_are_searched_on_where_that_is_asked_or_there_are_few() -> None:
    """A reference leaves nothing out."""
    assert len(likeliest(many(), 1.0).problem.belief) == 60
    assert len(likeliest(many(FEWEST), 0.5).problem.belief) == FEWEST
