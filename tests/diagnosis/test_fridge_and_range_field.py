"""Refrigerators and ranges as the field knows them: what leads, what is left unasked, what comes next."""

from __future__ import annotations

import pytest

from tests.diagnosis.field import COIL_TOP, GLOW_BAR, chances, left_out, pack_of, told


@pytest.mark.parametrize("complaint", ["no_ice", "ice_not_dispensed", "frost_build_up"])
def test_a_flooded_mold_and_a_dripping_fill_tube_are_a_valve_that_seeps(complaint):
    """Clumped bin, ice all about or no more cubes: however it is told, the drip with nothing called for names it."""
    answer = told("refrigerator", complaint, seen={"mold_look": "flooded", "fill_tube_look": "drips"})
    assert next(iter(chances(answer))) == "water_valve.seeps"
    assert chances(answer)["water_valve.seeps"] > 0.5


def test_a_seeping_valve_reads_good_and_still_is_replaced():
    """Its coil is sound and both sides get water: neither clears it, and its cause, weak pressure, is looked at too."""
    seeps = pack_of("refrigerator").faults["water_valve.seeps"]
    key, _ = pack_of("refrigerator").repair_of("water_valve.seeps")
    assert key == pack_of("refrigerator").repair_of("water_valve.failed")[0]
    assert [cause.check for cause in seeps.root_causes] == ["house_flow"]
    answer = told("refrigerator", "no_ice", seen={
        "mold_look": "flooded", "fill_tube_look": "drips", "valve_ohms": "good", "ice_and_water": "both"})
    assert next(iter(chances(answer))) == "water_valve.seeps"


def test_a_dry_mold_is_no_seeping_valve():
    answer = chances(told("refrigerator", "no_ice", seen={"mold_look": "empty", "ice_and_water": "water_only"}))
    assert answer["water_valve.failed"] > 5 * answer.get("water_valve.seeps", 0.0)


def test_a_mold_that_overflows_is_followed_to_its_fill_tube():
    assert told("refrigerator", "no_ice", seen={"mold_look": "flooded", "ice_and_water": "both"}
                )["next"]["id"] == "fill_tube_look"


def test_nobody_feels_for_heat_where_only_the_fridge_part_is_warm():
    """The freezer holds: what matters is air, not how hot the lower back is."""
    assert left_out("refrigerator", "hot_where", "fresh_food_warm")
    assert not left_out("refrigerator", "hot_where", "fresh_food_warm", "runs_constantly")
    assert not left_out("refrigerator", "hot_where", "both_warm")


def test_locked_and_cold_after_a_clean_is_lock_or_cut_out_until_one_is_read():
    """A cut-out that opened in mid clean leaves the latch where it was."""
    seen = {"since_when": "self_clean", "lock_let_go": "stays"}
    before = chances(told("range", "door_locked", "oven_no_heat", seen=seen))
    assert {"thermal_cutout.open", "door_lock.motor_or_switch_failed"} == set(list(before)[:2])
    assert before["thermal_cutout.open"] > 0.15
    after = chances(told("range", "door_locked", "oven_no_heat", seen={**seen, "cutout_ohms": "open"}))
    assert next(iter(after)) == "thermal_cutout.open" and after["thermal_cutout.open"] > 0.8


def test_a_lock_that_hums_and_stays_is_the_lock():
    """Its motor pulls and the latch does not follow: no cut-out does that."""
    seen = {"since_when": "self_clean", "lock_let_go": "stays", "lock_watch": "hums"}
    answer = chances(told("range", "door_locked", "oven_no_heat", seen=seen))
    assert next(iter(answer)) == "door_lock.motor_or_switch_failed" and answer["door_lock.motor_or_switch_failed"] > 0.8


def test_a_coil_that_comes_when_it_is_moved_has_its_socket_looked_at():
    answer = told("range", "surface_dead", seen={"coil_moved": "comes"}, **COIL_TOP)
    assert next(iter(chances(answer))) == "surface_receptacle.burnt"
    assert answer["next"]["id"] == "coil_socket_look"


def test_a_coil_dead_in_both_places_is_the_supply():
    """Neither coil, nor place: it is asked what comes in."""
    answer = chances(told("range", "surface_dead", seen={"swap_coil": "neither"}, **COIL_TOP))
    assert next(iter(answer)) == "supply.half_voltage"


def test_a_place_that_stays_dead_with_a_good_coil_has_no_leg_missing():
    answer = chances(told("range", "surface_dead", seen={"swap_coil": "with_place"}, **COIL_TOP))
    assert answer["surface_receptacle.burnt"] + answer["infinite_switch.failed"] > 0.8
    assert answer.get("supply.half_voltage", 0.0) < 0.05


@pytest.mark.parametrize("complaint", ["oven_no_heat", "display_dead"])
def test_nobody_asks_how_a_coil_lies_where_more_is_dead(complaint):
    """Nor is one swapped: there is none that works to swap it with."""
    for check in ("coil_moved", "swap_coil"):
        assert left_out("range", check, "surface_dead", complaint)


def test_a_coil_that_makes_and_breaks_is_not_run_to_swap_it():
    """Its socket may arc."""
    assert left_out("range", "swap_coil", "surface_dead", seen={"coil_moved": "comes"})


@pytest.mark.parametrize("swapped", ["with_coil", "with_place"])
def test_who_swapped_the_coils_has_seen_the_others_heat(swapped):
    """A good coil was taken from a place that works: nobody counts dead units again."""
    for check in ("which_units", "watch_all"):
        assert left_out("range", check, "surface_dead", seen={"swap_coil": swapped})


def test_a_coil_is_asked_about_not_wiggled():
    """A loose socket arcs: the customer tells, nobody tries it with the knob on."""
    check = pack_of("range").checks["coil_moved"]
    assert check.kind == "ask" and check.power == "any"


def test_a_glow_bar_is_looked_at_and_no_click_is_listened_for():
    assert told("range", "oven_no_heat", **GLOW_BAR)["next"]["id"] == "oven_light_up"
    assert "hot_surface" not in pack_of("range").checks["bake_click"].only["ignition"]


def test_an_oven_that_lights_late_is_not_asked_which_flames_are_wrong():
    """It is the glow bar until shown otherwise; yellow flames nobody told of."""
    assert left_out("range", "flame_scope", "slow_ignition", seen={"late_where": "oven"})
    assert not left_out("range", "flame_scope", "slow_ignition", seen={"late_where": "top"})


def test_a_machine_that_starts_at_the_click_of_its_timer_has_a_stuck_one():
    """Nothing ran, a screwdriver in the slot, and it runs: no control, no start device."""
    seen = {"watch_run": "light_only"}
    before = chances(told("refrigerator", "both_warm", seen=seen, defrost="timer", control="thermostat"))
    after = chances(told("refrigerator", "both_warm", seen=seen | {"timer_turn": "starts"}, defrost="timer",
                         control="thermostat"))
    assert next(iter(after)) == "defrost_timer.stuck"
    assert after["defrost_timer.stuck"] > 0.75 > before["defrost_timer.stuck"]


@pytest.mark.parametrize(("bulb", "first"), [
    ("off", "oven_thermostat.bulb_off"), ("home", "oven_thermostat.failed")])
def test_a_thermostat_is_bought_only_with_its_bulb_in_place(bulb, first):
    """One look, and free."""
    build = {"fuel": "electric", "control": "thermostat", "surface": "coil", "ignition": "none"}
    answer = told("range", "oven_temperature_wrong", seen={"oven_temp": "high"}, **build)
    assert answer["next"]["id"] == "bulb_look"
    answer = told("range", "oven_temperature_wrong", seen={"oven_temp": "high", "bulb_look": bulb}, **build)
    assert next(iter(chances(answer))) == first


def test_frost_over_the_whole_back_wall_is_seldom_a_leak():
    """It frosts where the gas comes in, behind the panel."""
    answer = chances(told("refrigerator", "both_warm", "frost_build_up", seen={"back_wall_look": "wall"}))
    assert sum(p for fault, p in answer.items() if fault.startswith("defrost_")) > 0.6
    assert answer.get("sealed_system.leak", 0.0) < 0.1
