"""What evidence does to the belief."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.diagnosis.belief import believe, posterior
from bot.diagnosis.compiled import Model, compile_pack
from bot.diagnosis.evidence import UNKNOWN, Evidence, Repaired, Seen
from bot.diagnosis.given import Given, absent_complaints
from bot.diagnosis.thresholds import SMOOTH_CHECKS, SMOOTH_COMPLAINTS, TEMPER_CHECKS
from tests.diagnosis.packs import check, fault, pack, random_pack

MODELS = [compile_pack(random_pack(seed)) for seed in range(4)]


@st.composite
def evidence(draw: st.DrawFn) -> tuple[Model, Evidence]:
    """Some complaints, denials, answers and perhaps a repair, on one of a few machines."""
    model = draw(st.sampled_from(MODELS))
    complaints = draw(st.lists(st.sampled_from(model.complaints), unique=True, max_size=3))
    told = draw(st.integers(0, len(complaints)))
    checks = draw(st.lists(st.sampled_from(model.checks), unique=True, max_size=5))
    history: list[Seen | Repaired] = [
        Seen(c, draw(st.sampled_from(model.results[model.check_index[c]]))) for c in checks]
    if draw(st.booleans()):
        history.insert(draw(st.integers(0, len(history))), Repaired(draw(st.sampled_from(model.faults))))
    variant = draw(st.sampled_from([{}, {"drive": "belt"}, {"drive": "direct"}]))
    return model, Evidence("mangle", variant, tuple(complaints[:told]), tuple(complaints[told:]), tuple(history))


@given(evidence())
@settings(max_examples=150, deadline=None)
def test_probabilities_sum_to_one(case: tuple[Model, Evidence]) -> None:
    """Faults, pairs and `unknown` sum to one, and so does every variant axis."""
    belief = believe(*case)
    assert sum(p for _, p in belief.faults) == pytest.approx(1.0, abs=1e-12)
    assert all(p >= 0 for _, p in belief.faults)
    for shares in belief.variants.values():
        assert sum(shares.values()) == pytest.approx(1.0, abs=1e-12)
    assert 0 <= belief.misfit <= 1


@given(evidence(), st.data())
@settings(max_examples=60, deadline=None)
def test_one_check_is_expected_alone_as_among_all(case: tuple[Model, Evidence], data: st.DataObject) -> None:
    """Whatever was told, denied or seen; each result keeps a chance, and a machine's results share as before."""
    model, told = case
    expected = Given(model, told.complaints, told.denied, data.draw(st.sets(st.sampled_from(model.complaints))))
    rows = expected.rows()
    for c in range(len(model.checks)):
        assert np.array_equal(expected.row(c), rows[c])
        assert rows[c].sum(axis=0) == pytest.approx(model.rows[c].sum(axis=0))


@given(evidence(), st.randoms(use_true_random=False))
@settings(max_examples=150, deadline=None)
def test_order_within_a_stretch_is_of_no_account(case: tuple[Model, Evidence], rng: object) -> None:
    """Answers that no repair stands between may come in any order, bit for bit the same belief."""
    model, told = case
    stretches = [list(group) for is_repair, group in
                 itertools.groupby(told.history, key=lambda fact: isinstance(fact, Repaired))]
    for stretch in stretches:
        rng.shuffle(stretch)  # type: ignore[attr-defined]
    mixed = replace(told, history=tuple(itertools.chain(*stretches)), complaints=told.complaints[::-1],
                    denied=told.denied[::-1])
    assert believe(model, mixed) == believe(model, told)


@given(evidence(), st.integers(0, 10))
@settings(max_examples=100, deadline=None)
def test_withdrawing_an_answer_restores_what_was(case: tuple[Model, Evidence], pick: int) -> None:
    """Evidence is a value: with an answer added and taken out again the belief is exactly the one before."""
    model, told = case
    before = believe(model, told)
    extra = Seen(model.checks[pick % len(model.checks)], "good")
    longer = replace(told, history=(*told.history, extra))
    believe(model, longer)
    assert believe(model, replace(longer, history=longer.history[:-1])) == before


def test_posterior_is_bayes_by_hand() -> None:
    """Two faults and the unknown one, one complaint, one check: the numbers of a pencil."""
    model = compile_pack(pack(
        {"belt.worn": fault("belt", 3, {"dead": 0.9}), "pump.bad": fault("pump", 1, {"dead": 0.3})},
        {"belt_look": check({"normal": {"good": 0.9}, "belt.worn": {"bad": 0.8}})}, unknown=0.04))
    belief = dict(believe(model, Evidence("mangle", complaints=("dead",), history=(Seen("belt_look", "bad"),))).faults)
    prior = np.array([0.96 * 0.75, 0.96 * 0.25, 0.04])
    shows = np.array([0.9, 0.3])
    average = 0.75 * 0.9 + 0.25 * 0.3
    shows = np.append((1 - SMOOTH_COMPLAINTS) * shows + SMOOTH_COMPLAINTS * average,
                      0.9 * average + 0.1 * average / 2)  # of two complaints
    bad = (1 - SMOOTH_CHECKS) * np.array([0.8, 0.1]) + SMOOTH_CHECKS / 2
    bad = bad**TEMPER_CHECKS / (bad**TEMPER_CHECKS + (1 - bad) ** TEMPER_CHECKS)
    bad = np.append(bad, 0.9 * (0.75 * bad[0] + 0.25 * bad[1]) + 0.1 * 0.5)
    by_hand = prior * shows * bad / (prior * shows * bad).sum()
    assert [belief["belt.worn"], belief["pump.bad"], belief[UNKNOWN]] == pytest.approx(by_hand.tolist(), rel=1e-12)


def test_denied_complaint_counts_against_the_faults_that_show_it() -> None:
    """'Not noisy' takes from the bearing and gives to the fuse."""
    model = compile_pack(pack(
        {"bearing.dry": fault("bearing", 1, {"dead": 0.6, "noisy": "always"}),
         "fuse.open": fault("fuse", 1, {"dead": 0.6})},
        {"look": check({"normal": {"good": 0.9}, "fuse.open": {"bad": 0.9}})}))
    told = dict(believe(model, Evidence("mangle", complaints=("dead",))).faults)
    denied = dict(believe(model, Evidence("mangle", complaints=("dead",), denied=("noisy",))).faults)
    assert denied["bearing.dry"] < 0.2 * told["bearing.dry"]
    assert denied["fuse.open"] > told["fuse.open"]


def _two_faults() -> Model:
    return compile_pack(pack(
        {"belt.worn": fault("belt", 5, {"dead": 0.9}), "pump.bad": fault("pump", 2, {"dead": 0.5}),
         "valve.stuck": fault("valve", 2, {"dead": 0.5})},
        {"belt_look": check({"normal": {"good": 0.95}, "belt.worn": {"bad": 0.95}}),
         "pump_ear": check({"normal": {"good": 0.95}, "pump.bad": {"bad": 0.95}})}))


def test_after_a_failed_repair_the_rest_moves_up_but_a_bad_new_part_stays_possible() -> None:
    """A new belt that changes nothing: the belt is unlikely, not impossible."""
    model = _two_faults()
    seen = Evidence("mangle", complaints=("dead",), history=(Seen("belt_look", "bad"),))
    before = dict(believe(model, seen).faults)
    after = dict(believe(model, replace(seen, history=(*seen.history, Repaired("belt.worn")))).faults)
    assert before["belt.worn"] > 0.8
    assert 0.02 < after["belt.worn"] < 0.6
    assert after["pump.bad"] > before["pump.bad"]


def test_two_faults_at_once_leave_the_second_after_the_first_is_mended() -> None:
    """Belt and pump both tested bad, belt renewed, still dead: now the pump leads clearly."""
    model = _two_faults()
    both = Evidence("mangle", complaints=("dead",), history=(
        Seen("belt_look", "bad"), Seen("pump_ear", "bad"), Repaired("belt.worn"), Seen("belt_look", "good")))
    belief = dict(believe(model, both).faults)
    assert belief["pump.bad"] > 0.7
    assert belief["belt.worn"] < 0.1


def test_evidence_for_two_faults_names_the_pair() -> None:
    """Clear signs of both, that no single fault gives: the pair is one entry, 'a+b'."""
    model = compile_pack(pack(
        {"belt.worn": fault("belt", 5, {"dead": 0.9}), "pump.bad": fault("pump", 5, {"dead": 0.5}),
         "valve.stuck": fault("valve", 2, {"dead": 0.5})},
        {**{f"belt{i}": check({"normal": {"good": 0.97}, "belt.worn": {"bad": 0.97}}) for i in range(3)},
         **{f"pump{i}": check({"normal": {"good": 0.97}, "pump.bad": {"bad": 0.97}}) for i in range(3)}}))
    history = tuple(Seen(f"{part}{i}", "bad") for part in ("belt", "pump") for i in range(3))
    belief = believe(model, Evidence("mangle", complaints=("dead",), history=history))
    assert belief.faults[0][0] == "belt.worn+pump.bad"
    assert belief.faults[0][1] > 0.5


def test_a_result_that_identifies_settles_the_variant() -> None:
    """A belt seen is a belt drive, and takes direct-drive faults out of the running."""
    model = compile_pack(pack(
        {"belt.worn": fault("belt", 2, {"dead": 0.8}, only={"drive": "belt"}),
         "rotor.bad": fault("rotor", 2, {"dead": 0.8}, only={"drive": "direct"})},
        {"peek": check({"normal": {"belt": 0.5}}, 1, ("belt", "disc")) | {"results": {
            "belt": {"label": "belt", "says": "belt", "identifies": {"drive": "belt"}},
            "disc": {"label": "disc", "says": "disc", "identifies": {"drive": "direct"}}}}},
        variants={"drive": ("belt", "direct")},
        combinations=[{"drive": "belt", "share": 0.5}, {"drive": "direct", "share": 0.5}]))
    belief = believe(model, Evidence("mangle", history=(Seen("peek", "belt"),)))
    assert belief.variants["drive"]["belt"] > 0.95
    assert dict(belief.faults)["rotor.bad"] < 0.05


def test_variant_told_removes_faults_of_other_machines() -> None:
    """No belt faults on a direct drive."""
    for model in MODELS:
        after = posterior(model, Evidence("mangle", variant={"drive": "direct"}))
        for f, name in enumerate(model.faults):
            if model.pack.faults[name].only.get("drive") == ("belt",):
                assert after.mass[model.fault_of == f].sum() == 0


def test_seeing_a_complaint_that_was_told_is_hardly_news() -> None:
    """The run shows the dead spin that the customer told of: the belief stays nearly where it was."""
    looks = {"run": check({"normal": {"good": 0.9}, "belt.worn": {"dead": 0.9}}, 5, ("good", "dead"))}
    looks["run"]["results"]["dead"]["complaints"] = ["dead"]
    faults = {"belt.worn": fault("belt", 1, {"dead": 0.9}), "fuse.open": fault("fuse", 1, {"dead": 0.5})}
    model = compile_pack(pack(faults, looks))
    told = dict(believe(model, Evidence("mangle", complaints=("dead",))).faults)
    seen = dict(believe(model, Evidence("mangle", complaints=("dead",), history=(Seen("run", "dead"),))).faults)
    unasked = dict(believe(model, Evidence("mangle", history=(Seen("run", "dead"),))).faults)
    assert abs(seen["belt.worn"] - told["belt.worn"]) < 0.06
    assert unasked["belt.worn"] > 0.8


def _noisy_belt(without: tuple[str, ...] = ()) -> Model:
    looks = {name: check({"normal": {"good": 0.9}, "belt.worn": {"dead": 0.9}}, 5, ("good", "dead"))
             for name in ("run", "run_again")}
    for look in looks.values():
        look["results"]["dead"]["complaints"] = ["dead"]
    faults = {"belt.worn": fault("belt", 1, {"noisy": 0.9, "dead": 0.5}), "fuse.open": fault("fuse", 1, {"noisy": 0.9})}
    made = pack(faults, looks, complaints=("dead", "noisy"))
    noisy = made.complaints["noisy"].model_copy(update={"without": without})
    return compile_pack(made.model_copy(update={"complaints": {**made.complaints, "noisy": noisy}}))


def test_not_seeing_a_complaint_that_was_denied_is_hardly_news() -> None:
    """It spins, says the customer; the run shows that it does: no more against the belt than was told."""
    model = _noisy_belt()
    told = Evidence("mangle", complaints=("noisy",), denied=("dead",))
    before, after = (dict(believe(model, e).faults)["belt.worn"] for e in (
        told, replace(told, history=(Seen("run", "good"),))))
    silent = replace(told, denied=())
    untold, seen = (dict(believe(model, e).faults)["belt.worn"] for e in (
        silent, replace(silent, history=(Seen("run", "good"),))))
    assert abs(after - before) < 0.06
    assert untold - seen > 0.2


def test_what_one_check_showed_is_expected_of_the_next() -> None:
    """Seen dead in one run, it will be dead in another, whatever the fault: that one is worth nothing now."""
    model = _noisy_belt()
    told = Evidence("mangle", complaints=("noisy",))
    c, dead = model.check_index["run_again"], model.result_index("run_again", "dead")
    assert posterior(model, told).given.row(c)[dead].min() < 0.2
    assert posterior(model, replace(told, history=(Seen("run", "dead"),))).given.row(c)[dead].min() > 0.8


def test_a_check_leaves_the_belief_on_average_where_it_was() -> None:
    """What a run may show is weighed as the plan expects it, also where an earlier run showed the same complaint."""
    model = _noisy_belt()
    told = Evidence("mangle", complaints=("noisy",), history=(Seen("run", "dead"),))
    now = posterior(model, told)
    c = model.check_index["run_again"]
    belt = 0.0
    for result in ("good", "dead"):
        chance = float(now.given.row(c)[model.result_index("run_again", result)] @ now.mass)
        after = believe(model, replace(told, history=(*told.history, Seen("run_again", result))))
        belt += chance * dict(after.faults)["belt.worn"]
    assert belt == pytest.approx(dict(believe(model, told).faults)["belt.worn"], abs=0.03)  # a pair may join


def test_a_rare_complaint_is_not_laid_to_what_cannot_cause_it() -> None:
    """Told of what it cannot come of it is in a few visits of a hundred, however rare it is."""
    faults = {"cord.bare": fault("cord", 1, {"tingle": 0.2}),
              **{f"part{n}.worn": fault(f"part{n}", 10, {"dead": 0.8}) for n in range(9)}}
    model = compile_pack(pack(faults, {"look": check({"normal": {"good": 0.9}})}, unknown=0.04,
                              complaints=("dead", "tingle")))
    belief = dict(believe(model, Evidence("mangle", complaints=("tingle",))).faults)
    assert belief["cord.bare"] > 8 * sum(p for f, p in belief.items() if f.startswith("part"))


def test_asked_twice_in_one_stretch_is_one_fact() -> None:
    """The same answer given twice weighs as much as once; after a repair it is a second fact."""
    model = _two_faults()
    once = Evidence("mangle", history=(Seen("belt_look", "bad"),))
    twice = Evidence("mangle", history=(Seen("belt_look", "bad"), Seen("belt_look", "bad")))
    assert dict(believe(model, twice).faults) == pytest.approx(dict(believe(model, once).faults))
    apart = Evidence("mangle", history=(Seen("belt_look", "bad"), Repaired("pump.bad"), Seen("belt_look", "bad")))
    assert dict(believe(model, apart).faults)["belt.worn"] > dict(believe(model, once).faults)["belt.worn"]


def test_a_second_look_that_says_otherwise_leaves_the_first_its_share() -> None:
    """Either may have been the slip: it weighs more than the first alone, and less than if there had been no first."""
    model = _two_faults()
    worn = [dict(believe(model, Evidence("mangle", history=(fact,))).faults)["belt.worn"] for fact in (
        Seen("belt_look", "good"), Seen("belt_look", "bad", first="good"), Seen("belt_look", "bad"))]
    assert worn[0] < worn[1] < worn[2]
    same = Evidence("mangle", history=(Seen("belt_look", "bad", first="bad"),))
    assert dict(believe(model, same).faults)["belt.worn"] == pytest.approx(worn[2])


def test_unknown_ids_are_named() -> None:
    """A wrong id raises with the id and the family in the message."""
    with pytest.raises(KeyError, match="no check 'belt_lok'"):
        believe(_two_faults(), Evidence("mangle", history=(Seen("belt_lok", "bad"),)))
    with pytest.raises(KeyError, match="has no result 'worn'"):
        believe(_two_faults(), Evidence("mangle", history=(Seen("belt_look", "worn"),)))


def test_what_goes_without_saying_is_not_news() -> None:
    """Only what runs is noisy: that a run shows it alive says little more then, whether or not anybody said so."""
    moved = []
    for model in (_noisy_belt(), _noisy_belt(without=("dead",))):
        told = Evidence("mangle", complaints=("noisy",))
        before, after = (dict(believe(model, e).faults)["belt.worn"] for e in (
            told, replace(told, history=(Seen("run", "good"),))))
        moved.append(abs(after - before))
    assert moved[0] > 0.2
    assert moved[1] < 0.06
    assert absent_complaints(model.pack, ("noisy",), ()) == {"dead"}
    assert absent_complaints(model.pack, ("noisy", "dead"), ()) == set()


def test_what_works_rules_out_what_would_keep_it_from_working() -> None:
    """A drum said to turn was started; told beats both."""
    faults = {"belt.worn": fault("belt", 1, {"noisy": 0.9}), "fuse.open": fault("fuse", 1, {"noisy": 0.9})}
    made = pack(faults, {"run": check({"normal": {"good": 0.97}})}, complaints=("dead", "noisy", "stuck"))
    stuck = made.complaints["stuck"].model_copy(update={"works_without": ("dead",)})
    made = made.model_copy(update={"complaints": {**made.complaints, "stuck": stuck}})
    assert absent_complaints(made, ("noisy",), ("stuck",)) == {"stuck", "dead"}
    assert absent_complaints(made, ("dead",), ("stuck",)) == {"stuck"}
    assert absent_complaints(made, ("stuck",), ()) == set()
