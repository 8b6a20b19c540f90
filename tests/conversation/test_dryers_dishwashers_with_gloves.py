"""Dryers and dishwashers as they are typed with gloves on: two things in a line, a reading before it is asked, a build
in passing, and what must not be passed over."""

from __future__ import annotations

import pytest

from bot.conversation.release import Release
from tests.conversation.test_dryers_and_dishwashers_told import asked, said
from tests.conversation.test_told_beside import facts, visit


@pytest.mark.parametrize("answer", [
    "jumped the fuse to test, heats now", "customer bridged the fuse", "fuse is bypassed",
    "theres a jumper on the fuse"])
def test_a_bridged_fuse_comes_out_before_anything_else(release: Release, answer: str) -> None:
    """That it heats on a jumper mends nothing: out with it, and the fuse on the meter with the power off."""
    chat = visit(release, "elec dryer no heat", answer)
    assert "That jumper comes out now" in said(chat)
    assert facts(chat, "repaired") == {}
    assert asked(chat) == ("thermal_fuse_ohms",)


def test_a_bridged_limit_is_metered_as_such(release: Release) -> None:
    """The look that follows is at the part that was bridged."""
    chat = visit(release, "elec dryer no heat", "somebody put a jumper on the high limit")
    assert asked(chat) == ("high_limit_ohms",)


@pytest.mark.parametrize("answer", ["fuse isnt bridged", "never bridged the fuse", "not jumped the limit"])
def test_a_fuse_that_nobody_bridged_is_none(release: Release, answer: str) -> None:
    """Denied, it is nothing to take out."""
    assert "That jumper" not in said(visit(release, "elec dryer no heat", answer))


@pytest.mark.parametrize("answer", ["i can turn the valve on myself right", "should i open the gas valve",
                                    "ill open the shutoff then"])
def test_a_gas_valve_is_opened_by_who_may(release: Release, answer: str) -> None:
    """Shut for a reason: a junior leaves it."""
    assert "signed off for gas" in said(visit(release, "gas dryer no heat", answer))


def test_water_on_the_junction_box_is_a_danger(release: Release) -> None:
    """Where it is wired in is as live as an outlet."""
    assert facts(visit(release, "dw leaks", "its drippin on the jbox n buzzin"), "danger") == {"flood": ""}


def test_after_a_shock_nobody_is_asked_at_which_step_it_leaks(release: Release) -> None:
    """To tell the step somebody would run it."""
    chat = visit(release, "dw leaks", "yea and it shocked me", "its dead")
    assert "leak_step" not in asked(chat)


def test_volts_at_a_motor_to_ground_are_no_insulation(release: Release) -> None:
    """Read with the power on: nothing leaks to the metal by that."""
    chat = visit(release, "gas dryer wont start", "0 v at the motor to ground")
    assert "motor_to_case" not in {*facts(chat, "result"), *asked(chat)}


@pytest.mark.parametrize(("answer", "legs"), [
    ("240 v at cord", "both"), ("238v at the block", "both"), ("120 on one screw n 0 on other", "one"),
    ("119 on one lug, nothing on the other", "one"), ("0 on left hot n 121 on right", "one")])
def test_volts_of_the_feed_told_at_the_breaker_count(release: Release, answer: str, legs: str) -> None:
    """He measured while he was asked to look."""
    assert facts(visit(release, "elec dryer no heat", answer), "result")["leg_volts"] == legs


def test_volts_at_the_connection_box_count_unasked(release: Release) -> None:
    """A bare 120 there can only be volts, and a door switch that reads open shut is the door switch."""
    chat = visit(release, "dishwasher nothing at all no lights", "120 at jbox", "door switch reads open when shut")
    found = facts(chat, "result")
    assert (found["any_life"], found["box_volts"], found["latch_ohms"]) == ("dead", "good", "misses")


@pytest.mark.parametrize(("answer", "axis", "value"), [
    ("dunno one w knob", "control", "timer"), ("no its got a display", "control", "board"),
    ("its the kind with a knob", "control", "timer"), ("not sure, one with buttons", "control", "board"),
    ("no wait its a gas one", "fuel", "gas")])
def test_a_build_told_at_a_check_is_no_answer_and_no_trouble(
        release: Release, answer: str, axis: str, value: str) -> None:
    """The check is asked again, with what the machine is in mind."""
    chat = visit(release, "dryer long dry", answer)
    assert facts(chat, "variant")[axis] == value
    assert facts(chat, "declined") == {}
    assert set(facts(chat, "complaint")) == {"long_dry_time"}


def test_a_fuse_that_reads_open_trips_no_breaker(release: Release) -> None:
    """What was measured and seen before the first question stands, and the name of a part is no trouble."""
    chat = visit(release, "no heat dryer electric, fuse on blower housing reads OL, vent hose crushed behind it")
    assert facts(chat, "result") == {"thermal_fuse_ohms": "open", "duct_look": "blocked"}
    assert set(facts(chat, "complaint")) == {"no_heat"}


def test_air_with_the_hose_off_is_no_air_outside(release: Release) -> None:
    """Strong at the dryer clears the dryer, not its duct."""
    found = facts(visit(release, "dryer long dry elec", "with hose off it blows strong"), "result")
    assert found == {"air_only_outlet": "strong"}


def test_a_clean_filter_is_no_clean_load(release: Release) -> None:
    """Said of its own part, it goes there, whatever is asked."""
    chat = visit(release, "dw doesnt wash well")
    assert asked(chat) == ("dirty_where",)
    chat.send("filter is clean")
    assert facts(chat, "result") == {"filter_look": "clean"}


@pytest.mark.parametrize(("opening", "result"), [
    ("dw shows leak code, pulled toe panel its bone dry", "leak"), ("dishwasher error, code for drain", "drain"),
    ("dw stops half way with a drain code, pump hums", "drain"), ("dishwasher shows a heater code", "heat")])
def test_what_a_code_is_about_is_told_with_it(release: Release, opening: str, result: str) -> None:
    """It is not asked for, nor whether a machine that shows one has a dial."""
    chat = visit(release, opening)
    assert facts(chat, "result")["code_ask"] == result
    assert facts(chat, "variant")["control"] == "board"


def test_a_machine_that_does_not_drain_tells_no_code(release: Release) -> None:
    """'Wont drain' is the trouble, and no code about it."""
    assert "code_ask" not in facts(visit(release, "dw wont drain, pump hums"), "result")


def test_a_leak_code_over_a_dry_pan_is_the_float_or_its_switch(release: Release) -> None:
    """Nothing is run for it: the pan, then the switch on the meter."""
    chat = visit(release, "dw error code says leak, floor is dry")
    for _ in range(6):
        if asked(chat) == ("pan_look",):
            break
        assert not {"watch_run", "fill_listen", "level_look", "wash_sound"} & set(asked(chat))
        chat.send("skip")
    assert asked(chat) == ("pan_look",)
    chat.send("dry but the float is up")
    assert "Leak float stuck or its switch failed" in said(chat) or asked(chat) == ("pan_switch_ohms",)


def test_a_machine_that_stops_is_asked_where_first(release: Release) -> None:
    """One question to the customer parts water, wash, drain and door before a cover comes off."""
    chat = visit(release, "dishwasher stops mid cycle")
    assert asked(chat) == ("stop_step",)
    assert facts(visit(release, "dw stops mid cycle with water left in it"), "result")["stop_step"] == "draining"


def test_a_dishwasher_that_does_not_start_is_asked_for_a_sign_of_life(release: Release) -> None:
    """Before anybody leans on its door or presses its keys."""
    assert asked(visit(release, "dw wont start")) == ("any_life",)


def test_a_new_disposer_is_how_it_began(release: Release) -> None:
    """And no plug that anybody saw."""
    found = facts(visit(release, "dw leaves 2 in of water, they got a new disposal last wk"), "result")
    assert found == {"history": "fitted"}


def test_a_fishy_smell_the_night_before_stops_it(release: Release) -> None:
    """Hot connector plastic smells so: the box is looked at dead."""
    chat = visit(release, "dw dead", "lady said it smelled fishy last nite")
    assert facts(chat, "result")["burn_nose"] == "toe"
    assert asked(chat) == ("box_look",)


def test_a_valve_that_is_silent_says_nothing_of_the_float(release: Release) -> None:
    """What is told of a part counts only where that part is named."""
    chat = visit(release, "dw shows an error code", "water in", "silent and dry")
    assert facts(chat, "result") == {"code_ask": "fill", "fill_listen": "silent"}


@pytest.mark.parametrize("opening", ["dryer squeals and thumps when it runs", "dw hums and grinds in the wash"])
def test_two_noises_in_a_line_are_neither_alone(release: Release, opening: str) -> None:
    """Which of them it is, is still asked."""
    assert not {"noise_kind", "noise_when"} & set(facts(visit(release, opening), "result"))


def test_how_the_soap_is_left_is_asked_before_it_is_watched(release: Release) -> None:
    """Twelve minutes beside a wash tell no more than the customer does."""
    chat = visit(release, "dw soap left in the cup")
    assert asked(chat) == ("soap_how",)
    chat.send("lid was still shut")
    assert asked(chat) == ("lid_by_hand",)


def test_a_valve_found_shut_is_no_valve_that_never_shuts(release: Release) -> None:
    """The valve under the sink, told while the fill is listened to: opened, and no float is blamed."""
    chat = visit(release, "dishwasher no fill", "valve was shut")
    assert facts(chat, "result") == {"sink_valve": "shut"}
    assert "Get the water supply back" in said(chat)
