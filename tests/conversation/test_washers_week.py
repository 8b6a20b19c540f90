"""A week of washers in the talk: what is typed of bangs, drips and short fills reaches the check that it answers."""

from __future__ import annotations

import pytest

from bot.conversation.release import Release
from tests.conversation.test_washers_told import facts, power_of_question, told, visit


@pytest.mark.parametrize(("opening", "check", "result"), [
    ("top loader shakes in spin, bangs even empty", "bang_empty", "same"),
    ("front loader bangs in spin, concrete block is cracked", "weight_rock", "loose"),
    ("front loader trips breaker some minutes into a hot wash", "trip_moment", "at_step"),
    ("front loader bangs like crazy in spin, was just delivered last week", "history", "moved"),
    ("top loader shakes, rod in one corner is off", "rod_look", "one_off"),
    ("top loader shows lid error, wont spin", "code_group", "lid"),
    ("top loader sump hose is leaking", "under_look", "sump_hose"),
    ("front load drain pump drips", "under_look", "pump"),
])
def test_the_first_line_tells_it(release: Release, opening: str, check: str, result: str) -> None:
    """Said once, it is not asked."""
    assert facts(visit(release, opening), "result").get(check) == result


@pytest.mark.parametrize(("opening", "seen"), [
    ("front loader bangs in spin, concrete block is cracked", "does not spin before the weight is tight"),
    ("front loader noisy, the big wheel is loose on its shaft, wheel rocks", "a wheel that comes off in spin"),
])
def test_what_could_come_off_stops_the_machine(release: Release, opening: str, seen: str) -> None:
    """The stop comes with the first answer, and what follows is done with the plug out."""
    chat = visit(release, opening)
    assert seen in told(chat)
    assert chat.job is not None and chat.job.question is not None
    assert chat.job.question.kind == "finding" or power_of_question(chat) != "run"


def test_same_bang_empty_and_a_bolt_out_is_the_weight(release: Release) -> None:
    """The tub hangs well, it bangs with nothing in it: the talk comes to the weight, and ends there."""
    chat = visit(release, "front loader bangs even in wash now, since a week, 9 yrs old",
                 "settles at once. bangs the same with nothing in it")
    assert facts(chat, "result")["bang_empty"] == "same" and facts(chat, "result")["bounce_test"] == "settles"
    for line in ("firm", "smooth", "bit by bit", "weight is loose, bolt is out on the left", "whole"):
        chat.send(line)
    assert facts(chat, "result")["weight_rock"] == "loose"
    assert "counterweight" in told(chat) and "Tighten or replace the counterweight" in told(chat)


def test_a_knock_when_the_drum_is_rocked_leads_to_the_pulley(release: Release) -> None:
    """Slack between drum and drive is felt at the door and looked at behind the rear panel."""
    chat = visit(release, "flw knocking once per turn worse in spin", "it knocks when i rock it back and forth", "belt")
    assert facts(chat, "result")["drum_by_hand"] == "knocks"
    assert chat.job is not None and chat.job.question is not None and chat.job.question.checks[0] == "pulley_rock"


def test_a_cracked_pump_stays_with_the_junior(release: Release) -> None:
    """Below, with a light: the pump's own body. A pump is changed, not handed on."""
    chat = visit(release, "top loader leaks on the floor but only when it drains", "pump or hoses", "pump body cracked",
                 "own motor", "nothing")
    assert facts(chat, "result")["under_look"] == "pump"
    assert "Leaking drain pump" in told(chat) and "Replace the drain pump" in told(chat)
    assert "goes to your senior" not in told(chat)


def test_a_pump_that_hums_along_with_loose_blades_is_changed(release: Release) -> None:
    """Filter, cap and hose are free, the blades turn without the shaft."""
    chat = visit(release, "frontloader wont drain", "runs but only a trickle comes out", "nearly clean", "runs out",
                 "free", "turns but the shaft stays")
    assert facts(chat, "result")["pump_impeller"] == "loose"
    assert "impeller loose on its shaft" in told(chat)


def test_a_fill_that_stops_at_four_inches_is_heard_as_that(release: Release) -> None:
    """Not as a dry tub: the level side is looked at, not the coil of the valve."""
    chat = visit(release, "top load fills just a little then starts washing almost dry")
    assert "low" in facts(chat, "result").values() and "no_fill" not in facts(chat, "complaint")


def test_a_drip_at_the_door_seal_is_no_drip_at_the_pump(release: Release) -> None:
    """A second trouble told at the drain's first question: kept, and in its own place."""
    chat = visit(release, "front loader water left in it", "and the door seal drips at the front")
    assert set(facts(chat, "complaint")) >= {"no_drain", "leaks"}
    assert facts(chat, "result").get("leak_place") == "door"
    assert "under_look" not in facts(chat, "result")


def test_a_new_top_loader_that_jumps_is_looked_over_for_its_packing(release: Release) -> None:
    """Delivered last week: what held the tub on the truck is looked for before rods are bought."""
    chat = visit(release, "top loader jumps all over the laundry in spin, bangs even empty", "hangs low one corner",
                 "new, came last week")
    assert facts(chat, "result")["history"] == "moved"
    assert chat.job is not None and chat.job.question is not None and chat.job.question.checks[0] == "restraint_look"
    chat.send("nothing left")
    chat.send("rod in one corner is off")
    assert "Replace the suspension rods or springs" in told(chat)


def test_a_hot_tap_left_shut_is_the_cold_wash(release: Release) -> None:
    """Cold and dirty since they moved in: the tap is named, and neither sensor nor board."""
    chat = visit(release, "front load washes cold and comes out dirty, no heater in it", "hot tap is shut behind it",
                 "just moved in")
    assert facts(chat, "result")["taps_look"] == "shut"
    assert "Get the water supply back" in told(chat)


def test_a_cracked_tub_is_no_cracked_counterweight(release: Release) -> None:
    """Only what is said of a weight is filed of it."""
    for opening in ("front loader shakes, tub is cracked", "front loader noisy, something is cracked"):
        assert "weight_rock" not in facts(visit(release, opening), "result")
