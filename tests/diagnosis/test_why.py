"""The sentence of why: what a lead hand would say, with the numbers of the same answer."""

from __future__ import annotations

import re
from typing import Any

import pytest

from bot.diagnosis.compiled import Model, compile_pack
from bot.diagnosis.diagnose import diagnose
from knowledge.loader import load
from tests.diagnosis.packs import check, fault, pack

OURS = {family: compile_pack(pack) for family, pack in load().knowledge.packs.items() if family in {
    "dryer", "range", "top_load_washer"}}

ODD = [{"check": "heat_pattern", "result": "lukewarm"}, {"check": "element_to_case", "result": "high"},
       {"check": "timer_moves", "result": "neither"}, {"check": "hood_flap", "result": "none"},
       {"check": "volts_at_heater", "result": "half"}, {"check": "exhaust_temp", "result": "normal"}]
"""What was seen on one dryer that trips its breaker: hardly two of them go together."""


def odd_dryer(**more: Any) -> dict[str, Any]:
    """The next step for it."""
    step: dict[str, Any] = diagnose(OURS["dryer"], {"family": "dryer", "complaints": ["trips_breaker"], "history": ODD,
                                                    **more})["next"]
    return step


def test_a_second_look_says_that_it_is_one_and_what_it_comes_to() -> None:
    """It is asked for because it fits the rest badly, not because it tells faults apart; and it is not for nothing."""
    step = odd_dryer(signoffs=["live"])
    assert step["id"] == "volts_at_heater"
    assert "once more: of what was seen it fits the rest least" in step["why"]
    minutes = [int(m) for m in re.findall(r"(\d+) min", step["why"])]
    assert 0 < minutes[0] < minutes[1] == round(step["expected_minutes"])


@pytest.mark.parametrize("more", [{}, {"signoffs": ["live"], "cannot": ["volts_at_heater"]},
                                  {"signoffs": ["live"], "cannot": ["meter"]}])
def test_a_second_look_is_asked_of_nobody_who_may_not_or_cannot_make_it(more: dict[str, Any]) -> None:
    """Somebody signed off read the live volts; who stands there now is not, has no meter, or cannot get at it."""
    step = odd_dryer(**more)
    assert step["do"] == "check"
    assert step["id"] == "hood_flap"


def test_no_run_is_watched_twice_on_a_machine_that_smells_burnt() -> None:
    """What fits badly is looked at again, but not by running what may burn: the belt is out of reach, so there is no
    second look."""
    model, odd = OURS["dryer"], [{"check": "watch_run", "result": "tumbles_hot"},
                                 {"check": "belt_look", "result": "broken"}]
    query = {"family": "dryer", "complaints": ["burning_smell"], "signoffs": ["live"], "history": odd}
    assert "once more" in diagnose(model, query)["next"]["why"]
    step = diagnose(model, query | {"cannot": ["belt_look"]})["next"]
    assert "once more" not in step["why"]
    assert step["do"] != "check" or model.pack.checks[step["id"]].power not in {"run", "live"}


def test_what_fits_nothing_names_what_fits_least() -> None:
    """Three reports of a smell that go together with no fault: a senior hears which of them is the odd one."""
    answer = diagnose(OURS["dryer"], {"family": "dryer", "complaints": ["no_heat"], "results": {
        "element_ohms": "open", "thermal_fuse_ohms": "open", "high_limit_ohms": "open"}})
    assert answer["next"]["id"] == "fits_nothing"
    odd = re.search(r"what fits the rest least: (.+)\.$", answer["next"]["why"])
    assert odd is not None
    says = {OURS["dryer"].pack.checks[c].results["open"].says for c in ("element_ohms", "thermal_fuse_ohms",
                                                                       "high_limit_ohms")}
    assert odd[1] in says


def two_sided(minutes: float = 20.0, **more: Any) -> Model:
    """A belt and a pump, told apart by one look; the belt's repair as `more` says."""
    faults = {"belt.bad": fault("belt", 3, {"dead": 0.9}, minutes, **more),
              "pump.bad": fault("pump", 1, {"dead": 0.9}, minutes)}
    return compile_pack(pack(faults, {"look": check({"normal": {"good": 0.9}, "belt.bad": {"bad": 0.9}})}))


def sentence(model: Model, **query: Any) -> str:
    """Of the next step, told dead."""
    return str(diagnose(model, {"family": "mangle", "complaints": ["dead"], **query})["next"]["why"])


def test_who_lacks_the_tool_hears_that_and_not_that_nothing_is_worth_its_time() -> None:
    """The belt is as good as certain; its repair takes a puller that is not there."""
    said = sentence(two_sided(repair_tools=["puller"]), results={"look": "bad"}, cannot=["puller"])
    assert re.fullmatch(r"Bad belt at \d\d %: the repair takes what is not at hand \(puller\)\.", said)


def test_who_is_signed_off_is_not_told_to_get_somebody_who_is() -> None:
    """Handed off for the price all the same: then for its own reason."""
    model = two_sided(minutes=200, repair_cost="very_high", repair_signoff=["lifting"])
    assert sentence(model, results={"look": "bad"}).endswith(": it takes somebody signed off for lifting.")
    assert "signed off" not in sentence(model, results={"look": "bad"}, signoffs=["lifting"])


def test_work_for_the_licensed_is_counted_together() -> None:
    """No gas part leads by much, and yet most of what is left is gas: that is why a senior comes."""
    answer = diagnose(OURS["dryer"], {
        "family": "dryer", "complaints": ["no_heat"], "denied": ["stops_mid_cycle", "long_dry_time"],
        "results": {"outlet_tester": "correct", "load_and_setting": "ordinary", "fuel_look": "gas",
                    "gas_valve_handle": "open"}, "signoffs": ["live"]})
    told = re.search(r"for (\d+) % of what it may be, it takes somebody signed off for gas", answer["next"]["why"])
    assert told is not None
    gas = {f for f, entry in OURS["dryer"].pack.faults.items()
           if entry.licensed == "gas" or "gas" in OURS["dryer"].pack.repair_of(f)[1].signoff}
    share = sum(f["p"] for f in answer["faults"] if set(f["id"].split("+")) & gas)
    assert int(told[1]) == round(100 * share)


def test_a_result_that_points_to_two_faults_is_said_once() -> None:
    """'Bad points to bad belt or bad pump', not twice the same words."""
    parts = {"belt": 5.0, "pump": 5.0} | {f"part {n}": 1.0 for n in range(10)}
    faults = {f"{x.replace(' ', '')}.bad": fault(x, often, {"dead": 0.9}, 60) for x, often in parts.items()}
    model = compile_pack(pack(faults, {"look": check({"normal": {"good": 0.95}, "belt.bad": {"bad": 0.95},
                                                      "pump.bad": {"bad": 0.9}})}))
    said = sentence(model)
    assert "bad points to bad belt (24 % now) or bad pump (24 % now);" in said
    assert said.count("points to") == 1


def test_a_repair_of_several_faults_tells_both_chances() -> None:
    """The belt's own chance, as in the list of faults, and that of all that the same repair puts right."""
    faults = {"belt.worn": fault("belt", 2, {"dead": 0.9}), "belt.off": fault("slack belt", 1, {"dead": 0.9}),
              "pump.bad": fault("pump", 0.2, {"dead": 0.9})}
    one = pack(faults, {"look": check({"normal": {"good": 0.9}, "pump.bad": {"bad": 0.9}})})
    belts = {f: one.faults[f].model_copy(update={"repair": "fit_belt"}) for f in ("belt.worn", "belt.off")}
    whole = one.model_copy(update={"repairs": {"fit_belt": one.faults["belt.worn"].repair},
                                   "faults": {**one.faults, **belts}})
    answer = diagnose(compile_pack(whole), {"family": "mangle", "complaints": ["dead"], "results": {"look": "good"}})
    chances = {f["id"]: 100 * f["p"] for f in answer["faults"]}
    assert answer["next"]["id"] == "fit_belt"
    both = chances["belt.worn"] + chances["belt.off"]
    assert answer["next"]["why"].startswith(
        f"Bad belt at {chances['belt.worn']:.0f} %, {both:.0f} % with what else the same repair puts right; ")


def test_asked_to_explain_it_tells_what_moved_which_fault_and_how_far() -> None:
    """In words of the trade; the odds are those with a piece of evidence over those without it."""
    query = {"family": "dryer", "complaints": ["no_heat"], "denied": ["noisy"], "explain": True,
             "history": [{"check": "element_ohms", "result": "open"}]}
    answer = diagnose(OURS["dryer"], query)
    moved = {(m["evidence"], m["fault"]): m for m in answer["moved"]}
    element = moved["check:element_ohms", "heating_element.open"]
    without = diagnose(OURS["dryer"], query | {"history": []})
    now, before = (next(f["p"] for f in a["faults"] if f["id"] == "heating_element.open") for a in (answer, without))
    odds = now / (1 - now) / (before / (1 - before))
    assert element["odds"] == pytest.approx(odds)
    assert element["said"] == f"element open: {odds:.0f} to 1 for open heating element"
    assert "moved" not in diagnose(OURS["dryer"], query | {"explain": False})
    mended = diagnose(OURS["dryer"], query | {"history": [{"repaired": "thermal_fuse.open"}]})["moved"]
    against = re.compile(r"replace the thermal fuse.*, done and no cure: \d+ to 1 against open thermal fuse")
    assert any(against.fullmatch(m["said"]) for m in mended)
