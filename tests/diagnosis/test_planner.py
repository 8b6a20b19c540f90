"""What the planner chooses, and the traps a short-sighted one falls into."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.diagnosis.belief import posterior
from bot.diagnosis.compiled import Model, compile_pack
from bot.diagnosis.evidence import Decision, Evidence, Repaired, Seen, Situation
from bot.diagnosis.levels import Found, Plan
from bot.diagnosis.planner import PLAN, plan
from bot.diagnosis.problem import Problem
from bot.diagnosis.search import search
from bot.diagnosis.setting import setting_of
from tests.diagnosis.packs import check, fault, pack, random_pack

MYOPIC = Plan(create=(1000,), follow=(1000,))
EMPTY = Evidence("mangle", complaints=("dead",))


def problem(belief: list[float], rows: list[list[list[float]]], costs: list[float], group: list[int],
            repairs: list[float], handoff: float = 120.0, **more: Any) -> Problem:
    """Arrays by hand: rows[check][result][hypothesis]."""
    count = len(repairs)
    given = {"works": np.ones(count), "wrong_cost": np.zeros(count)} | more
    return Problem(belief=np.array(belief), rows=np.array(rows), check_cost=np.array(costs), group=np.array(group),
                   repair_cost=np.array(repairs), handoff=np.full(count + 1, handoff), **given)


def look(p: Problem, how: Plan = PLAN) -> Found:
    """The search with every check allowed."""
    return search(p, np.ones(p.checks, dtype=bool), how)


def best_check(found: Found) -> int | None:
    """The check that the search would make, None where repair or hand-off is better."""
    check_id = min(found.checks, key=lambda c: found.checks[c], default=None)
    return check_id if check_id is not None and found.checks[check_id] < min(found.stop, found.repair_value) else None


def test_two_checks_that_are_useful_only_together() -> None:
    """Each alone leaves the fault at a coin toss; the parity of both settles it. A one-step look sees nothing."""
    # Four states (x, y) alike; repair 0 cures x == y, repair 1 cures x != y. The checks show x and y.
    p = problem([0.25] * 4, [[[1, 1, 0, 0], [0, 0, 1, 1]], [[1, 0, 1, 0], [0, 1, 0, 1]]], [3, 3], [0, 1, 1, 0],
                [40, 40], handoff=500)
    assert best_check(look(p, MYOPIC)) is None
    found = look(p)
    assert best_check(found) in (0, 1)
    assert found.value == pytest.approx(3 + 3 + 40)


def test_a_dear_cover_with_cheap_checks_behind_it() -> None:
    """Five one-minute checks behind a cover of 25 minutes: none pays for it alone, together they do."""
    n = 6
    rows = [[[0.0 if k == c else 1.0 for k in range(n)], [1.0 if k == c else 0.0 for k in range(n)]] for c in range(5)]
    p = problem([1 / n] * n, rows, [1.0] * 5, list(range(n)), [30.0] * n, handoff=400, check_path=np.full(5, 1),
                check_shuts=np.zeros(5, dtype=np.int64), repair_path=np.zeros(n, dtype=np.int64),
                cover_cost=np.array([25.0]))
    assert best_check(look(p, MYOPIC)) is None
    found = look(p)
    assert best_check(found) is not None
    by_hand = 25 + 30 + (1 + 2 + 3 + 4 + 5 + 5) / 6
    assert found.value == pytest.approx(by_hand, rel=0.02)


def test_a_cheap_trial_repair_beats_a_long_chain_of_tests() -> None:
    """A five-minute reset that cures 40 % goes before twenty minutes of testing."""
    p = problem([0.4, 0.3, 0.3], [[[1, 0, 0], [0, 1, 1]], [[0.5, 1, 0], [0.5, 0, 1]]], [20, 6], [0, 1, 2], [5, 60, 60])
    found = look(p)
    assert best_check(found) is None
    assert found.repair == 0


def test_a_check_that_is_likely_impossible_is_worth_less() -> None:
    """Of two equal checks the one that can be made comes first."""
    sure = [[0.95, 0.05], [0.05, 0.95]]
    doubtful = [[0.4 * x for x in row] for row in sure]
    p = problem([0.5, 0.5], [doubtful, sure], [4, 4], [0, 1], [50, 50], wrong_cost=np.array([30.0, 30.0]))
    found = look(p)
    assert best_check(found) == 1
    assert found.checks[0] > found.checks[1]


def test_the_impossible_answer_is_planned_for() -> None:
    """Q = p (V without it + asking) + (1 - p) Q made, by hand."""
    p = problem([0.5, 0.5], [[[0.6, 0.0], [0.0, 0.6]]], [4], [0, 1], [50, 50], wrong_cost=np.array([30.0, 30.0]))
    without = 50 + 0.5 * (30 + 50)
    assert look(p).stop == pytest.approx(without)
    assert look(p).checks[0] == pytest.approx(0.6 * (4 + 50) + 0.4 * (1 + without))


def test_a_check_that_is_not_there_says_so() -> None:
    """Only one of two machines has what is looked at: to hear that there is none settles which it is, at the price
    of asking."""
    p = problem([0.5, 0.5], [[[1.0, 0.0], [0.0, 0.0]]], [4], [0, 1], [50, 50], wrong_cost=np.array([30.0, 30.0]))
    assert look(p).checks[0] == pytest.approx(0.5 * (4 + 50) + 0.5 * (1 + 50))


def test_a_check_pays_that_opens_what_the_repair_needs() -> None:
    """Both repairs are behind the cover that the check opens: the cover is paid anyway, the check costs its minutes."""
    p = problem([0.5, 0.5], [[[1, 0], [0, 1]]], [2], [0, 1], [40, 40], handoff=400, wrong_cost=np.array([5.0, 5.0]),
                check_path=np.array([1]), check_shuts=np.array([0]), repair_path=np.array([1, 1]),
                cover_cost=np.array([60.0]))
    tree = replace(p, belief=np.array([0.45, 0.45, 0.1]), rows=np.array([[[1, 0, 0.5], [0, 1, 0.5]],
                                                                         [[0.05, 0.05, 1], [0.95, 0.95, 0]]]),
                   check_cost=np.array([2.0, 1.0]), group=np.array([0, 1, 2]), check_path=np.array([1, 0]),
                   check_shuts=np.array([0, 0]))
    assert look(p).checks[0] == pytest.approx(2 + 60 + 40)
    assert look(tree).checks[1] < look(tree, MYOPIC).checks[1] - 1


def test_the_kind_of_machine_comes_before_a_check_it_may_not_have() -> None:
    """The key test is worth a shade more, a third of the machines have no keys: which it is gets asked first."""
    looks = {"keys": check({"normal": {"good": 0.98}, "a.bad": {"bad": 0.98}}, 2, only={"panel": "keys"}),
             "which": check({}, 0.5, ("dial", "keys"))}
    for kind in ("dial", "keys"):
        looks["which"]["results"][kind]["identifies"] = {"panel": kind}
    model = compile_pack(pack(_alike(), looks, variants={"panel": ("dial", "keys")}, combinations=[
        {"panel": "dial", "share": 0.3}, {"panel": "keys", "share": 0.7}]))
    assert plan(model, EMPTY, Situation()).best.id == "which"
    assert plan(model, replace(EMPTY, variant={"panel": "keys"}), Situation()).best.id == "keys"


def test_when_the_unknown_fault_is_true_it_ends_with_a_senior() -> None:
    """All checks good, one after the other: the planner stops asking and hands off, with few parts spent."""
    model = compile_pack(random_pack(3, faults=10, checks=10))
    told, repairs = EMPTY, 0
    for _ in range(30):
        best = plan(model, told, Situation()).best
        if best.do == "handoff":
            break
        if best.do == "check":
            fact: Seen | Repaired = Seen(best.id, "good")
        else:
            fact, repairs = Repaired(best.id), repairs + 1
        told = replace(told, history=(*told.history, fact))
    assert best.do == "handoff"
    assert repairs <= 4


def test_same_input_same_decision() -> None:
    """Bit for bit, also with the model compiled anew."""
    first, again = (plan(compile_pack(random_pack(1)), EMPTY, Situation()) for _ in range(2))
    assert first == again


def test_covers_open_already_are_not_paid_again() -> None:
    """A check behind the rear panel costs less once the panel is off."""
    model = compile_pack(pack(
        {"a.bad": fault("a", 1, {"dead": 0.9}, 60), "b.bad": fault("b", 1, {"dead": 0.9}, 60)},
        {"look": check({"normal": {"good": 0.95}, "a.bad": {"bad": 0.95}}, 2, access=["rear"])},
        covers={"rear": {"open_minutes": 5, "close_minutes": 5}}))
    shut = plan(model, EMPTY, Situation(power="off")).best
    opened = plan(model, EMPTY, Situation(power="off", open_covers=frozenset({"rear"}))).best
    assert shut.do == opened.do == "check"
    assert shut.minutes == pytest.approx(12)
    assert opened.minutes == pytest.approx(2)


def _alike() -> dict[str, Any]:
    return {f"{x}.bad": fault(x, 1, {"dead": 0.9}, 60) for x in "ab"}


def _live() -> dict[str, Any]:
    return {"volts": check({"normal": {"good": 0.98}, "a.bad": {"bad": 0.98}}, 2, power="live", cautions=["Live."]),
            "slow_look": check({"normal": {"good": 0.8}, "a.bad": {"bad": 0.8}}, 6)}


def test_live_measurements_only_for_the_signed_off() -> None:
    """The better check is live: without the sign-off it is not offered at all."""
    model = compile_pack(pack(_alike(), _live()))
    plain = plan(model, EMPTY, Situation())
    assert all(option.id != "volts" for option in plain.options)
    assert plan(model, EMPTY, Situation(signoffs=frozenset({"live"}))).best.id == "volts"


def test_licensed_work_is_handed_off_unless_signed_off() -> None:
    """A gas valve known to be bad: hand-off for most, the repair for the licensed."""
    model = compile_pack(pack(
        {"gas_valve.bad": fault("gas valve", 8, {"dead": 0.9}, licensed="gas", make_safe="Shut the gas.",
                                repair_signoff=["gas"]),
         "b.bad": fault("b", 1, {"dead": 0.9})},
        {"look": check({"normal": {"good": 0.98}, "gas_valve.bad": {"bad": 0.98}})}))
    told = replace(EMPTY, history=(Seen("look", "bad"),))
    assert plan(model, told, Situation()).best.do == "handoff"
    signed = plan(model, told, Situation(signoffs=frozenset({"gas"}))).best
    assert (signed.do, signed.id) == ("repair", "gas_valve.bad")


def test_a_machine_that_nobody_looked_at_is_not_handed_off_over_nothing() -> None:
    """Mostly licensed, and a look settles too little to pay: it is made once, and not where it costs real time."""
    def first(minutes: float, *history: Seen) -> tuple[str, str]:
        looks = {"look": check({"normal": {"good": 0.9}, "gas_valve.bad": {"bad": 0.2}}, minutes),
                 "touch": check({"normal": {"good": 0.9}, "gas_valve.bad": {"bad": 0.2}}, minutes)}
        model = compile_pack(pack({"gas_valve.bad": fault("gas valve", 8, {"dead": 0.9}, licensed="gas",
                                                          make_safe="Shut the gas.", repair_signoff=["gas"]),
                                   "b.bad": fault("b", 1, {"dead": 0.9})}, looks))
        best = plan(model, replace(EMPTY, history=history), Situation()).best
        return best.do, best.id

    assert first(1.5) == ("check", "look")
    assert first(1.5, Seen("look", "good")) == ("handoff", "handoff")
    assert first(15.0) == ("handoff", "handoff")


def test_nothing_answered_refused_or_impossible_is_offered() -> None:
    """Answered, declined, can't, no such tool: none of them comes back."""
    model = compile_pack(random_pack(2))
    told = replace(EMPTY, history=(Seen("look0", "good"),), cannot=frozenset({"look1"}))
    offered = {o.id for o in plan(model, told, Situation(declined=frozenset({"look2"}))).options}
    assert not offered & {"look0", "look1", "look2"}


def test_a_missing_tool_rules_out_what_needs_it() -> None:
    """No meter: the meter check is gone, the look stays."""
    looks = {"ohms": check({"normal": {"good": 0.98}, "a.bad": {"bad": 0.98}}, tools=["meter"]),
             "look": check({"normal": {"good": 0.9}, "a.bad": {"bad": 0.9}})}
    model = compile_pack(pack(_alike(), looks))
    assert plan(model, EMPTY, Situation()).best.id == "ohms"
    assert plan(model, replace(EMPTY, cannot=frozenset({"meter"})), Situation()).best.id == "look"


def test_a_repair_that_failed_twice_is_not_proposed_again() -> None:
    """Twice is enough."""
    model = compile_pack(pack({"a.bad": fault("a", 30, {"dead": 0.9})}, {"look": check({"normal": {"good": 0.9}})}))
    assert plan(model, EMPTY, Situation()).best.do == "repair"
    told = replace(EMPTY, history=(Repaired("a.bad"), Repaired("a.bad")))
    assert plan(model, told, Situation()).best.do == "handoff"


def test_a_machine_that_works_as_it_should_ends_in_stop() -> None:
    """With normal use nearly certain the visit ends, no part is sold."""
    model = compile_pack(pack(
        {"usage.normal": fault("nothing", 5, {"dead": 0.9}, 10, repair_cost="none", repair_parts=[]),
         "b.bad": fault("b", 1, {"dead": 0.9})},
        {"look": check({"normal": {"good": 0.98}, "b.bad": {"bad": 0.98}})}))
    best = plan(model, replace(EMPTY, history=(Seen("look", "good"),)), Situation()).best
    assert (best.do, best.id) == ("stop", "usage.normal")


def test_watching_one_run_goes_before_a_cover_comes_off() -> None:
    """The panel check is a shade better, the watched run has value: it is watched first."""
    faults = {f"{x}.bad": fault(x, 1, {"dead": 0.9}, 45, repair_cost="medium") for x in "abc"}
    model = compile_pack(pack(
        faults,
        {"watch": check({"normal": {"good": 0.8}, "a.bad": {"bad": 0.9}}, 9, power="run"),
         "panel": check({"normal": {"good": 0.95}, "b.bad": {"bad": 0.95}}, 1, access=["rear"])},
        covers={"rear": {"open_minutes": 2, "close_minutes": 2}}, watch="watch"))
    decision = plan(model, EMPTY, Situation(power="off"))
    assert decision.best.id == "watch"
    opened = plan(model, EMPTY, Situation(power="off", open_covers=frozenset({"rear"}))).best
    assert opened.id == "panel"


def test_checks_behind_the_same_cover_are_asked_together() -> None:
    """The rear panel comes off once: what the plan would ask for there next comes along."""
    parts = "abcde"
    model = compile_pack(pack(
        {f"{x}.bad": fault(x, 1, {"dead": 0.9}, 60, repair_cost="high") for x in parts},
        {f"{x}_look": check({"normal": {"good": 0.97}, f"{x}.bad": {"bad": 0.97}}, 1, access=["rear"]) for x in parts},
        covers={"rear": {"open_minutes": 6, "close_minutes": 6}}))
    decision = plan(model, EMPTY, Situation())
    assert decision.best.do == "check"
    assert 1 <= len(decision.together) <= 2
    assert decision.best.id not in decision.together


def test_the_last_suggestion_stays_on_ties() -> None:
    """Two checks that are alike: whichever was suggested stays."""
    looks = {x: check({"normal": {"good": 0.9}, "a.bad": {"bad": 0.9}}) for x in ("first", "second")}
    model = compile_pack(pack(_alike(), looks))
    assert plan(model, EMPTY, Situation(), keep="second").best.id == "second"
    assert plan(model, EMPTY, Situation(), keep="first").best.id == "first"


def _two_kinds(likely: float) -> Model:
    """A likely fault among ten rare ones, on machines with a dial or with keys; three checks only where there are
    keys, which tell next to nothing."""
    faults = {"a.bad": fault("a", likely, {"dead": 0.9}, 60, repair_cost="medium")}
    faults |= {f"r{i}.bad": fault(f"r{i}", 0.1, {"dead": 0.9}, 20, repair_cost="medium") for i in range(10)}
    looks = {f"keys{i}": check({"normal": {"good": 0.9}, f"r{i}.bad": {"bad": 0.5}}, 1, only={"panel": "keys"})
             for i in range(3)}
    looks["look"] = check({"normal": {"good": 0.9}, "a.bad": {"bad": 0.9}}, 4)
    return compile_pack(pack(faults, looks, variants={"panel": ("dial", "keys")}, combinations=[
        {"panel": "dial", "share": 0.5}, {"panel": "keys", "share": 0.5}]))


@pytest.mark.parametrize("likely", [3, 9, 20])
def test_not_knowing_the_variant_makes_nothing_cheaper(likely: float) -> None:
    """A check that only some machines have says nothing of the fault by being possible: what is to be expected with
    the variant unknown is no less than with it told, kind by kind, and a look that is not worth it stays so."""
    model = _two_kinds(likely)
    told = [min(_numbers(plan(model, replace(EMPTY, variant={"panel": kind}), Situation())))
            for kind in ("dial", "keys")]
    unknown = plan(model, EMPTY, Situation())
    assert min(_numbers(unknown)) >= sum(told) / 2 - 0.05
    assert unknown.best.id == plan(model, replace(EMPTY, variant={"panel": "dial"}), Situation()).best.id


def _numbers(decision: Decision) -> list[float]:
    return [option.expected_minutes for option in decision.options]


def test_options_come_with_their_numbers() -> None:
    """Results of a check sum to one, minutes are positive, the chosen is the least up to the manners."""
    for seed in range(4):
        decision = plan(compile_pack(random_pack(seed)), EMPTY, Situation())
        for option in decision.options:
            assert option.minutes > 0
            if option.do == "check":
                assert sum(p for _, p in option.settles) == pytest.approx(1.0)
        assert decision.best.expected_minutes <= min(_numbers(decision)) * 1.16


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10_000))
def test_no_plan_is_said_to_cost_less_than_its_bound(seed: int) -> None:
    """Also where two faults may be there at once: two cheap repairs come to less than a senior."""
    rng = np.random.default_rng(seed)
    belief = rng.dirichlet(np.ones(5))
    rows = rng.dirichlet(np.ones(2), size=(3, 5)).transpose(0, 2, 1)
    p = problem([float(x) for x in belief], rows.tolist(), [2.0, 3.0, 4.0], [0, 1, 2, 3, 3],
                [float(x) for x in rng.uniform(5, 60, 3)], pairs=((4, 0, 1),), ask_cost=0.0)
    found = look(p, Plan())
    for level in found.levels:
        assert (level.bound <= level.leaf + 1e-9).all()


def test_a_senior_opens_no_fewer_covers_than_a_junior() -> None:
    """Handing off is no way round the covers in front of the part."""
    faults = {"belt.bad": fault("belt", 1, {"dead": 0.9}, repair_access=["rear"])}
    rear = {"rear": {"open_minutes": 5, "close_minutes": 5}}
    model = compile_pack(pack(faults, {"look": check({"normal": {"good": 0.9}})}, covers=rear))
    evidence, situation = Evidence("mangle", complaints=("dead",)), Situation()
    shut = setting_of(model, posterior(model, evidence), evidence, situation).problem
    opened = replace(situation, open_covers=frozenset({"rear"}), power="off")
    bare = setting_of(model, posterior(model, evidence), evidence, opened).problem
    assert shut.handoff[0] > bare.handoff[0] >= situation.handoff_minutes
