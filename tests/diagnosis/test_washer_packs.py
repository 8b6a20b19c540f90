"""Washers: what is felt, looked at and read to ground before the machine runs, and what settles a complaint."""

from __future__ import annotations

import pytest

from bot.diagnosis.compiled import compile_pack
from bot.diagnosis.diagnose import diagnose
from bot.diagnosis.evidence import Evidence
from bot.diagnosis.setting import senseless
from knowledge.loader import load

PACKS = load().knowledge.packs
FRONT, TOP = PACKS["front_load_washer"], PACKS["top_load_washer"]
SILENT_DRUM = {"tumble_watch": "silent", "phase_ohms": "alike"}


def first(family: str, complaint: str, results: dict[str, str]) -> tuple[str, float]:
    """The likeliest fault after these results, and how likely."""
    found = diagnose(compile_pack(PACKS[family]), {
        "family": family, "complaints": [complaint], "results": results})["faults"][0]
    return found["id"], found["p"]


@pytest.mark.parametrize("check", ["watch_run", "noise_when"])
def test_a_front_loader_that_shakes_is_not_run_to_see_what_it_does(check: str) -> None:
    """A cracked spider lets go in a spin, a bolted tub walks: the drum is felt by hand, the bolts are looked for."""
    shakes = Evidence("front_load_washer", complaints=("shakes",))
    assert senseless(FRONT, FRONT.checks[check], shakes)
    assert not any(senseless(FRONT, FRONT.checks[by_hand], shakes)
                   for by_hand in ("drum_play", "bounce_test", "shipping_look", "rock_test"))


@pytest.mark.parametrize("complaint", ["trips_breaker", "electric_shock"])
def test_what_trips_or_tingles_is_read_to_ground_before_it_gets_power_again(complaint: str) -> None:
    """With a bad ground wire the cabinet of a leaking machine is live. A broken knob is looked at all the same."""
    told = Evidence("front_load_washer", complaints=(complaint,))
    runs = {key for key, check in FRONT.checks.items() if check.power == "run"}
    assert {key for key in runs if not senseless(FRONT, FRONT.checks[key], told)} == {"part_look"}
    assert not senseless(FRONT, FRONT.checks["heater_to_ground"], told)


@pytest.mark.parametrize("fault", ["heater.element_grounded", "drive_motor.grounded"])
def test_the_ground_wire_is_read_before_a_grounded_part_is_replaced(fault: str) -> None:
    """The breaker that tripped says that the ground was good then; nobody trusts it for the next run."""
    _, repair = FRONT.repair_of(fault)
    assert repair.cautions
    assert "ground_bond" in {cause.check for cause in FRONT.faults[fault].root_causes}


@pytest.mark.parametrize("complaint", ["no_spin", "shakes"])
def test_nobody_lifts_the_lid_of_a_basket_that_does_not_spin_or_bangs(complaint: str) -> None:
    """The stop is timed on a machine that spins and stands still while it does."""
    assert senseless(TOP, TOP.checks["lid_stop"], Evidence("top_load_washer", complaints=(complaint,)))
    assert not senseless(TOP, TOP.checks["lid_stop"], Evidence("top_load_washer", complaints=("runs_lid_open",)))


def test_a_spigot_under_the_sink_that_was_never_opened_is_found() -> None:
    """Pump runs, filter clean, new on its place: the hose ends at a wall of plastic."""
    found = first("front_load_washer", "no_drain", {
        "history": "moved", "pump_sound": "runs_no_flow", "filter_look": "clean", "drain_hose_path": "shut_end"})
    assert (found[0], found[1] > 0.9) == ("drain.spigot_never_opened", True)


def test_water_that_comes_while_it_stands_off_is_the_valve() -> None:
    """Nothing calls for water then: only the valve itself lets it by."""
    found = first("front_load_washer", "overfill", {"overfill_when": "off"})
    assert (found[0], found[1] > 0.7) == ("inlet_valve.stuck_open", True)


def test_an_empty_tub_that_reads_full_is_the_level_hose_first() -> None:
    """A blocked air trap keeps its pressure."""
    assert first("front_load_washer", "stops_mid_cycle", {"false_full": "thinks_full"})[0] == (
        "pressure_hose.leaking_or_blocked")


def test_a_protected_outlet_that_trips_is_no_weak_breaker() -> None:
    """It trips on what leaks to ground; a tired or shared breaker trips on load."""
    late = {"trip_moment": "after_while", "panel_look": "tripped"}
    assert first("front_load_washer", "trips_breaker", late | {"trip_device": "breaker"})[0] == (
        "breaker.weak_or_overloaded")
    assert first("front_load_washer", "trips_breaker", late | {"trip_device": "ground"})[0] == (
        "heater.element_grounded")


@pytest.mark.parametrize("fault", ["motor_control.failed", "rotor_position_sensor.failed"])
def test_the_plug_at_the_motor_is_looked_at_before_a_drive_or_sensor_is_bought(fault: str) -> None:
    """Green pins give the same picture for nothing."""
    assert "motor_plug_look" in {cause.check for cause in FRONT.faults[fault].root_causes}
    seen = [first("front_load_washer", "no_tumble", SILENT_DRUM | {"motor_plug_look": plug})[0]
            for plug in ("sound", "bad")]
    assert seen == ["motor_control.failed", "wiring.open_or_corroded"]
