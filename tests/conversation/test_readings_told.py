"""Readings that nobody asked for: of which part they are, and of which quantity."""

from __future__ import annotations

import pytest

from tests.conversation.test_told_beside import at, facts, visit

DRYER = "electric dryer no heat"
OPENED = "elec dryr runs no heat at all. flap outside barley opens, they said took 2 runs for weeks b4"
"""After it the heater's cover is opened, and what lies behind it is asked in one go."""


@pytest.mark.parametrize("text", [
    "got 120 on each leg at the outlet but 0 leg to leg", "120 on one side of the plug, nothing on the other",
    "L1 is 121 and L2 is 3", "hot to hot 0.4, each hot to neutral 119.8", "120 each leg 0 across"])
def test_volts_of_the_legs_count_for_the_legs(release, text):
    """In the first message, or while something else is asked: one is missing, and nothing is hot."""
    assert facts(visit(release, f"{DRYER}, {text}"), "result") == {"leg_volts": "one"}
    chat = at(release, "element_ohms")
    chat.send(text)
    assert facts(chat, "result") == {"leg_volts": "one"}


def test_so_many_volts_are_only_there_from_leg_to_leg(release):
    """'240 volts at the outlet' is both legs."""
    assert facts(visit(release, f"{DRYER}, 240 volts at the outlet"), "result") == {"leg_volts": "both"}


def test_a_reading_beside_the_legs_is_kept_too(release):
    """The element's ohms are not lost for the volts."""
    told = facts(visit(release, f"{DRYER}, element 11 ohm and 240 leg to leg"), "result")
    assert told == {"element_ohms": "good", "leg_volts": "both"}


@pytest.mark.parametrize("text", ["i read 118 at the outlet", "outlet reads 118", "120 each leg"])
def test_one_leg_is_asked_for_the_other(release, text):
    """118 V may be the same leg twice, and it is no heat of the air; the word on it settles it."""
    chat = visit(release, f"{DRYER}, {text}")
    assert facts(chat, "result") == {}
    assert chat.job is not None and chat.job.question is not None
    assert chat.job.question.values == ("result:leg_volts/both", "result:leg_volts/one", "dont_know")
    chat.send("one leg missing")
    assert facts(chat, "result") == {"leg_volts": "one"}


def test_who_did_not_read_the_other_leg_goes_on(release):
    """'Don't know' asks nobody to measure on live parts."""
    chat = visit(release, f"{DRYER}, i read 118 at the outlet", "dont know")
    assert facts(chat, "declined").keys() == {"leg_volts"}
    assert chat.job is not None and chat.job.question is not None and chat.job.question.checks != ("leg_volts",)


def test_a_question_about_volts_is_no_reading(release):
    """'120 each leg?' asks what should be there: no part reads 120 ohms."""
    chat = visit(release, DRYER, "i aint pulling panels yet, 120 each leg? how do i check supply")
    assert facts(chat, "result") == {}


def test_what_others_read_is_not_filed(release):
    """The customer's electrician measured, not the tech."""
    assert facts(visit(release, f"{DRYER}, customer says the electrician read 240 leg to leg"), "result") == {}


@pytest.mark.parametrize(("text", "told"), [
    ("oven is 50 degrees too cold", {"oven_temp": "low"}),
    ("oven 50 deg too cold everything underdone", {"oven_temp": "low"}), ("oven reads 300 when set to 350", {}),
    ("oven runs 50 hot", {"oven_temp": "high"}), ("oven 20 low", {}), ("customer says oven 50 low", {})])
def test_degrees_are_no_ohms(release, text, told):
    """By how much an oven is off is what a thermometer in it shows, unless it is little or hearsay."""
    chat = visit(release, text)
    assert facts(chat, "complaint") == {"oven_temperature_wrong": ""}
    assert facts(chat, "result") == told


@pytest.mark.parametrize(("text", "among"), [
    ("gas range oven wont heat, igniter reads 3.2", ("check:igniter_ohms", "check:igniter_amps")),
    ("dryer no heat, element reads 240", ("check:element_ohms", "check:volts_at_heater"))])
def test_a_bare_number_that_may_be_two_things_is_asked(release, text, among):
    """Ohms of the part, or what runs through it, or the volts at it."""
    chat = visit(release, text)
    assert facts(chat, "result") == {}
    assert chat.job is not None and chat.job.question is not None and chat.job.question.values == among


def test_a_bare_120_at_a_switch_may_be_volts(release):
    """It is asked before a switch is called bad; said again as ohms it counts."""
    chat = visit(release, "front load washer no drain, pump winding reads 120")
    assert facts(chat, "result") == {}
    chat.send("120 ohm")
    assert facts(chat, "result").keys() == {"pump_winding"}


def test_a_bare_number_at_the_air_outlet_is_left(release):
    """Celsius or Fahrenheit, volts or none of them: no stop for the place alone. With its unit it counts."""
    assert facts(visit(release, "electric dryer slow to dry, outlet reads 165"), "result") == {}
    told = visit(release, "electric dryer slow to dry, outlet temp 150 f")
    assert facts(told, "result") == {"exhaust_temp": "normal"}


@pytest.mark.parametrize("text", ["nothing odd", "nothing looks wrong", "nothing unusual there"])
def test_nothing_odd_is_no_reading(release, text):
    """It is no short where ohms are asked for."""
    chat = at(release, "element_ohms")
    chat.send(text)
    assert facts(chat, "result") == {}


@pytest.mark.parametrize("text", [
    "one half tripped", "one half of the breaker was tripped", "breaker was half off", "one pole of the breaker popped",
    "the breaker sat halfway"])
def test_a_breaker_found_half_tripped_is_the_find(release, text):
    """Whatever is asked, and in the first message: the look at the panel, no machine that trips it."""
    chat = at(release, "element_ohms")
    chat.send(text)
    assert facts(chat, "result") == {"panel_look": "tripped"}
    first = visit(release, f"{DRYER}, {text}")
    assert facts(first, "result") == {"panel_look": "tripped"} and "trips_breaker" not in facts(first, "complaint")


def test_a_breaker_that_goes_in_mid_run_is_a_complaint(release):
    """'Trips halfway through' says when."""
    assert "trips_breaker" in facts(visit(release, "electric dryer trips breaker halfway through"), "complaint")


def test_the_complaint_told_closer_is_no_word_on_the_breaker(release):
    """'Never warm' while the panel is looked at says how the heat goes."""
    chat = at(release, "panel_look")
    chat.send("never warm")
    assert facts(chat, "result") == {"heat_pattern": "never"}


@pytest.mark.parametrize("text", [
    "got a fridge here that just runs n runs, food not realy cold, 2 big dogs in the house",
    "fridge runs all day, food not cold, 2 kids open it all the time", "fridge got 3 new shelves and is not cold"])
def test_what_is_counted_in_the_house_is_no_reading(release, text):
    """Dogs, kids and shelves are on no meter, and a door that is open is no switch."""
    assert facts(visit(release, text), "result") == {}


def test_open_to_ground_is_no_open_part(release):
    """Said after the heater's own ohms, while its terminals and the sensor are asked: the heater is clear, and
    the sensor was not read at all."""
    chat = visit(release, "front loader water stays cold on hot wash", "heater 24 ohm", "to ground OL")
    seen = facts(chat, "result")
    assert seen["heater_ohms"] == "good" and seen["heater_to_ground"] == "clear" and "temp_sensor_ohms" not in seen


def test_nothing_to_the_case_is_nothing_that_was_heard(release):
    """Beside a reading, while the sound of the water is asked."""
    chat = visit(release, "front loader water stays cold on hot wash", "heater 24 ohm, nothing to case")
    seen = facts(chat, "result")
    assert seen == {"heater_ohms": "good", "heater_to_ground": "clear"}


@pytest.mark.parametrize("text", [
    "10.8 element. limit closed, other one ol", "element 11 ohm, limit is good but the cut off is ol",
    "10.4 on the element. limit beeps, other one dont"])
def test_of_two_limits_in_a_row_the_open_one_counts(release, text):
    """However good the first is, and whichever of them is named."""
    chat = visit(release, OPENED)
    assert chat.job.question.checks == ("element_ohms", "high_limit_ohms")
    chat.send(text)
    assert facts(chat, "result")["high_limit_ohms"] == "open"
    assert facts(chat, "result")["element_ohms"] == "good"


@pytest.mark.parametrize("text", ["10.8 element", "element 10.8", "element is 10.8 hi limit closed"])
def test_a_number_with_a_decimal_beside_a_part_is_its_reading(release, text):
    """Nobody counts anything in tenths; a limit of which two stand in a row is not cleared by one."""
    told = facts(visit(release, DRYER, text), "result")
    assert told["element_ohms"] == "good" and "high_limit_ohms" not in told


@pytest.mark.parametrize("text", ["oh wait the cut off is ol, limit is closed", "no the cut off is ol"])
def test_another_part_put_right_leaves_the_reading_before_it(release, text):
    """The element keeps its ohms, and nothing is said to run to its end."""
    chat = visit(release, DRYER, "element 10.8 ohm", text)
    told = facts(chat, "result")
    assert (told["element_ohms"], told["high_limit_ohms"]) == ("good", "open")
    assert not facts(chat, "denied")


@pytest.mark.parametrize("told", [
    ("top loader wont fill at all", "no buzz no water nothing", "pressure switch reads OL common to empty"),
    ("top loader wont fill at all", "no buzz no water nothing", "1.2k both the same", "timer", "hose is right",
     "pressure switch reads OL common to empty")])
def test_a_switch_that_is_named_is_no_other_switch(release, told):
    """Neither the lid switch nor the timer's contacts, which are asked for."""
    results = facts(visit(release, *told), "result")
    assert results.get("pressure_switch_ohms") == "fails"
    assert not {"lid_switch_ohms", "lid_switch_up", "timer_contact_ohms"} & set(results)


def test_what_both_read_alike_is_of_the_part_that_has_several(release):
    """Two coils of the valve, and no burnt contact of the timer."""
    results = facts(visit(release, "top loader wont fill at all", "no buzz no water nothing", "1.2k both the same"),
                    "result")
    assert results["valve_coils"] == "good" and "timer_contact_ohms" not in results


def test_a_switch_read_with_the_lid_down_is_placed(release):
    """'OL w lid down': which of the two is said."""
    chat = visit(release, "top loader plain lid switch wont spin", "silent", "lid switch reads OL w lid down")
    assert facts(chat, "result")["lid_switch_ohms"] == "open"


def test_a_reading_nobody_can_place_holds_up_no_part(release):
    """The part is got all the same, and after two lines on other things the reading is let go."""
    chat = visit(release, "top loader plain lid switch wont spin", "silent", "no click its mushy",
                 "lid switch reads OL")
    assert chat.job.question.kind == "which_check"
    chat.send("got one on the van")
    assert chat.job.question.kind == "consent"


def test_an_open_coil_is_no_word_on_what_is_heard(release):
    """The lock is listened to: 'lock coil open' is its coil, and no lock that locks."""
    chat = visit(release, "front loader stops w door code", "lock coil open")
    assert facts(chat, "result")["lock_ohms"] == "open" and "lock_watch" not in facts(chat, "result")


@pytest.mark.parametrize("text", ["jumps all over 40 to OL", "all over the place 40 ohm to OL"])
def test_a_reading_that_jumps_is_not_asked_for_its_number(release, text):
    """Two numbers of one that does not stand still."""
    chat = visit(release, "frontloader belt drive brush motor, drum dont turn", "still and silent", text)
    assert facts(chat, "result")["brush_motor_ohms"] == "high"


def test_six_oclock_is_a_place(release):
    """No ohms of the door's lock."""
    assert "lock_ohms" not in facts(visit(release, "front load leaks at the door, rip at bottom 6 oclock"), "result")


@pytest.mark.parametrize("line", [
    "fan motor reads open", "fan OL", "fan is 250 ohms", "compressor reads 4 ohms"])
def test_a_meter_on_another_part_tells_nothing_of_the_heater(release, line):
    """A heater was asked for, and would have been bought."""
    chat = visit(release, "fridge warm freezer ok, back wall frosted", "2", line)
    assert "defrost_heater_ohms" not in facts(chat, "result")


def test_of_two_fans_the_one_behind_the_open_cover_is_meant(release):
    chat = visit(release, "fridge warm freezer ok, back wall frosted", "2", "fan motor reads open")
    assert facts(chat, "result")["evap_fan_ohms"] == "open"
    assert visit(release, "fridge warm freezer ok", "fan motor reads open").job.question.kind == "which_check"


@pytest.mark.parametrize("line", [
    "sensor reads 960", "sensor is 960", "sensor ohms out at 960", "sensor is 690 no sorry 960", "sensor 960"])
def test_a_bare_number_of_a_part_is_its_reading_and_no_oven_temperature(release, line):
    chat = visit(release, "elec oven runs like 60 hot, everything burns", line)
    assert facts(chat, "result")["sensor_ohms"] == "low"


@pytest.mark.parametrize("line", ["no wait its 40 hot", "40 too hot"])
def test_degrees_off_are_no_ohms(release, line):
    """A sensor of 40 ohms would be shorted."""
    chat = visit(release, "elec oven runs like 60 hot, everything burns", "buttons", line)
    assert "sensor_ohms" not in facts(chat, "result")


@pytest.mark.parametrize("text", [
    "is 1100 ohm ok for an oven sensor? oven too hot", "oven too hot, should the sensor read around 1100 ohm?",
    "what r the right ohms for an evap fan, about to check one, fridge part warm",
    "electric dryer no heat, does 10 ohms sound right for the element?"])
def test_a_figure_that_is_asked_about_is_no_reading(release, text):
    """Nobody has measured yet."""
    assert not {"sensor_ohms", "evap_fan_ohms", "element_ohms"} & set(facts(visit(release, text), "result"))
