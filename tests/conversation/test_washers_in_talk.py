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


@pytest.mark.parametrize(("opening", "check", "result"), [
    ("wont drain tub full of water pump hums its a toploader", "watch_drain", "hums"),
    ("fl washer full of water pump dont make a sound", "pump_sound", "silent"),
    ("front load wont drain pump just buzzes", "pump_sound", "hums"),
    ("toploader agitates fine just wont spin no hum nothing when it gets to spin", "watch_spin", "silent"),
    ("top loader wont spin motor runs but the basket just sits", "watch_spin", "runs_no_spin"),
    ("frontloader drum dont turn at all, motor silent. pump ok", "tumble_watch", "silent"),
    ("front load leaks at the door, gasket got a rip at the bottom", "gasket_look", "torn"),
    ("brand new front loader walks in spin, moved in yesterday", "history", "moved"),
])
def test_what_a_part_does_is_heard_without_marks(release: Release, opening: str, check: str, result: str) -> None:
    """Said in one breath with the trouble, it is not run for again."""
    assert facts(visit(release, opening), "result").get(check) == result


@pytest.mark.parametrize("opening", [
    "front load tumbles no spin", "top loader wont spin basket still as a statue",
    "neither tumbles nor spins, front load",
    "top loader doesnt spin anymore and theres something brown on the floor"])
def test_that_it_does_not_spin_tells_nothing_of_the_motor(release: Release, opening: str) -> None:
    """The bare complaint sounds like 'motor runs, basket stands', and is no word on the motor."""
    assert not {"watch_spin", "spin_watch", "tumble_watch"} & set(facts(visit(release, opening), "result"))


def test_a_full_tub_is_not_spun_to_look_at_its_pump(release: Release) -> None:
    """The pump hums: how it is driven comes next, and no run of the spin."""
    chat = visit(release, "toploader wont drain tub full of water pump hums")
    assert chat.job is not None and chat.job.question is not None and chat.job.question.kind == "variant"
    assert "Run spin only" not in told(chat)


def test_what_was_watched_failing_asks_no_whole_run(release: Release) -> None:
    """It tries to spin and gives up: the tub is pushed down, a damper pulled, and nothing run from start to end."""
    chat = visit(release, "frontloader wont spin, it tries n tries then gives up",
                 "drum bounces like 4 times when i push it")
    assert facts(chat, "result")["bounce_test"] == "bounces"
    assert "Start rinse and spin" not in told(chat)


def test_bolts_that_were_seen_in_a_new_machine_are_it(release: Release) -> None:
    """New since yesterday, and the bolts are still in: the finding says so, and how sure."""
    chat = visit(release, "brand new front loader walks across the floor in spin moved in yesterday. 4 bolts still in")
    assert "about 9 in 10" in told(chat) and "Take the shipping bolts out" in told(chat)


def test_what_brought_it_on_is_no_answer_that_nobody_follows(release: Release) -> None:
    """'City worked on the main' after the question whether anybody worked on the pipes."""
    chat = visit(release, "toploader fills slow on cold hot is fine",
                 "cold screen packed w grit, hot clean, both hoses strong",
                 "city worked on the main last wk")
    assert "Good to know." in told(chat) and "don't follow" not in told(chat)


@pytest.mark.parametrize("text", ["belt good not shiny", "belts good, not glazed", "belt ok not loose"])
def test_a_belt_that_is_good_and_not_bad_has_no_loose_pulley(release: Release, text: str) -> None:
    """What is denied after praise is praise."""
    chat = visit(release, "belt drive toploader plain lid switch timer model, spins real slow", text)
    assert facts(chat, "result").get("belt_grip") == "grips"


def test_a_basket_that_spins_with_towels_is_a_repair_that_held(release: Release) -> None:
    """At the question for the price: put in already, and no slow spin."""
    chat = visit(release, "top load lid lock belt drive has a shifter, wont spin",
                 "motor runs n it agitates, basket dont spin",
                 "belt good grips. fork moves free teeth look good", "actuator reads OL", "got one")
    chat.send("all good basket spins w towels")
    assert "slow_spin" not in facts(chat, "complaint") and "before they said yes" in told(chat)


def test_a_heater_that_it_has_got_is_none_that_was_fitted(release: Release) -> None:
    """'Got a heater in it' is how it is built."""
    chat = visit(release, "front loader wont heat water stays cold got a heater in it")
    assert "Tried already" not in told(chat)


def test_a_lid_that_locks_tells_nothing_of_its_opening(release: Release) -> None:
    """'Lid locks ok' is said back as no lid that unlocks."""
    assert "lid_wont_unlock" not in facts(visit(release, "top load wont spin, lid locks ok n it drains"), "denied")
