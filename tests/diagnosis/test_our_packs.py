"""Checks of our own packs that settle what the trade settles with them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bot.diagnosis.compiled import compile_pack
from bot.diagnosis.diagnose import diagnose
from bot.diagnosis.evidence import Evidence, Seen
from bot.diagnosis.setting import senseless
from knowledge.loader import load

PACKS = load().knowledge.packs


@pytest.mark.parametrize(("family", "complaint", "check", "result", "fault", "sure"), [
    ("top_load_washer", "overfill", "plug_out_fill", "runs_on", "inlet_valve.stuck_open", 0.9),
    ("top_load_washer", "overfill", "level_drop", "rises", "inlet_valve.stuck_open", 0.8),
    ("front_load_washer", "door_wont_lock", "lock_watch", "with_push", "door_hinge.misaligned", 0.4),
    ("dryer", "wont_advance", "timer_moves", "neither", "timer.motor_failed", 0.6),
])
def test_a_complaint_told_takes_nothing_from_the_check_that_finds_its_cause(
        family: str, complaint: str, check: str, result: str, fault: str, sure: float) -> None:
    """Water that runs on with the plug out is a stuck valve, however much it was said that the machine overfills."""
    found = diagnose(compile_pack(PACKS[family]), {
        "family": family, "complaints": [complaint], "results": {check: result}})["faults"]
    assert (found[0]["id"], found[0]["p"] > sure) == (fault, True)


SILENT_DRUM = {"tumble_watch": "silent", "phase_ohms": "alike"}


def _first(family: str, variant: dict[str, str], complaint: str, results: dict[str, str]) -> tuple[str, float]:
    found = diagnose(compile_pack(PACKS[family]), {
        "family": family, "variant": variant, "complaints": [complaint], "results": results})["faults"][0]
    return found["id"], found["p"]


def test_a_motor_control_with_a_shorted_output_is_found_with_the_meter_and_nothing_live() -> None:
    """The drum stands silent, the motor's windings are alike, the control's three pins with the motor off are not."""
    machine = {"drive": "belt", "motor": "brushless"}
    before = _first("front_load_washer", machine, "no_tumble", SILENT_DRUM)
    after = _first("front_load_washer", machine, "no_tumble", SILENT_DRUM | {"drive_outputs": "odd"})
    assert (before[0], before[1] < 0.4) == ("motor_control.failed", True)
    assert (after[0], after[1] > 0.7) == ("motor_control.failed", True)


def test_outputs_that_read_alike_do_not_clear_the_motor_control() -> None:
    """A dead processor or supply reads alike: about half of the failed ones do."""
    found = _first("front_load_washer", {"drive": "belt", "motor": "brushless"}, "no_tumble",
                   SILENT_DRUM | {"drive_outputs": "alike"})
    assert found[0] == "motor_control.failed"


def test_an_electric_range_with_a_lit_clock_and_nothing_hot_misses_a_leg() -> None:
    """Oven and top cold together, the clock lit: the supply, before anything is opened."""
    found = _first("range", {"fuel": "electric"}, "oven_no_heat",
                   {"any_life": "starts", "watch_all": "lit_no_heat", "which_units": "all"})
    assert (found[0], found[1] > 0.8) == ("supply.half_voltage", True)


@pytest.mark.parametrize("check", ["wash_sound", "arms_moved", "level_look", "fill_listen"])
def test_nobody_is_sent_to_listen_to_a_dishwasher_that_does_not_start(check: str) -> None:
    """What a wash sounds like says nothing where none begins."""
    told = Evidence(family="dishwasher", complaints=("wont_start",))
    pack = PACKS["dishwasher"]
    assert senseless(pack, pack.checks[check], told)
    assert not senseless(pack, pack.checks[check], Evidence(family="dishwasher", complaints=("poor_wash",)))


def test_nobody_is_asked_about_marks_where_no_clothes_are_marked() -> None:
    """The question presumes a piece that shows the mark: told of in words, or seen by an earlier check."""
    pack = PACKS["dryer"]
    assert senseless(pack, pack.checks["marks_kind"], Evidence(family="dryer", complaints=("no_heat",)))
    assert not senseless(pack, pack.checks["marks_kind"], Evidence(family="dryer", complaints=("marks_on_clothes",)))


def test_what_a_check_showed_may_be_asked_about_as_if_it_were_told() -> None:
    """A surface unit found dead by trying all of them: how does it regulate?"""
    pack, seen = PACKS["range"], Seen("which_units", "one")
    assert "surface_dead" in pack.checks["which_units"].results["one"].complaints
    told = Evidence("range", complaints=("oven_no_heat",))
    assert senseless(pack, pack.checks["surface_regulate"], told)
    assert not senseless(pack, pack.checks["surface_regulate"], replace(told, history=(seen,)))


@pytest.mark.parametrize(("family", "complaint"), [
    ("dryer", "no_heat"), ("dishwasher", "white_film"), ("top_load_washer", "shakes"),
    ("front_load_washer", "slow_spin")])
def test_nobody_is_asked_for_a_sign_of_life_of_a_machine_that_runs(family: str, complaint: str) -> None:
    """Heat is missed in a dryer that turns, a shake comes of a tub that does; unless it is told not to start too."""
    pack = PACKS[family]
    told = Evidence(family=family, complaints=(complaint,))
    assert senseless(pack, pack.checks["any_life"], told)
    assert not senseless(pack, pack.checks["any_life"], replace(told, complaints=(complaint, "wont_start")))
