"""What bangs with nothing in it, drips at the pump, or stops filling too soon: told apart as a lead hand does."""

from __future__ import annotations

import pytest

from bot.diagnosis.advice import advise
from bot.diagnosis.belief import believe
from bot.diagnosis.compiled import compile_pack
from bot.diagnosis.evidence import Evidence, Seen, Situation
from knowledge.loader import load

PACKS = {family: load().knowledge.packs[family] for family in ("front_load_washer", "top_load_washer")}
MODELS = {family: compile_pack(pack) for family, pack in PACKS.items()}


def told(family: str, *complaints: str, seen: dict[str, str] | None = None, **variant: str) -> Evidence:
    """A machine of which this was told and seen."""
    return Evidence(family, variant, complaints, history=tuple(Seen(*each) for each in (seen or {}).items()))


def odds(evidence: Evidence) -> dict[str, float]:
    """How likely each fault is after this."""
    return dict(believe(MODELS[evidence.family], evidence).faults)


def likeliest(evidence: Evidence) -> str:
    """The likeliest fault after this."""
    leads = odds(evidence)
    return max(leads, key=leads.__getitem__)


def next_check(evidence: Evidence) -> str:
    """What somebody without any sign-off is asked next."""
    model = MODELS[evidence.family]
    return advise(model, evidence, believe(model, evidence), Situation()).best.id


@pytest.mark.parametrize("family", ["front_load_washer", "top_load_washer"])
def test_the_same_bang_with_nothing_in_it_clears_the_load(family: str) -> None:
    """An empty drum has no load to be out of balance, and nothing is run to find that out."""
    assert PACKS[family].checks["bang_empty"].power == "any"
    before = odds(told(family, "shakes", "noisy"))["load.unbalanced"]
    after = odds(told(family, "shakes", "noisy", seen={"bang_empty": "same"}))["load.unbalanced"]
    assert after < before / 3
    assert odds(told(family, "shakes", "noisy", seen={"bang_empty": "loaded"}))["load.unbalanced"] > before


def test_a_bang_that_nothing_at_the_drum_explains_is_a_weight() -> None:
    """Hangs well, stands firm, turns smooth, no play, empty or full: then hands go to the counterweight."""
    cleared = {"bounce_test": "settles", "bang_empty": "same", "rock_test": "firm", "drum_by_hand": "smooth",
               "drum_play": "none", "drum_look": "whole", "history": "slowly", "noise_when": "bangs"}
    bang = told("front_load_washer", "shakes", "noisy", seen=cleared)
    assert likeliest(bang) == "counterweight.loose"
    assert next_check(bang) == "weight_rock"
    assert PACKS["front_load_washer"].faults["counterweight.loose"].make_safe


def test_a_knock_at_each_reversal_of_a_belt_machine_is_its_pulley() -> None:
    """The bearing growls, the pulley knocks; a machine without a belt has none."""
    knock = {"noise_when": "tick", "drum_by_hand": "knocks", "drum_play": "none"}
    assert likeliest(told("front_load_washer", "noisy", seen=knock, drive="belt")) == "drum_pulley.loose"
    assert "drum_pulley.loose" not in odds(told("front_load_washer", "noisy", seen=knock, drive="rotor"))
    assert likeliest(told("front_load_washer", "noisy", seen={"drum_by_hand": "growls"}, drive="belt")) == (
        "drum_bearing.worn")


@pytest.mark.parametrize("seen", ["pulley_rock", "weight_rock"])
def test_what_could_come_off_in_spin_is_not_spun_again(seen: str) -> None:
    """A wheel or a weight that is loose stops the machine until it is tight."""
    assert PACKS["front_load_washer"].checks[seen].results["loose"].unsafe


@pytest.mark.parametrize(("family", "watched", "kind"), [
    ("front_load_washer", {"pump_sound": "runs_no_flow", "filter_look": "clean", "cap_flow": "runs_out"}, {}),
    ("top_load_washer", {"watch_drain": "runs_no_flow"}, {"pump": "electric"}),
])
def test_a_pump_that_runs_free_of_its_blades_is_named(
        family: str, watched: dict[str, str], kind: dict[str, str]) -> None:
    """The motor hums along and little comes: blades loose on the shaft, not a burnt motor."""
    by_hand = watched | {"drain_hose_path": "free", "pump_impeller": "loose"}
    assert likeliest(told(family, "no_drain", seen=by_hand, **kind)) == "drain_pump.impeller_loose"
    assert PACKS[family].faults["drain_pump.impeller_loose"].repair == "replace_drain_pump"


@pytest.mark.parametrize(("pump", "fault"), [
    ("electric", "drain_pump.leaking"), ("driven", "drain_pump.driven_leaking")])
def test_a_pump_that_drips_is_a_juniors_job_and_no_cracked_tub(pump: str, fault: str) -> None:
    """Only the tub takes two people and a sign-off."""
    wet = told("top_load_washer", "leaks", seen={"drip_place": "pump_side", "under_look": "pump"}, pump=pump)
    assert likeliest(wet) == fault
    pack = PACKS["top_load_washer"]
    assert not pack.repair_of(fault)[1].signoff
    assert pack.repair_of("tub_or_pump.cracked")[1].signoff == ("lifting",)


def test_the_look_from_below_comes_before_the_drive_side_is_opened() -> None:
    """Pump, hose or tub: a flashlight and a mirror first, then the tilt."""
    wet = told("top_load_washer", "leaks", seen={"drip_place": "pump_side"})
    assert next_check(wet) == "under_look"
    hose = told("top_load_washer", "leaks", seen={"drip_place": "pump_side", "under_look": "sump_hose"})
    assert likeliest(hose) == "sump_hose.leaking"


def test_a_driven_pump_is_not_unclipped_for_a_drip() -> None:
    """Whether its shaft turns free says nothing of a leak."""
    assert PACKS["top_load_washer"].checks["pump_turn"].presumes
    assert "leaks" not in PACKS["top_load_washer"].checks["pump_turn"].presumes


def test_a_fill_that_stops_too_low_is_no_dry_tub() -> None:
    """Water comes well and is shut off: the level side or the design, not tap, screens or coil."""
    short = odds(told("top_load_washer", "slow_fill", seen={"fill_level": "low"}))
    slow = odds(told("top_load_washer", "slow_fill"))
    starved = ("inlet_screens.clogged", "water_supply.off_or_low", "inlet_valve.coil_open")
    level = ("pressure_hose.leaking_or_blocked", "pressure_switch.failed", "drain_hose.siphoning", "usage.normal")
    assert sum(short.get(fault, 0.0) for fault in starved) < 0.3 < sum(slow[fault] for fault in starved)
    assert sum(short[fault] for fault in level) > 0.5
    blown = {"fill_level": "low", "watch_fill": "fills", "pressure_hose_blow": "blocked"}
    assert likeliest(told("top_load_washer", "slow_fill", seen=blown)) == "pressure_hose.leaking_or_blocked"


def test_a_machine_just_delivered_is_not_sold_shock_absorbers() -> None:
    """New and banging: what holds the tub for the road, and the feet, come first; the first check finds the bolts."""
    new = told("front_load_washer", "shakes", "noisy", seen={"history": "moved", "noise_when": "bangs"})
    assert likeliest(new) == "shipping_bolts.left_in"
    assert next_check(new) in {"bounce_test", "shipping_look"}
    rigid = told("front_load_washer", "shakes", "noisy",
                 seen={"history": "moved", "noise_when": "bangs", "bounce_test": "rigid"})
    assert odds(rigid)["shipping_bolts.left_in"] > 0.8
    top = odds(told("top_load_washer", "shakes", seen={"history": "moved"}))
    assert top["shipping_restraint.left_in"] > top["suspension.worn"]


def test_a_trip_some_minutes_into_a_hot_wash_is_read_to_ground_before_an_electrician_comes() -> None:
    """A plain breaker trips on a heater that leaks, too: the house is blamed after the machine reads clear."""
    late = told("front_load_washer", "trips_breaker", seen={"trip_moment": "after_while", "trip_device": "breaker",
                                                            "panel_look": "tripped"}, heater="present")
    assert next_check(late) == "heater_to_ground"
    causes = PACKS["front_load_washer"].faults["breaker.weak_or_overloaded"].root_causes
    assert "heater_to_ground" in {cause.check for cause in causes}
    step = told("front_load_washer", "trips_breaker", seen={"trip_moment": "at_step"}, heater="present")
    assert likeliest(step) == "heater.element_grounded"
