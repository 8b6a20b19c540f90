"""Hurt wires, mice, a wet floor with a breaker that trips, a smell at the cord: no power first, then the look."""

from __future__ import annotations

import pytest

from bot.language.answers.left_off import found_off
from bot.language.dangers.hurt_wiring import hurt_wiring, mice_in_it, wet_and_trips
from tests.conversation.test_told_beside import facts, visit
from tests.conversation.test_wet_or_tripping import powered

HURT = [
    "electric dryer stops randomly, i found wires chewed by mice under the drum",
    "electric dryer wont start, some wires behind the panel are rubbed bare",
    "oven wont heat, the harness is gnawed through at the back",
    "dishwasher stops midway, wires pinched and cut in two at the hinge"]


def said(chat) -> str:
    """All that the tech was shown."""
    return "\n".join(one.text for one in chat.heard["rui"])


@pytest.mark.parametrize("opening", HURT)
def test_hurt_wires_are_never_followed_by_a_run(release, opening):
    """The plug comes out at once, and whatever is passed on, nothing that is asked puts power on."""
    chat = visit(release, opening)
    assert "It gets no power until those wires are made new" in said(chat)
    for _ in range(5):
        if chat.job is None or chat.job.question is None or chat.job.question.kind != "check":
            break
        assert powered(release, chat.job) == []
        chat.send("skip")


def test_wires_that_were_seen_are_what_the_look_along_them_shows(release):
    """Nobody is asked to look at what he just told of; a customer's word is looked at first."""
    assert facts(visit(release, HURT[0]), "result")["harness_wiggle"] == "bad"
    chat = visit(release, "electric dryer wont start", "customer says mice chewed the wires")
    assert "harness_wiggle" not in facts(chat, "result")
    assert chat.job is not None and chat.job.question is not None
    assert chat.job.question.checks == ("harness_wiggle",)


def test_mouse_droppings_send_the_eyes_along_the_wires_first(release):
    """Gloves, nothing blown out, and the look along the harness before any run."""
    chat = visit(release, "electric dryer no heat", "mouse droppings all over the bottom")
    assert "gloves and mask" in said(chat)
    assert chat.job is not None and chat.job.question is not None
    assert chat.job.question.checks == ("harness_wiggle",)


@pytest.mark.parametrize("opening", [
    "water under the dishwasher on the floor and the breaker trips, floors wet right now",
    "dishwasher leaks and trips the breaker", "top load washer leaks all over, kicks the gfci"])
def test_water_and_a_breaker_that_trips_means_breaker_off(release, opening):
    """Nobody stands in the wet to start it once more; it is said before anything is asked."""
    chat = visit(release, opening)
    assert "breaker off and left off, don't stand in the wet" in said(chat)
    if chat.job is not None and chat.job.question is not None and chat.job.question.kind == "check":
        assert powered(release, chat.job) == []


@pytest.mark.parametrize("text", [
    "door spring cable broke, door drops like a stone", "wire rack is broken", "mouse chewed the drain hose",
    "no broken wires", "wires look good", "the harness was replaced last year"])
def test_what_is_no_hurt_wiring(text):
    """A door's cable, a rack, a hose, what is whole and what was mended."""
    assert not hurt_wiring(text)


def test_what_is_no_wet_floor_and_no_mouse():
    """Current that leaks is no water; 'no mice' is none."""
    assert not wet_and_trips("gfci trips, element leaks to ground")
    assert not wet_and_trips("trips the breaker but floor is dry")
    assert not mice_in_it("no sign of mice in there")


@pytest.mark.parametrize("opening", [
    "electric dryer drum turns but no heat, customer thinks it smells burnt round the back where the cord goes in",
    "electric dryer no heat and it smells scorched by the cord"])
def test_a_nose_at_the_cord_condemns_no_terminal(release, opening):
    """It stays dead, and the cover comes off where the cord comes in: nobody has looked yet."""
    chat = visit(release, opening)
    assert "terminal_block_look" not in facts(chat, "result")
    assert chat.job is not None and chat.job.question is not None
    assert chat.job.question.checks == ("terminal_block_look",)
    assert "Plug out or breaker off" in said(chat)


def test_a_plug_found_off_its_part_is_the_bad_connection(release):
    """'Plug left off the drain pump' is heard in the first message; what was taken off to measure is not that."""
    told = facts(visit(release, "dishwasher wont drain since the last tech, plug left off the drain pump"), "result")
    assert told["harness_wiggle"] == "bad"
    assert found_off("wire was hanging off the thermostat") and not found_off("took the wire off the element, 10 ohms")


def test_a_belt_found_broken_is_not_run_for_three_minutes(release):
    """The look at the belt was made before anything was asked."""
    told = facts(visit(release, "electric dryer drum dont turn, found the belt snapped in the bottom"), "result")
    assert told["belt_look"] == "broken"
