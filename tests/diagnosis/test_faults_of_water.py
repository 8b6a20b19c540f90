"""Faults that a clean look at the usual suspects leaves: a weak valve, salt, a blank in the spigot, a wall drain."""

from __future__ import annotations

import pytest

from bot.diagnosis.compiled import compile_pack
from bot.diagnosis.diagnose import diagnose
from bot.diagnosis.evidence import Seen
from bot.diagnosis.readings import judge
from knowledge.loader import load

PACKS = load().knowledge.packs
MODELS = {family: compile_pack(PACKS[family]) for family in ("dishwasher", "refrigerator")}


def found(family: str, complaints: list[str], results: dict[str, str], **variant: str) -> dict[str, float]:
    """Fault -> chance."""
    told = diagnose(MODELS[family], {
        "family": family, "variant": variant, "complaints": complaints, "results": results})["faults"]
    return {fault["id"]: fault["p"] for fault in told}


def test_a_hum_with_a_good_tap_and_a_clean_screen_is_the_valve():
    """The tap is strong and the screen clean: what is left to hold the water back is the valve itself."""
    faults = found("dishwasher", ["no_fill"], {
        "fill_listen": "hum", "level_look": "low", "sink_valve": "open", "screen_look": "clean",
        "line_bucket": "strong"})
    assert next(iter(faults)) == "inlet_valve.weak"
    assert faults["inlet_valve.weak"] > 0.7
    assert faults.get("water_supply.off_or_low", 0.0) + faults.get("inlet_screen.clogged", 0.0) < 0.15


@pytest.mark.parametrize("film", ["clears", "grit"])
def test_a_loose_salt_cap_explains_a_white_film(film):
    """Salt passes for lime and for grit with vinegar; the cap tells."""
    faults = found("dishwasher", ["white_film"], {"film_vinegar": film, "salt_look": "salt"})
    assert next(iter(faults)) == "softener.salt_in_wash"


def test_a_tight_salt_cap_leaves_the_water_suspected():
    """Lime stays the first thought where the cap is tight."""
    faults = found("dishwasher", ["white_film"], {"film_vinegar": "clears", "salt_look": "tight"})
    assert next(iter(faults)) == "water.hard_or_too_cold"


def test_a_blank_in_the_sink_spigot_has_its_own_name_and_needs_no_disposer():
    """A strong stream into the bucket and a wall in the spigot: it is opened with a knife, no disposer in the steps."""
    faults = found("dishwasher", ["no_drain"], {"drain_stream": "free", "knockout_ask": "blank"})
    assert next(iter(faults)) == "drain.spigot_never_opened"
    _, repair = PACKS["dishwasher"].repair_of("drain.spigot_never_opened")
    assert not any("isposer" in step for step in repair.steps)


def test_water_under_the_drawers_is_the_hole_in_the_back_wall_where_that_is_blocked():
    """Gunk in the hole of the cold back wall: nothing in the freezer is opened for it."""
    faults = found("refrigerator", ["water_inside"], {"drain_hole_look": "blocked"})
    assert next(iter(faults)) == "fresh_food_drain.blocked"
    _, repair = PACKS["refrigerator"].repair_of("fresh_food_drain.blocked")
    assert repair.access == ()


def test_a_fan_that_blows_cool_asks_for_the_compressor_before_a_licence():
    """'Runs all the time' is often the fan that they hear: start parts stay in the running."""
    faults = found("refrigerator", ["both_warm", "runs_constantly"], {"grille_breeze": "cool"})
    parts = ("start_device.failed", "overload.open", "compressor.winding_failed", "compressor_inverter.failed")
    assert sum(faults.get(part, 0.0) for part in parts) > 0.2


@pytest.mark.parametrize(("ohm", "result"), [(32, "good"), (130, "good"), (240, "good"), (2000, "high"), (3, "low")])
def test_a_defrost_heater_is_sound_on_either_mains(ohm, result):
    """450 watts read 32 ohm on 120 volts and 128 on 240; a small one on 240 volts comes to some 300."""
    check = PACKS["refrigerator"].checks["defrost_heater_ohms"]
    assert judge(check, Seen("defrost_heater_ohms", value=ohm), {}).result == result


def test_a_leaky_gasket_and_a_blocked_drain_go_together():
    """Ice at the trough and a gasket that is torn: the drain stays the finding, and the answers fit together."""
    told = diagnose(MODELS["refrigerator"], {
        "family": "refrigerator", "complaints": ["water_on_floor", "frost_build_up"],
        "results": {"frost_pattern": "below", "back_wall_look": "floor", "gasket_paper": "torn"}})
    assert told["faults"][0]["id"] == "defrost_drain.blocked"
    assert told["misfit"] < 0.95
    _, repair = PACKS["refrigerator"].repair_of("defrost_drain.blocked")
    assert any("gasket" in step for step in repair.steps)


def test_a_drip_seen_at_the_pumps_shaft_is_the_seal_and_not_the_switch_that_tells_of_it():
    """The float is up because the shaft drips: the seal is the fault, the leak switch did its work."""
    faults = found("dishwasher", ["wont_stop", "leaks"], {
        "pump_all_time": "runs", "pan_look": "float_up", "still_water": "shaft", "leak_step": "washing"})
    assert next(iter(faults)) == "wash_pump.seal_leaking"
    assert faults["wash_pump.seal_leaking"] > 0.9
