"""The dryer and dishwasher packs, as a lead hand would have them: what is looked at first, and what it then means."""

from __future__ import annotations

import pytest

from bot.diagnosis.advice import advise
from bot.diagnosis.belief import believe
from bot.diagnosis.compiled import compile_pack
from bot.diagnosis.evidence import Evidence, Repaired, Seen, Situation
from bot.diagnosis.setting import senseless
from knowledge.loader import load

PACKS = load().knowledge.packs
MODELS = {family: compile_pack(PACKS[family]) for family in ("dryer", "dishwasher")}
ELECTRIC = {"fuel": "electric", "control": "board"}


def told(family: str, *complaints: str, seen: dict[str, str] | None = None, **variant: str) -> Evidence:
    return Evidence(family, variant=variant, complaints=complaints,
                    history=tuple(Seen(check, result) for check, result in (seen or {}).items()))


def belief(evidence: Evidence) -> dict[str, float]:
    """Fault -> chance, the likeliest first."""
    return dict(believe(MODELS[evidence.family], evidence).faults)


def next_step(evidence: Evidence) -> str:
    """What a lead hand asks or names next: the id of a check or of a repair."""
    model = MODELS[evidence.family]
    return advise(model, evidence, believe(model, evidence), Situation()).best.id


CHOKED = {"hood_flap": "weak", "flap_without_filter": "both_weak", "air_only_outlet": "strong"}


def test_a_clean_duct_of_forty_feet_is_too_long_and_not_clear():
    """Weak outside, strong at the dryer, metal and clean, but long: it is shortened, there is nothing to brush out."""
    faults = belief(told("dryer", "long_dry_time", seen=CHOKED | {"duct_look": "long"}, fuel="electric"))
    assert next(iter(faults)) == "vent.too_long"
    assert faults["vent.too_long"] > 0.7
    _, repair = PACKS["dryer"].repair_of("vent.too_long")
    assert "booster" in " ".join(repair.steps)


def test_a_crushed_duct_is_still_a_blocked_one():
    """The long run takes nothing from the crushed one."""
    faults = belief(told("dryer", "long_dry_time", seen=CHOKED | {"duct_look": "blocked"}, fuel="electric"))
    assert next(iter(faults)) == "vent.restricted"


TOO_HOT = {"hot_when": "every", "hood_flap": "strong", "element_to_case": "clear", "thermostat_opens": "right"}


def test_heat_that_never_pauses_with_a_good_sensor_is_the_relay_that_welded():
    """Air, element, thermostat and sensor are sound: the sensor falls behind the relay, and the relay's own ohms settle
    it with the plug out."""
    before = belief(told("dryer", "too_hot", seen=TOO_HOT | {"thermistor_ohms": "good"}, **ELECTRIC))
    assert next(iter(before)) == "control_board.heat_relay_welded"
    assert before["thermistor.drifted"] < before["control_board.heat_relay_welded"] / 4
    after = belief(told("dryer", "too_hot", seen=TOO_HOT | {"thermistor_ohms": "good", "relay_welded": "welded"},
                        **ELECTRIC))
    assert after["control_board.heat_relay_welded"] > 0.9
    assert PACKS["dryer"].checks["relay_welded"].power == "off"


def test_the_heat_relay_at_rest_is_not_read_where_heat_is_missing():
    """A relay that gives no heat is not welded: its rest says nothing there."""
    check = PACKS["dryer"].checks["relay_welded"]
    assert senseless(PACKS["dryer"], check, told("dryer", "no_heat", **ELECTRIC))
    assert not senseless(PACKS["dryer"], check, told("dryer", "heats_unasked", **ELECTRIC))


def test_marked_clothes_are_looked_at_before_any_noise_is_listened_for():
    """Red wax on a shirt: a look into the drum, not an ear along the cabinet."""
    marked = told("dryer", "marks_on_clothes")
    assert next_step(marked) == "marks_kind"
    assert senseless(PACKS["dryer"], PACKS["dryer"].checks["noise_place"], marked)
    faults = belief(told("dryer", "marks_on_clothes", seen={"marks_kind": "colour"}))
    assert next(iter(faults)) == "drum.stained_inside"
    _, repair = PACKS["dryer"].repair_of("drum.stained_inside")
    assert any("gasoline and thinner never" in caution for caution in repair.cautions)


DAMP = {"stop_pattern": "ends_damp", "hood_flap": "strong", "heat_pattern": "good"}


def test_clean_strips_that_still_end_wet_are_not_cleaned_again():
    """Auto ends on wet towels, the strips are bright: the plug behind the front, above all after somebody's work."""
    seen = DAMP | {"bars_look": "clean", "since_when": "after_work"}
    evidence = told("dryer", "long_dry_time", "stops_mid_cycle", seen=seen, auto_dry="present")
    faults = belief(evidence)
    assert next(iter(faults)) == "moisture_sensor.unplugged"
    assert faults["moisture_sensor.fouled"] < 0.15
    off = belief(told("dryer", "long_dry_time", "stops_mid_cycle", seen=seen | {"strip_wires": "off"},
                      auto_dry="present"))
    assert off["moisture_sensor.unplugged"] > 0.9


def test_filmed_strips_are_cleaned_first():
    """Film on the cloth: a wipe, before any front comes off."""
    faults = belief(told("dryer", "long_dry_time", "stops_mid_cycle", seen=DAMP | {"bars_look": "film"},
                         auto_dry="present"))
    assert next(iter(faults)) == "moisture_sensor.fouled"


def test_nobody_leaves_a_humming_motor_under_power():
    """A stalled winding cooks in a minute: the run test says to switch off, and not to push the drum."""
    watch = PACKS["dryer"].checks["watch_run"]
    assert "off within five seconds" in watch.ask
    assert any("Nobody pushes the drum" in caution for caution in watch.cautions)
    hums = told("dryer", "wont_start", "no_tumble", seen={"watch_run": "hums"})
    assert PACKS["dryer"].checks[next_step(hums)].power == "off"


@pytest.mark.parametrize("fault", ["thermal_fuse.open", "high_limit.open"])
def test_a_cause_reads_as_a_sentence_of_its_own(fault: str):
    """Each is said alone, after 'Before you touch it:'."""
    assert not [cause.why for cause in PACKS["dryer"].faults[fault].root_causes if cause.why.startswith("Or ")]


@pytest.mark.parametrize(("family", "complaint"), [("dryer", "stops_mid_cycle"), ("dishwasher", "stops_mid_cycle")])
def test_a_bare_wire_that_was_found_is_what_is_mended(family: str, complaint: str):
    """Chewed by mice or broken at the hinge: nothing else explains it better."""
    faults = belief(told(family, complaint, seen={"harness_wiggle": "bad"}))
    assert next(iter(faults)) == "wiring.open_or_corroded"
    assert faults["wiring.open_or_corroded"] > 0.5


def test_lights_that_come_and_go_with_the_door_lead_to_its_harness():
    """No power until the hinge was looked at, and the wires there are the first thought."""
    result = PACKS["dishwasher"].checks["latch_push"].results["by_angle"]
    assert result.unsafe is not None
    assert "harness" in result.unsafe
    faults = belief(told("dishwasher", "wont_start", seen={"latch_push": "by_angle"}))
    assert next(iter(faults)) == "wiring.open_or_corroded"


def test_an_upper_rack_that_is_not_fed_has_its_feed_looked_at_before_the_diverter():
    """Many machines have no diverter; a rack off its docking takes a glance."""
    evidence = told("dishwasher", "poor_wash", seen={"dirty_where": "one_rack", "arms_moved": "one"})
    assert next_step(evidence) == "upper_feed_look"
    assert belief(evidence)["diverter.motor_failed"] < 0.2
    off = told("dishwasher", "poor_wash", seen={"dirty_where": "one_rack", "upper_feed_look": "off"})
    assert next_step(off) == "upper_feed.not_docked"


def test_dirty_dishes_bring_no_question_about_latch_or_leak():
    """Nobody is sent to lean on the door, or asked for a drop, who tells of dirty dishes."""
    pack, dirty = PACKS["dishwasher"], told("dishwasher", "poor_wash")
    for check in ("latch_push", "leak_step", "leak_place", "panel_settings", "rinse_aid_look", "outlet_look"):
        assert senseless(pack, pack.checks[check], dirty), check


def test_a_pump_seal_that_weeps_at_rest_and_leaks_in_the_wash_fits_itself():
    """Its water trips the leak switch, so the wash stays silent: one fault, and no second one with it."""
    faults = belief(told("dishwasher", "wont_stop", "leaks", seen={
        "pan_look": "float_up", "wash_sound": "silent", "still_water": "shaft", "leak_step": "washing"},
        control="board"))
    assert next(iter(faults)) == "wash_pump.seal_leaking"
    assert faults["wash_pump.seal_leaking"] > 0.9


def test_a_trip_after_ten_minutes_and_an_element_that_leaks_name_the_heater():
    """Ten minutes in is when the heater comes on."""
    faults = belief(told("dishwasher", "trips_breaker", seen={
        "trip_moment": "after_while", "panel_look": "set", "heater_to_ground": "leak"}))
    assert next(iter(faults)) == "heater.element_grounded"
    assert faults["heater.element_grounded"] > 0.85


def test_a_wet_floor_and_a_breaker_that_trips_are_spoken_of_first():
    """Before any question of either: off, left off, and nobody stands in it."""
    for check in ("trip_moment", "leak_step"):
        assert any("nobody stands in it" in caution for caution in PACKS["dishwasher"].checks[check].cautions), check


def test_a_plate_before_the_soap_lid_is_asked_about():
    """The lid springs by hand and the load comes out clean: the customer says how it is left, then the load is looked
    at; either names what held it."""
    clean = {"dirty_where": "clean", "lid_by_hand": "springs"}
    assert next_step(told("dishwasher", "detergent_left", seen=clean)) == "soap_how"
    for held in ({"soap_how": "blocked"}, {"loading_look": "blocked"}):
        faults = belief(told("dishwasher", "detergent_left", seen=clean | held))
        assert next(iter(faults)) == "loading.blocks_spray"


def test_the_float_is_lifted_by_hand_before_a_coil_is_measured():
    """Ten seconds in the tub with the door open, no cover off."""
    check = PACKS["dishwasher"].checks["float_move"]
    assert (check.access, check.power) == ((), "any")
    assert next_step(told("dishwasher", "no_fill", seen={"fill_listen": "silent"})) == "float_move"


def test_a_panel_is_read_before_a_hip_goes_against_the_door():
    """A padlock is seen for nothing."""
    lit = told("dishwasher", "wont_start", seen={"any_life": "alive_no_start"}, control="board")
    assert next_step(lit) == "panel_settings"


def test_one_caution_serves_both_kinds_of_ventless_dryer():
    """Only the heat pump holds refrigerant."""
    handed = load().knowledge.common.handoff_only
    assert "A condenser one has only a heater" in handed["heat_pump_dryer"].caution


def test_a_cord_seen_wired_wrong_is_put_right_before_anything_gets_power():
    """However likely a missing leg is besides: its mending ends with a run, and the cabinet may be live."""
    evidence = told("dryer", "no_heat", seen={
        "panel_look": "set", "watch_run": "tumbles_cold", "element_ohms": "good", "thermal_fuse_ohms": "closed",
        "since_when": "wiring_work", "terminal_block_look": "wrong", "ground_bond": "bonded"}, **ELECTRIC)
    assert belief(evidence)["supply.half_voltage"] > belief(evidence)["power_cord.miswired_or_bond_wrong"]
    assert next_step(evidence) == PACKS["dryer"].repair_of("power_cord.miswired_or_bond_wrong")[0]


def test_a_soap_lid_without_its_spring_is_the_dispenser():
    """It was seen by hand: no spray is listened to."""
    evidence = told("dishwasher", "detergent_left", seen={"soap_lid": "shut", "lid_by_hand": "sticks"})
    assert next_step(evidence) == PACKS["dishwasher"].repair_of("dispenser.actuator_failed")[0]


def test_a_drain_pump_that_was_cleared_and_hums_on_is_not_cleared_again():
    """The impeller was turned by hand then: what hums on is more likely its motor."""
    evidence = Evidence("dishwasher", complaints=("no_drain",), history=(
        Seen("pump_sound", "hums"), Seen("filter_look", "packed"),
        Repaired(PACKS["dishwasher"].repair_of("drain_pump.blocked")[0]), Seen("pump_sound", "hums")))
    faults = belief(evidence)
    assert faults["drain_pump.motor_failed"] > faults.get("drain_pump.blocked", 0.0)


def test_the_two_contacts_of_the_motors_switch_fail_each_by_itself():
    """Cold with all else sound is its heat pair, a hum or a dead dryer its start pair; one part mends both."""
    sound = {"watch_run": "tumbles_cold", "panel_look": "set", "element_ohms": "good", "thermal_fuse_ohms": "closed",
             "high_limit_ohms": "closed", "terminal_block_look": "sound"}
    cold = belief(told("dryer", "no_heat", seen=sound | {"motor_switch_contacts": "heat_open"}, **ELECTRIC))
    assert next(iter(cold)) == "motor_switch.heat_contact_failed"
    assert cold["motor_switch.heat_contact_failed"] > 0.65
    assert cold["motor_switch.failed"] < 0.02
    dead = belief(told("dryer", "wont_start", seen={"watch_run": "hums", "motor_switch_contacts": "start_open"},
                       **ELECTRIC))
    assert dead["motor_switch.failed"] > 10 * dead["motor_switch.heat_contact_failed"]
    pack = PACKS["dryer"]
    assert pack.repair_of("motor_switch.failed") == pack.repair_of("motor_switch.heat_contact_failed")


@pytest.mark.parametrize(("complaint", "seen"), [
    ("no_drain", {"pump_sound": "hums"}), ("no_drain", {"pump_winding": "good"}), ("no_fill", {"valve_coil": "good"}),
    ("water_not_hot", {"heater_ohms": "good"}), ("stops_mid_cycle", {"wash_motor_ohms": "good"})])
def test_a_part_that_was_read_or_gets_its_call_is_not_read_as_the_dead_part(complaint: str, seen: dict[str, str]):
    """The part that gets no call is asked for where none was read yet, and never where one hums."""
    pack = PACKS["dishwasher"]
    assert senseless(pack, pack.checks["part_on_output"], told("dishwasher", complaint, seen=seen))
    assert not senseless(pack, pack.checks["part_on_output"], told("dishwasher", complaint))


def test_a_dishwasher_that_overfills_is_not_run_through_a_wash_to_see():
    """It would be on the floor by then: with the breaker off, does water still come?"""
    pack, full = PACKS["dishwasher"], told("dishwasher", "overfill")
    assert senseless(pack, pack.checks["watch_run"], full)
    assert not senseless(pack, pack.checks["valve_unplugged"], full)


def test_a_corner_that_leaks_with_a_good_gasket_has_arm_and_suds_behind_it():
    """A split arm, a platter in the spray or foam throws water into the corner: none is ruled out by the corner."""
    corner = {"leak_place": "corner", "gasket_look": "good", "leak_step": "washing", "level_door": "level"}
    faults = belief(told("dishwasher", "leaks", seen=corner))
    middle = belief(told("dishwasher", "leaks", seen=corner | {"leak_place": "middle"}))
    assert faults["spray_arm.blocked_or_split"] > middle["spray_arm.blocked_or_split"] / 2
    assert {"spray_arm.blocked_or_split", "detergent.wrong_or_oversudsing"} < set(list(faults)[:8])


def test_dead_keys_are_metered_at_their_ribbon_before_a_panel_is_bought():
    """No ear for pumps, no nose, no whole wash: the dead key's own pins."""
    keys = {"any_life": "alive_no_start", "panel_settings": "clear", "latch_push": "never", "keys_respond": "some"}
    evidence = told("dishwasher", "wont_start", seen=keys, control="board")
    assert next_step(evidence) == "key_ohms"
    faults = belief(told("dishwasher", "wont_start", seen=keys | {"key_ohms": "open"}, control="board"))
    assert faults["user_interface.failed"] > 0.95


def test_a_reset_that_changed_nothing_is_not_made_again():
    """The repair of a lost leg goes on to cord and electrician."""
    _, repair = PACKS["dryer"].repair_of("supply.half_voltage")
    assert any("don't repeat it" in step for step in repair.steps)
