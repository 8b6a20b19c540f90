"""Ranges and refrigerators as a lead hand takes them: what is asked first, what it points at, what is never lit."""

from __future__ import annotations

from typing import Any

import pytest

from bot.diagnosis.advice import check_that_shows
from bot.diagnosis.compiled import compile_pack
from bot.diagnosis.diagnose import diagnose
from bot.diagnosis.evidence import Evidence, Seen, Situation
from bot.diagnosis.setting import senseless
from knowledge.loader import load

PACKS = load().knowledge.packs
MODELS = {family: compile_pack(PACKS[family]) for family in ("range", "refrigerator")}


def told(family: str, complaints: list[str], results: dict[str, str], **variant: str) -> dict[str, Any]:
    """What diagnosis makes of it."""
    return diagnose(MODELS[family], {
        "family": family, "variant": variant, "complaints": complaints, "results": results})


def leads(family: str, complaints: list[str], results: dict[str, str], **variant: str) -> tuple[str, float]:
    """The leading fault and its chance."""
    first = told(family, complaints, results, **variant)["faults"][0]
    return first["id"], first["p"]


def lights_something(chat: Any) -> bool:
    """Whether the question put now runs the machine."""
    question = chat.job.question
    return question is not None and any(PACKS["range"].checks[key].power in {"run", "live"}
                                        for key in question.checks)


@pytest.mark.parametrize("first", [
    "gas range yellow flames and soot on pots", "gas stove blackens the pots",
    "gas range yellow flame on one burner", "gas stove, flame went yellow after cleaning",
    "estufa de gas, llama amarilla y tizna las ollas"])
def test_a_yellow_flame_that_soots_is_not_lit_to_be_looked_at(chat_of, first):
    """Off, windows, carbon monoxide with the first word of it, and no question after it lights a burner."""
    chat = chat_of()
    said = " ".join(sent.text for sent in chat.send(first))
    assert "Light nothing" in said and "windows open" in said and "carbon monoxide" in said
    for _ in range(5):
        assert not lights_something(chat)
        if chat.job.question is None or chat.job.question.kind != "check":
            break
        chat.send("skip")


def test_a_small_flame_is_no_sooty_one(chat_of):
    """A ring that burns by half is looked at as ever."""
    said = " ".join(sent.text for sent in chat_of().send("gas range, burner flame is low on one side"))
    assert "Light nothing" not in said


def test_no_look_at_a_flame_comes_before_soot_was_asked_for():
    """Which flames are wrong and what they look like is asked, not shown; the gas in the house is read off a plate."""
    for check in ("flame_told", "flame_scope", "gas_kind_look"):
        assert PACKS["range"].checks[check].power == "any"
    assert PACKS["range"].checks["gas_kind_look"].results["differs"].unsafe
    fault, p = leads("range", ["flame_yellow_or_weak"], {"flame_told": "sooty", "gas_kind_look": "differs"}, fuel="gas")
    assert (fault, p > 0.8) == ("gas_orifice.wrong_for_gas", True)


@pytest.mark.parametrize(("check", "surface", "fuel"), [
    ("tip_look", "none", "electric"), ("rocks", "none", "electric"), ("gas_smell_now", "radiant", "electric")])
def test_a_machine_is_not_asked_for_what_it_has_not(check, surface, fuel):
    """A wall oven has no rear feet, and electric glass has no gas to smell."""
    only = PACKS["range"].checks[check].only
    assert any(value not in only[axis] for axis, value in (("surface", surface), ("fuel", fuel)) if axis in only)


def test_a_wall_oven_dead_since_self_clean_is_breaker_then_cut_out():
    """Not a sign of life: the panel is looked at, and with both halves on the cut-out behind the wall is read."""
    oven = {"surface": "none", "fuel": "electric", "control": "board"}
    dead = {"since_when": "self_clean", "any_life": "dead"}
    assert told("range", ["display_dead"], dead, **oven)["next"]["id"] == "panel_look"
    assert told("range", ["display_dead"], dead | {"panel_look": "set"}, **oven)["next"]["id"] == "cutout_ohms"
    assert leads("range", ["display_dead"], dead | {"panel_look": "set", "cutout_ohms": "open"}, **oven)[1] > 0.9


def test_an_induction_top_that_quits_hot_is_looked_at_from_below():
    """Foil in the drawer is sucked against the slots: no senior, no module."""
    top = {"surface": "induction", "fuel": "electric"}
    assert told("range", ["heat_cycles_off"], {}, **top)["next"]["id"] == "intake_look"
    assert leads("range", ["heat_cycles_off"], {"intake_look": "covered"}, **top)[0] == "induction_intake.blocked"
    seen = {"intake_look": "free", "top_air": "none", "magnet_pan": "all_heat"}
    fan = leads("range", ["heat_cycles_off"], seen, **top)
    assert fan[0] == "induction_fan.failed"
    assert "ten minutes" in PACKS["range"].faults["induction_fan.failed"].repair.cautions[1]


def test_a_look_along_the_element_needs_no_proof_that_it_is_dead():
    """Eyes and a flashlight, off and cold; a wire burnt off beside it stops the visit there."""
    look = PACKS["range"].checks["bake_look"]
    assert look.power == "any" and look.results["wire"].unsafe
    assert leads("range", ["oven_no_heat"], {"bake_look": "wire"}, fuel="electric")[0] == "bake_element.wire_burnt"


def test_a_welded_relay_is_named_without_a_tour_of_the_kitchen():
    """With the relay read closed no pans, no feet and no door are asked for."""
    told_so = Evidence("range", complaints=("wont_turn_off",))
    for check in ("foil_and_pans", "tip_look", "rocks", "door_paper", "which_units", "oven_temp"):
        assert senseless(PACKS["range"], PACKS["range"].checks[check], told_so)


def test_a_freezer_that_thaws_in_a_cold_garage_is_the_room():
    """The fridge fair, the freezer soft, the walls bare: where it stands, and how cold it is there."""
    assert told("refrigerator", ["freezer_warm"], {"back_wall_look": "bare"})["next"]["id"] == "place_ask"
    garage = {"back_wall_look": "bare", "place_ask": "unheated"}
    assert told("refrigerator", ["freezer_warm"], garage)["next"]["id"] == "room_temperature"
    fault, p = leads("refrigerator", ["freezer_warm"], garage | {"room_temperature": "cold"})
    assert (fault, p > 0.8) == ("ambient.too_hot_or_too_cold", True)


def test_a_strip_between_the_doors_says_nothing_of_a_warm_freezer():
    """It is cold with any compressor that stands: only sweat asks for it."""
    strip = PACKS["refrigerator"].checks["mullion_feel"]
    assert senseless(PACKS["refrigerator"], strip, Evidence("refrigerator", complaints=("freezer_warm",)))
    assert not senseless(PACKS["refrigerator"], strip, Evidence("refrigerator", complaints=("door_sweats",)))


def test_hollow_cubes_and_slow_water_without_the_filter_are_the_house_valve():
    """The filter is cleared by its own test; the pin hole of a saddle valve is left, and nobody buys a filter."""
    seen = {"ice_and_water": "neither", "mold_look": "small", "filter_out": "same", "dispenser_try": "slow"}
    found = {each["id"]: each["p"] for each in told("refrigerator", ["no_ice"], seen)["faults"]}
    assert next(iter(found)) == "house_water.weak" and found["house_water.weak"] > 0.7
    assert found.get("water_filter.clogged", 0.0) < 0.1


def test_a_plug_left_off_by_the_last_repair_explains_parts_that_read_good():
    """Iced up again days after somebody was in there, heater and thermostat good: the plug that hangs."""
    seen = {"what_changed": "worked_on", "back_wall_look": "wall", "defrost_heater_ohms": "good",
            "defrost_thermostat_ohms": "closed", "defrost_plugs_look": "off"}
    fault, p = leads("refrigerator", ["fresh_food_warm", "frost_build_up"], seen)
    assert (fault, p > 0.9) == ("defrost_part.unplugged", True)


@pytest.mark.parametrize(("complaints", "seen", "fault"), [
    (["frost_build_up"], {"back_wall_look": "door", "drawer_slide_look": "crooked"}, "drawer_slide.bent"),
    (["frost_build_up", "ice_not_dispensed"], {"chute_look": "gapes", "ice_try": "drops"}, "ice_chute.gapes"),
    (["display_out"], {"door_swing_display": "cuts"}, "door_harness.broken"),
    (["display_out"], {"door_swing_display": "blank", "settings_look": "blank"}, "door_panel.failed"),
])
def test_what_the_field_knows_has_a_name(complaints, seen, fault):
    """A drawer off its rail, a flap that gapes, a wire broken in the hinge: each by one look of its own."""
    found, p = leads("refrigerator", complaints, seen, layout="bottom_freezer", control="board")
    assert (found, p > 0.5) == (fault, True)


def test_a_leak_is_felt_at_the_wall_before_it_goes_to_a_senior():
    """Runs on and on, both parts warm, a warm breeze, a fan that blows: the freezer is looked at or felt first."""
    warm = {"grille_breeze": "warm", "fan_listen": "blows", "hot_where": "usual"}
    evidence = Evidence("refrigerator", complaints=("both_warm", "runs_constantly"),
                        history=tuple(Seen(check, result) for check, result in warm.items()))
    shown_by = check_that_shows(MODELS["refrigerator"], evidence, Situation(), "sealed_system.leak")
    assert shown_by in {"wall_cold", "frost_pattern"}
    corner = leads("refrigerator", ["both_warm", "runs_constantly"], warm | {"wall_cold": "corner"})
    assert (corner[0], corner[1] > 0.5) == ("sealed_system.leak", True)


def test_a_silent_inverter_is_given_time_before_it_is_condemned():
    """A drive that waits is no part to buy; the box itself takes live work and no refrigerant licence."""
    machine = {"compressor": "inverter"}
    silent = {"grille_breeze": "cool", "watch_run": "fan_only"}
    assert told("refrigerator", ["both_warm"], silent, **machine)["next"]["id"] == "inverter_wait"
    assert leads("refrigerator", ["both_warm"], silent | {"inverter_wait": "starts"}, **machine)[0] == (
        "compressor_inverter.locked_out")
    box = PACKS["refrigerator"].faults["compressor_inverter.failed"]
    assert box.licensed == "live" and box.repair.signoff == ("live",)
    assert "five minutes" in box.repair.cautions[0] and "capacitors" in box.repair.cautions[0]


def test_ports_that_are_seen_clogged_are_what_a_sooty_flame_comes_from() -> None:
    """They soot seldomer than a shutter that is off, yet they are there: nobody waits for a licence to clean them."""
    answer = told("range", ["flame_yellow_or_weak"], {"flame_told": "sooty", "cap_look": "clogged"}, fuel="gas")
    assert (answer["next"]["do"], answer["next"]["id"]) == ("repair", "burner_ports.clogged")
    assert answer["unsafe"]
