"""The JSON contract of `chargehand diagnose`, and what moved which fault."""

from __future__ import annotations

import json
from typing import Any

import pytest

from bot.diagnosis.belief import posterior
from bot.diagnosis.compiled import compile_pack
from bot.diagnosis.diagnose import BadQueryError, diagnose
from bot.diagnosis.evidence import Evidence, Repaired, Seen, Situation
from bot.diagnosis.explain import moves
from bot.diagnosis.misfit import misfit
from bot.diagnosis.setting import setting_of
from bot.diagnosis.thresholds import MISFIT_LEVELS, MISFIT_NATS, NAMED_FROM
from knowledge.loader import load
from tests.diagnosis.packs import check, fault, pack, random_pack

MODEL = compile_pack(random_pack(5))


def ask(**query: Any) -> dict[str, Any]:
    """A query of the random pack's family, through JSON and back."""
    answer: dict[str, Any] = json.loads(json.dumps(diagnose(MODEL, {"family": "mangle", **query})))
    return answer


def test_an_answer_has_the_shape_of_the_contract() -> None:
    """Faults sum to one with `unknown` among them; the next step has an id, minutes and a sentence."""
    answer = ask(complaints=["dead"], denied=["noisy"], results={"look0": "good"}, variant={"drive": "belt"})
    assert sum(f["p"] for f in answer["faults"]) == pytest.approx(1)
    assert "unknown" in {f["id"] for f in answer["faults"]}
    assert [f["p"] for f in answer["faults"]] == sorted((f["p"] for f in answer["faults"]), reverse=True)
    assert sum(answer["variants"]["drive"].values()) == pytest.approx(1)
    assert 0 <= answer["misfit"] <= 1
    assert answer["next"]["do"] in {"check", "repair", "handoff", "stop"}
    assert answer["next"]["expected_minutes"] > 0
    assert answer["next"]["why"].endswith(".")


def test_history_and_results_say_the_same() -> None:
    """A history without repairs is the same as the results; `repaired` is the same as a repair at the end."""
    assert ask(results={"look1": "bad"}) == ask(history=[{"check": "look1", "result": "bad"}])
    assert (ask(results={"look1": "bad"}, repaired=["part0.bad"])
            == ask(history=[{"check": "look1", "result": "bad"}, {"repaired": "part0.bad"}]))


def test_unknown_keys_are_left_alone() -> None:
    """The format may grow; of the meter anything may be told."""
    assert ask(complaints=["dead"], weather="wet") == ask(complaints=["dead"])
    for meter in ("clamp", 0.3, {"percent": 1}):
        assert ask(complaints=["dead"], given={"meter": meter}) == ask(complaints=["dead"])


@pytest.mark.parametrize(("query", "message"), [
    ({"complaints": ["deed"]}, "no complaint 'deed': nearest is 'dead'"),
    ({"results": {"lok1": "bad"}}, "no check 'lok1': nearest is 'look1'"),
    ({"results": {"look1": "worn"}}, "no result of 'look1' 'worn'"),
    ({"results": {"look1": {"value": 3.0}}}, "takes one of good, bad, odd, not a number"),
    ({"variant": {"drive": "chain"}}, "no value of drive 'chain'"),
    ({"repaired": ["part0.worn"]}, "no repair or fault 'part0.worn': nearest is 'part0.bad'"),
    ({"history": [{"check": "look1"}]}, "each entry is"),
    ({"history": [{"check": "look1", "result": "bad", "repaired": "part0.bad"}]}, "each entry is"),
    ({"history": [{"repaired": "part0.bad"}], "results": {"look1": "bad"}}, "one or the other"),
    ({"results": {"look1": 3}}, "a result is its id"),
    ({"results": {"look1": {"value": float("nan")}}}, "a number that a meter can show"),
    ({"results": {"look1": {"value": True}}}, "results.look1.value: write a number"),
    ({"results": {"look1": {"value": "12"}}}, "results.look1.value: write a number"),
    ({"given": {"watts": 0}}, "given.watts: should be greater than 0"),
    ({"given": {"watts": "4500"}}, "given.watts: write a number"),
    ({"given": [4500]}, "given: write an object, in braces"),
    ({"given": {"ambient_c": -273.15}}, "given.ambient_c"),
    ({"cannot": ["multimetre"]}, "no check or tool 'multimetre'"),
    ({"signoffs": ["Gas"]}, "signoffs.0"),
    ({"complaints": ["dead"], "denied": ["dead"]}, "both told and denied"),
    ({"complaints": "dead"}, "complaints"),
])
def test_a_bad_query_is_told_what_to_write(query: dict[str, Any], message: str) -> None:
    """One line that names the place and the nearest id."""
    with pytest.raises(BadQueryError) as error:
        ask(**query)
    assert message in str(error.value)
    assert "\n" not in str(error.value)


def test_moves_name_what_moved_a_fault_most() -> None:
    """The belt seen slipping speaks for the belt; the failed belt speaks against it."""
    model = compile_pack(pack(
        {"belt.worn": fault("belt", 1, {"dead": 0.9}), "pump.bad": fault("pump", 1, {"dead": 0.9})},
        {"belt_look": check({"normal": {"good": 0.95}, "belt.worn": {"bad": 0.95}})}))
    told = Evidence("mangle", complaints=("dead",), history=(Seen("belt_look", "bad"), Repaired("belt.worn")))
    found = {(m.evidence, m.fault): m.bans for m in moves(model, told)}
    assert found["check:belt_look", "belt.worn"] > 0.8
    assert found["repaired:belt.worn", "belt.worn"] < -0.8
    assert found["repaired:belt.worn", "pump.bad"] > 0.5


def test_why_is_made_of_the_numbers() -> None:
    """A check's sentence names it and the fault it points to, a repair's the fault and its chance."""
    model = compile_pack(pack(
        {f"{x}.bad": fault(x, 1, {"dead": 0.9}, 60) for x in ("belt", "pump")},
        {"belt_look": check({"normal": {"good": 0.95}, "belt.bad": {"bad": 0.95}}) | {"name": "belt grip"}}))
    first = diagnose(model, {"family": "mangle", "complaints": ["dead"]})["next"]
    assert first["id"] == "belt_look"
    assert "belt grip" in first["why"] and "bad points to bad belt" in first["why"]
    then = diagnose(model, {"family": "mangle", "complaints": ["dead"], "results": {"belt_look": "bad"}})
    assert then["next"]["do"] == "repair"
    chance = next(f["p"] for f in then["faults"] if f["id"] == "belt.bad")
    assert f"Bad belt at {100 * chance:.0f} %" in then["next"]["why"]


def test_misfit_rises_with_surprise_and_stays_within_bounds() -> None:
    """Monotone in the nats for every number of answers; the stored quantiles are in order."""
    for answers, row in enumerate(MISFIT_NATS):
        assert list(row) == sorted(row)
        assert len(row) == len(MISFIT_LEVELS)
        values = [misfit(nats, answers) for nats in (-50, *row, 50)]
        assert values == sorted(values)
        assert values[0] == 0
        assert values[-1] == (1 if answers > 1 else 0)


def test_answers_that_contradict_each_other_fit_nothing() -> None:
    """Three checks that clear each of three faults in turn: far more misfit than three that agree."""
    parts = ("belt", "pump", "valve")
    model = compile_pack(pack(
        {f"{x}.bad": fault(x, 1, {"dead": 0.9}) for x in parts},
        {f"{x}_look": check({"normal": {"good": 0.97}, f"{x}.bad": {"bad": 0.97}}) for x in parts}))

    def told(*results: str) -> dict[str, Any]:
        looks = {f"{x}_look": r for x, r in zip(parts, results, strict=True)}
        return diagnose(model, {"family": "mangle", "complaints": ["dead"], "results": looks})
    nothing, agreed = told("good", "good", "good"), told("bad", "good", "good")
    assert nothing["misfit"] > agreed["misfit"]
    unknown = [next(f["p"] for f in answer["faults"] if f["id"] == "unknown") for answer in (nothing, agreed)]
    assert unknown[0] > 5 * unknown[1]


OURS = {family: compile_pack(pack) for family, pack in load().knowledge.packs.items() if family in {"range", "dryer"}}


@pytest.mark.parametrize("query", [
    {"family": "range", "variant": {"fuel": "gas"}, "complaints": ["gas_smell"]},
    {"family": "dryer", "variant": {"fuel": "gas"}, "complaints": ["noisy"], "results": {"gas_smell_now": "steady"}},
])
def test_gas_is_handed_off_and_nothing_is_lit(query: dict[str, Any]) -> None:
    """Told or found, whatever the call was about."""
    answer = diagnose(OURS[query["family"]], query)
    assert answer["next"]["do"] == "handoff"
    assert answer["next"]["why"].startswith("Gas: everybody out")


@pytest.mark.parametrize("query", [
    {"family": "range", "variant": {"fuel": "electric"}, "complaints": ["trips_breaker"],
     "results": {"bake_look": "touching"}},
    {"family": "dryer", "complaints": ["electric_shock"]},
    {"family": "dryer", "complaints": ["burning_smell"]},
])
def test_what_may_burn_or_shock_is_not_run_for_a_look(query: dict[str, Any]) -> None:
    """A coil that touches metal, a tingle, a burnt smell: the next look is a dead one. What must stop is told too."""
    model = OURS[query["family"]]
    answer = diagnose(model, query)
    step = answer["next"]
    assert step["do"] != "check" or model.pack.checks[step["id"]].power not in {"run", "live"}
    assert bool(answer["unsafe"]) == ("results" in query)


@pytest.mark.parametrize(("key", "asked"), [("resets", True), ("at_outlet", True), ("begins", False)])
def test_no_breaker_is_put_on_and_nothing_plugged_in_once_it_must_stop(key: str, asked: bool) -> None:
    """The one check left is asked as long as nothing must stop, and after it only if it gives no power."""
    looks = {"normal": {"good": 0.9}, "belt.bad": {"bad": 0.95}}
    burnt = check({"normal": {"good": 0.99}, "belt.bad": {"bad": 0.5}})
    burnt["results"]["bad"]["unsafe"] = "Stop here."
    parts = {"belt.bad": fault("belt", 1, {"dead": 0.9}, 60), "pump.bad": fault("pump", 1, {"dead": 0.9}, 60)}
    model = compile_pack(pack(parts, {"burnt_look": burnt, "other_look": check(looks) | {key: True}}))
    for shown, may in (("good", True), ("bad", not asked)):
        evidence = Evidence("mangle", complaints=("dead",), history=(Seen("burnt_look", shown),))
        assert ("other_look" in setting_of(model, posterior(model, evidence), evidence, Situation()).checks) == may


def test_no_long_shot_is_proposed() -> None:
    """One in eight is no repair, however cheap: what the talk would not say the command does not either."""
    seen = {"heat_pattern": "never", "watch_run": "tumbles_cold", "element_ohms": "good", "panel_look": "set",
            "thermal_fuse_ohms": "closed", "high_limit_ohms": "closed", "burning_kind": "none"}
    answer = diagnose(OURS["dryer"], {"family": "dryer", "variant": {"fuel": "electric", "control": "timer"},
                                      "complaints": ["no_heat"], "results": seen})
    step, chances = answer["next"], {f["id"]: f["p"] for f in answer["faults"]}
    cured = OURS["dryer"].cured_by(step["id"]) if step["do"] == "repair" else ()
    assert step["do"] != "repair" or sum(chances.get(fault, 0.0) for fault in cured) >= NAMED_FROM


def test_a_tool_that_this_family_never_needs_may_be_lacking() -> None:
    """A dryer takes no clamp; who has none says so all the same, and a tool that nobody knows is still a slip."""
    query = {"family": "dryer", "complaints": ["no_heat"], "cannot": ["clamp"]}
    known = load().knowledge.common.tools
    assert diagnose(OURS["dryer"], query, known)["next"] == diagnose(OURS["dryer"], query | {"cannot": []})["next"]
    with pytest.raises(BadQueryError, match="no check or tool 'clampp'"):
        diagnose(OURS["dryer"], query | {"cannot": ["clampp"]}, known)
