"""Washers in the talk: what was said at the door is not run for, and the floor stays dry when it is closed up."""

from __future__ import annotations

import pytest

from bot.conversation.release import Release
from tests.conversation.test_washers_told import facts, power_of_question, told, visit


def test_the_pump_cap_is_named_before_power_comes_back(release: Release) -> None:
    """A cap left off puts the water at the cord: it is said with the covers, not left to them."""
    opened = visit(release, "front load washer full of water, wont drain", "runs but little comes out", "packed", "1")
    assert opened.job is not None and "pump_flap" in opened.job.position.machine.covers
    before = told(opened)
    opened.send("done")
    said = told(opened)[len(before):]
    assert opened.job.position.machine.covers == ()
    assert "cap turned tight" in said and said.index("cap turned tight") < said.index("then power")


@pytest.mark.parametrize("opening", [
    "top load washer has a bra wire sticking out thru the basket holes, scrapes",
    "toploader scraping noise, i can see an underwire in the basket hole",
])
def test_a_wire_seen_at_the_door_stops_the_machine(release: Release, opening: str) -> None:
    """The stop comes with the first answer, and nothing that is asked then runs."""
    chat = visit(release, opening)
    assert facts(chat, "result")["tub_gap_look"] == "found"
    assert "Leave it unplugged until that is out" in told(chat)
    assert chat.job is not None and chat.job.question is not None
    assert chat.job.question.kind == "finding" or power_of_question(chat) != "run"


@pytest.mark.parametrize("opening", [
    "top load washer wont stop filling, if you unplug it it stops",
    "toploader overfills, stops when i pull the plug",
])
def test_that_the_plug_stops_the_water_is_not_asked_again(release: Release, opening: str) -> None:
    """Told with the complaint, it is the answer to the first question about it."""
    assert facts(visit(release, opening), "result")["plug_out_fill"] == "stops"


@pytest.mark.parametrize(("opening", "check", "result"), [
    ("top load washer stops at random, comes back by itself", "stops_how", "random"),
    ("front loader doesnt spin only with the dog blanket", "load_ask", "one_heavy"),
    ("front load soap stays in the drawer since the valve was changed", "history", "worked_on"),
])
def test_what_the_first_line_says_of_it_is_kept(release: Release, opening: str, check: str, result: str) -> None:
    """How it stops, what was in it, what somebody did to it: said once, it is not asked."""
    assert facts(visit(release, opening), "result")[check] == result


def test_a_good_element_of_240_volts_is_good(release: Release) -> None:
    """28 ohms is 2,000 watts on 240 volts; judged by 120 volts it would be far too high."""
    chat = visit(release, "front load washes cold, its got a heater inside", "no code", "all at once", "good on both")
    chat.send("heater 28 ohm, its a 240 volt 2000 watt one")
    assert facts(chat, "result")["heater_ohms"] == "good"
