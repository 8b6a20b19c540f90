"""A fact that fits nothing that is asked is not filed as what it sounds like; it goes to the check that it is of."""

from __future__ import annotations

import pytest

from bot.language.answers.answer import answer
from bot.language.answers.windings import run_and_start
from bot.language.complaints.by_itself import fills_by_itself, without_helped
from tests.conversation.test_told_beside import at, facts, visit


@pytest.mark.parametrize(("text", "told"), [
    ("run winding 2 ohms, start winding 3 ohms", "good"), ("2 ohms run winding, start winding OL", "open"),
    ("run 2.1 start 3.4 ohms", "good"), ("2 ohms on the run and 3 on the start winding", "good"),
    ("start winding reads 40 ohms, run 2", "off"), ("run winding good, start winding open", "open"),
    ("hums wont start, run winding 2 ohms", None), ("start winding OL to case", None)])
def test_run_and_start_winding_by_their_ohms(text, told):
    """Whichever comes first, the number or the name; 'won't start' is no winding."""
    assert run_and_start(text) == told


@pytest.mark.parametrize(("text", "told"), [
    ("run winding 2 ohms, start winding 3 ohms", {"motor_windings": "good"}),
    ("2 ohms run winding, start winding OL", {"motor_windings": "open"})])
def test_ohms_of_a_winding_are_no_leak_to_the_case(release, text, told):
    """Told before anything was asked or beside it: the windings, and nothing is condemned."""
    assert told.items() <= facts(visit(release, f"electric dryer hums wont start, {text}"), "result").items()
    chat = at(release, "drum_by_hand", "electric dryer hums but wont start")
    chat.send(text)
    heard = facts(chat, "result")
    assert told.items() <= heard.items() and not {"motor_to_case", "drum_by_hand"} & heard.keys()


@pytest.mark.parametrize(("text", "check"), [
    ("electric dryer hums, motor windings good nothing to ground", "motor_to_case"),
    ("electric dryer no heat, element good nothing to ground", "element_to_case"),
    ("electric dryer hums, nothing to ground on the motor", "motor_to_case")])
def test_nothing_to_ground_is_of_the_part_that_is_named(release, text, check):
    """The part is clear of its case; nobody needs an electrician."""
    told = facts(visit(release, text), "result")
    assert told[check] == "clear" and "leg_volts" not in told


@pytest.mark.parametrize(("text", "told"), [
    ("gas dryer no heat ignitor reads 60 ohm", {"igniter_ohms": "good"}),
    ("electric dryer no heat, thermistor 10k", {"thermistor_ohms": "good"}),
    ("electric dryer no heat, i got 10 ohms", {}),
    ("electric dryer no heat, thermistor reads 10k heater 11 ohms",
     {"thermistor_ohms": "good", "element_ohms": "good"})])
def test_a_reading_goes_to_its_part_by_every_name_and_else_to_none(release, text, told):
    """'Heat' of 'no heat' is no heat relay."""
    heard = facts(visit(release, text), "result")
    ohms = {key: value for key, value in heard.items() if "ohms" in key or "relay" in key}
    assert ohms == told


@pytest.mark.parametrize("text", [
    "its hardwired theres no outlet", "hardwired no outlet", "there is no plug", "wired straight in to the box"])
def test_a_hard_wired_machine_has_no_dead_outlet(release, text):
    """No check of an outlet is made or heard of it."""
    chat = at(release, "outlet_tester", "dishwasher wont start")
    chat.send(text)
    assert facts(chat, "result") == {}
    assert {"outlet_tester", "lamp_in_outlet", "outlet_look"} <= facts(chat, "declined").keys()


def test_a_loose_clamp_is_no_loose_filter(release):
    """The clamp is what drips, and the filter is still to be told."""
    chat = at(release, "filter_look", "dishwasher wont drain and it drips underneath")
    chat.send("clamp on the sump hose is loose, drips from there")
    assert "filter_look" not in facts(chat, "result")
    assert facts(chat, "result")["under_look"] == "hose"


@pytest.mark.parametrize(("check", "text", "not_heard"), [
    ("drum_support", "belt's whole idler fine rollers fine", "idler"), ("drum_support", "rollers are good", "rollers")])
def test_a_part_that_is_called_fine_is_not_the_bad_one(release, check, text, not_heard):
    """The name of a result is the part; what is said of it counts."""
    assert answer(release.index, "dryer", check, text).result != not_heard


def test_half_clean_is_not_clean(release):
    """And 'clean' is."""
    assert answer(release.index, "dishwasher", "dirty_where", "dishes look half clean").result is None
    assert answer(release.index, "dishwasher", "dirty_where", "dishes look clean").result == "clean"


@pytest.mark.parametrize("text", ["no glow", "there is no glow", "strong air but no glow"])
def test_no_glow_is_no_word_on_the_air(release, text):
    """It is what the burner shows, whichever way the air goes."""
    chat = at(release, "hood_flap", "gas dryer no heat")
    chat.send(text)
    told = facts(chat, "result")
    assert told["burner_watch"] == "no_glow" and told.get("hood_flap") in {None, "strong"}


def test_what_runs_only_once_it_was_shoved_does_not_start(release):
    """'Then it runs fine' takes nothing back."""
    text = "electric dryer just hums wont turn unless i give the drum a shove then it runs fine"
    assert "runs" not in without_helped(text)
    assert "wont_start" not in facts(visit(release, text), "denied")
    assert without_helped("push the dial to spin then it spins") == "push the dial to spin then it spins"


@pytest.mark.parametrize("text", [
    "theres clean water in the dishwasher every morning nobody ran it",
    "clean water sitting in dishwasher tub every morning, nobody ran it",
    "dishwasher has fresh water in the bottom and its not been used"])
def test_clean_water_with_nobody_near_came_in_by_itself(release, text):
    """The drain is not in it, and nothing washes clean."""
    told = facts(visit(release, text), "complaint")
    assert "overfill" in told and "no_drain" not in told
    assert not fills_by_itself("clean water on the floor after a cycle")


def test_two_answers_with_no_comma_are_two(release):
    """Each goes to the check whose name it begins with."""
    chat = visit(release, "dishwasher dishes wet at the end, not hot")
    assert chat.job is not None and chat.job.question is not None and len(chat.job.question.checks) == 2
    chat.send("element OL high limit beeps")
    assert facts(chat, "result")["heater_ohms"] == "open"
