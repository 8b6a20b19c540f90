"""Washers as a lead hand takes them: nothing flooded or caught runs, and the connection comes before the part."""

from __future__ import annotations

import pytest

from bot.diagnosis.advice import advise
from bot.diagnosis.belief import believe
from bot.diagnosis.compiled import compile_pack
from bot.diagnosis.diagnose import diagnose
from bot.diagnosis.evidence import Decision, Evidence, Seen, Situation
from bot.diagnosis.setting import senseless
from knowledge.loader import load

PACKS = load().knowledge.packs
FRONT, TOP = PACKS["front_load_washer"], PACKS["top_load_washer"]
MODELS = {family: compile_pack(PACKS[family]) for family in ("front_load_washer", "top_load_washer")}


def told(family: str, *complaints: str, seen: dict[str, str] | None = None, **variant: str) -> Evidence:
    """A machine of which this was told and seen."""
    return Evidence(family, variant, complaints, history=tuple(Seen(*each) for each in (seen or {}).items()))


def next_step(evidence: Evidence) -> Decision:
    """What is done next by who has nobody's sign-off."""
    model = MODELS[evidence.family]
    return advise(model, evidence, believe(model, evidence), Situation())


def likeliest(family: str, complaint: str, seen: dict[str, str], **variant: str) -> tuple[str, float]:
    """The likeliest fault after these results, and how likely."""
    found = diagnose(MODELS[family], {"family": family, "complaints": [complaint], "results": seen,
                                      "variant": variant})["faults"][0]
    return found["id"], found["p"]


def asked_of(evidence: Evidence) -> set[str]:
    """Checks that still make sense."""
    pack = PACKS[evidence.family]
    return {key for key, check in pack.checks.items() if not senseless(pack, check, evidence)}


# ---------------------------------------------------------------------------- flooded or caught


def test_a_tub_full_to_the_brim_is_never_told_to_wash_or_spin() -> None:
    """With water to the rim only the valve is tried with the plug, the pump is run, and the level side is looked at."""
    left = asked_of(told("top_load_washer", "overfill"))
    runs = {key for key in left if TOP.checks[key].power == "run" and TOP.checks[key].kind in {"run", "time"}}
    assert runs == {"plug_out_fill", "watch_drain", "drain_end_bucket", "siphon_watch"}
    assert {"pressure_hose_blow", "pressure_switch_click", "standpipe_look"} <= left


def test_water_that_stops_with_the_plug_out_leads_to_the_level_hose() -> None:
    """The valve shuts, so something asked for the water: the drain hose is looked at, then the level hose comes off."""
    stops = {"plug_out_fill": "stops"}
    assert next_step(told("top_load_washer", "overfill", seen=stops, control="board")).best.id == "standpipe_look"
    after = next_step(told("top_load_washer", "overfill", seen=stops | {"standpipe_look": "right"}, control="board"))
    assert after.best.id == "pressure_hose_blow"


def test_a_washer_that_fills_for_ever_since_the_move_siphons() -> None:
    """It is called in as overfilling; the hose end in the pipe and a pause of three minutes settle it."""
    found = likeliest("top_load_washer", "overfill", {
        "plug_out_fill": "stops", "standpipe_look": "deep", "siphon_watch": "runs_off"})
    assert (found[0], found[1] > 0.8) == ("drain_hose.siphoning", True)


def test_a_scrape_is_looked_for_with_the_plug_out() -> None:
    """What is caught between the tubs rips them in a spin: the basket by hand and a light in the gap come first."""
    scrapes = told("top_load_washer", "noisy", seen={"noise_kind": "scrape"})
    assert not {"watch_cycle", "watch_spin", "watch_wash", "fair_load_spin", "lid_stop"} & asked_of(scrapes)
    assert next_step(scrapes).best.id in {"basket_look", "basket_by_hand", "tub_gap_look"}
    assert next_step(told("top_load_washer", "noisy", seen={"noise_kind": "grind"})).best.id != "basket_by_hand"


def test_a_wire_that_was_seen_keeps_the_machine_unplugged() -> None:
    """Nobody runs it before the wire is out, and the finding is what was seen."""
    assert TOP.checks["tub_gap_look"].results["found"].unsafe
    found = likeliest("top_load_washer", "noisy", {"noise_kind": "scrape", "tub_gap_look": "found"})
    assert (found[0], found[1] > 0.8) == ("debris.between_tubs", True)


# ---------------------------------------------------------------------------- a door that will not open


def test_a_door_that_will_not_open_is_released_first() -> None:
    """Nobody is asked to lift it half open, to shut it with a push, or to fold the gasket back behind it."""
    shut = told("front_load_washer", "door_wont_open")
    assert not {"door_fit", "lock_watch", "lock_ohms", "lock_contacts", "gasket_look", "drum_by_hand"} & asked_of(shut)
    dry = Evidence("front_load_washer", complaints=("door_wont_open",), denied=("no_drain",))
    assert next_step(dry).best.id == "manual_release"


@pytest.mark.parametrize(("how", "open_now"), [("by_itself", True), ("with_strap", True), ("stays", False)])
def test_once_it_stands_open_the_lock_can_be_looked_at(how: str, open_now: bool) -> None:
    """The release lifts the bar; a door that stays shut keeps it."""
    after = told("front_load_washer", "door_wont_open", seen={"manual_release": how})
    assert ({"door_fit", "lock_ohms", "gasket_look"} <= asked_of(after)) is open_now


def test_a_level_hose_that_reads_full_holds_a_dry_door() -> None:
    """Dry, locked, pumping on: the lock does as it is told."""
    assert likeliest("front_load_washer", "door_wont_open", {
        "manual_release": "by_itself", "false_full": "thinks_full"})[0] == "pressure_hose.leaking_or_blocked"


# ---------------------------------------------------------------------------- connections before parts


def test_a_lid_lock_code_is_no_lock_that_holds_on() -> None:
    """'Lid lock flashing' is heard as locked too; a code alone convicts neither side, and the plug is looked at."""
    said = told("top_load_washer", "error_code", "lid_wont_unlock", seen={"code_group": "lid"})
    assert believe(MODELS["top_load_washer"], said).faults[0][1] < 0.6
    assert next_step(said).best.do == "check"
    for fault in ("lid_lock.not_locking", "lid_lock.not_unlocking"):
        assert "lock_plug_look" in {cause.check for cause in TOP.faults[fault].root_causes}
    found = likeliest("top_load_washer", "error_code", {"code_group": "lid", "lock_plug_look": "bad"}, lid="lock")
    assert (found[0], found[1] > 0.7) == ("lid_lock.connection_bad", True)


def test_stops_at_random_are_provoked_before_a_board_is_thought_of() -> None:
    """What comes and goes is a connection until shown otherwise: it costs a bump on the cabinet."""
    seen = {"stops_how": "random", "code_group": "none", "lock_listen": "locks"}
    assert next_step(told("top_load_washer", "stops_mid_cycle", seen=seen, control="board")).best.id == "bump_watch"
    faults = dict(believe(MODELS["top_load_washer"], told(
        "top_load_washer", "stops_mid_cycle", seen=seen | {"bump_watch": "cuts_out"}, control="board")).faults)
    assert faults["wiring.open_or_corroded"] > 4 * faults["control_board.output_failed"]


@pytest.mark.parametrize("family", sorted(MODELS))
def test_a_dead_machine_with_a_good_cord_is_metered_at_its_filter(family: str) -> None:
    """Nobody presses keys on a dark panel; an open filter is found with the meter and nothing live."""
    dead = told(family, "wont_start", seen={"any_life": "dead", "lamp_in_outlet": "lit"}, **(
        {"control": "board"} if family == "top_load_washer" else {}))
    assert not {"keys_respond", "panel_settings", "code_ask", "code_group"} & asked_of(dead)
    found = likeliest(family, "wont_start", {"any_life": "dead", "lamp_in_outlet": "lit", "filter_ohms": "open"})
    assert (found[0], found[1] > 0.7) == ("mains_filter.burnt", True)


def test_a_heater_that_reads_good_and_stays_cold_has_its_terminals_looked_at() -> None:
    """A burnt push-on terminal leaves the element good."""
    found = likeliest("front_load_washer", "wrong_temperature", {
        "fill_watch": "good", "heater_ohms": "good", "heater_terminals": "burnt"}, heater="present")
    assert (found[0], found[1] > 0.7) == ("heater.terminal_burnt", True)


def test_one_burst_and_a_stop_is_the_pickup_before_the_drive() -> None:
    """A belt motor without brushes has a speed pickup too; windings and drive outputs alike leave it."""
    seen = {"tumble_watch": "jerks", "code_ask": "motor", "belt_look": "good", "phase_ohms": "alike"}
    found = likeliest("front_load_washer", "stops_mid_cycle", seen, drive="belt", motor="brushless")
    assert found[0] == "speed_sensor.failed"
    assert "pickup_check" in {cause.check for cause in FRONT.faults["motor_control.failed"].root_causes}


# ---------------------------------------------------------------------------- what was missing


def test_a_sock_between_tub_and_pump_is_found_past_a_clean_filter() -> None:
    """Pump hums free, filter clean, nothing comes: with the cap off only a cupful runs out of a full drum."""
    clean = {"pump_sound": "hums", "filter_look": "clean", "pump_impeller": "jerks", "pump_winding": "good"}
    found = likeliest("front_load_washer", "no_drain", clean | {"cap_flow": "cupful"})
    assert (found[0], found[1] > 0.8) == ("sump_hose.blocked", True)
    assert likeliest("front_load_washer", "no_drain", clean | {"cap_flow": "runs_out"})[0] != "sump_hose.blocked"


@pytest.mark.parametrize(("where", "fault"), [
    ("pump", "drain_pump.leaking"), ("cap", "pump_cap.leaking"), ("hose", "tub_hose.leaking")])
def test_a_puddle_underneath_is_followed_up_to_its_highest_drop(where: str, fault: str) -> None:
    """A light under it comes before a spin is listened to, and parts pump, cap and hose."""
    puddle = {"leak_place": "underneath"}
    assert next_step(told("front_load_washer", "leaks", seen=puddle)).best.id == "under_look"
    assert likeliest("front_load_washer", "leaks", puddle | {"under_look": where})[0] == fault


def test_soap_left_since_the_valve_was_changed_is_crossed_plugs_till_proved() -> None:
    """'Works as designed' does not win where somebody worked on it."""
    since = {"history": "worked_on", "fill_watch": "good", "drawer_look": "clean"}
    assert likeliest("front_load_washer", "detergent_left", since)[0] == "inlet_valve.crossed"
    found = likeliest("front_load_washer", "detergent_left", since | {"cups_flushed": "wrong_cup"})
    assert (found[0], found[1] > 0.8) == ("inlet_valve.crossed", True)


def test_one_heavy_blanket_is_the_load_before_the_pump() -> None:
    """A front loader that only leaves the dog blanket wet is run empty, and then its load is shown."""
    blanket = {"load_ask": "one_heavy"}
    assert likeliest("front_load_washer", "no_spin", blanket)[0] == "load.unbalanced"
    found = likeliest("front_load_washer", "no_spin", blanket | {"watch_run": "through"})
    assert (found[0], found[1] > 0.6) == ("load.unbalanced", True)


def test_what_was_not_complained_of_is_not_run_or_asked_for() -> None:
    """Cold water is no reason to push the drum down, to listen to a spin, or to ask at which step it leaks."""
    cold = asked_of(told("front_load_washer", "wrong_temperature"))
    assert not {"bounce_test", "noise_when", "leak_step", "watch_run", "outlet_tester", "lock_watch"} & cold
    assert {"fill_watch", "heater_ohms", "heater_terminals"} <= cold
