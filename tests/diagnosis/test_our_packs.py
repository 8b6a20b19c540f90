"""Checks of our own packs that settle what the trade settles with them."""

from __future__ import annotations

import pytest

from bot.diagnosis.compiled import compile_pack
from bot.diagnosis.diagnose import diagnose
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
