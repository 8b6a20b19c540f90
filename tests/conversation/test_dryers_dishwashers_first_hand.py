"""Dryers and dishwashers by a tech who tells what he has in hand: out of order, in two words, put right as he goes."""

from __future__ import annotations

import pytest

from bot.conversation.job import Phase
from bot.conversation.release import Release
from tests.conversation.test_dryers_and_dishwashers_told import asked, said
from tests.conversation.test_told_beside import at, facts, visit

HALF_OFF = ("drum spins no heat elec, got 120 one side 0 on th other at the wall",
            "one half sits in the middle. put it full off n on, stayed")


@pytest.mark.parametrize("text", ["heat is back tho, reading 240 now", "did the breaker already, 240 now",
                                  "reset, hot air now"])
def test_a_breaker_found_half_off_is_put_right_and_proved(release: Release, text: str) -> None:
    """Nobody opens the cord's cover for a handle that stood in the middle, and the reset is no trip."""
    chat = visit(release, *HALF_OFF, signoffs=["live"])
    assert chat.job is not None and chat.job.question is not None and chat.job.question.kind == "finding"
    chat.send(text)
    assert chat.job.phase is Phase.PROOF and "trips_breaker" not in facts(chat, "complaint")


def test_a_breaker_that_did_not_bring_it_back_leads_to_the_cord(release: Release) -> None:
    """Reset and still cold: a burnt lug looks the same."""
    assert asked(visit(release, *HALF_OFF, "reset it, still cold", signoffs=["live"])) == ("terminal_block_look",)


@pytest.mark.parametrize("text", ["gonna turn the gas back on now", "turned the gas back on", "gas valves back open"])
def test_gas_let_back_in_is_no_smell(release: Release, text: str) -> None:
    """Only who smells or hears it goes out."""
    assert not facts(visit(release, "gas dryer no heat", text, signoffs=["gas"]), "danger")
    hissing = visit(release, "gas dryer no heat", f"{text} and its hissing", signoffs=["gas"])
    assert facts(hissing, "danger") == {"gas": ""}


@pytest.mark.parametrize("opening", [
    "gas dryr no heat drum turns fine no glow seen", "gas dryer tumbles, glow bar never comes on"])
def test_no_glow_told_at_the_door_is_not_watched_again(release: Release, opening: str) -> None:
    """On to the igniter's ohms; and an open one needs no word on how it began."""
    chat = visit(release, opening, signoffs=["gas"])
    assert facts(chat, "result")["burner_watch"] == "no_glow" and "igniter_ohms" in asked(chat)
    chat.send("igniter ol")
    assert chat.job is not None and chat.job.position.fault == "igniter.open"


@pytest.mark.parametrize(("text", "check", "result"), [
    ("hose was squashed flat full of lint", "duct_look", "blocked"), ("vent hose full of lint", "duct_look", "blocked"),
    ("bird nest at the roof cap", "duct_look", "blocked"), ("screens ok", "lint_screen_look", "clear")])
def test_another_part_seen_is_filed_on_its_own_look(release: Release, text: str, check: str, result: str) -> None:
    """Lint in the hose is none in the blower."""
    chat = at(release, "blower_look")
    chat.send(text)
    assert facts(chat, "result") == {check: result}


@pytest.mark.parametrize("opening", [
    "takes 3 cycles to dry towels. blows warm, vent flap barely opens", "clothes take forever, flap only cracks open"])
def test_a_flap_that_hardly_opens_is_weak_air(release: Release, opening: str) -> None:
    """And no broken part."""
    chat = visit(release, opening)
    assert facts(chat, "result")["hood_flap"] == "weak" and "part_broken" not in facts(chat, "complaint")


@pytest.mark.parametrize("text", ["turns free", "spins easy", "drum turns easy by hand"])
def test_a_drum_that_only_turns_easy_is_asked_about(release: Release, text: str) -> None:
    """Easy is what many call a drum that is well, and the belt may be off."""
    chat = at(release, "drum_by_hand", "dryer hums wont start")
    chat.send(text)
    assert "drum_by_hand" not in facts(chat, "result") and "two ways" in said(chat)


def test_no_plate_is_no_reading_of_a_motor(release: Release) -> None:
    """'No' to something else is never 'far off'."""
    chat = at(release, "motor_windings", "dryer hums wont start")
    chat.send("no plate")
    assert "motor_windings" not in facts(chat, "result")


@pytest.mark.parametrize("opening", [
    "dryer bangs n rumbles, pulled it apart, one roller has a chunk out", "dryer bangs, drum roller is cracked"])
def test_a_hurt_roller_is_no_broken_handle(release: Release, opening: str) -> None:
    """The finding comes at once."""
    chat = visit(release, opening)
    assert chat.job is not None and chat.job.position.fault == "drum_rollers.worn"


@pytest.mark.parametrize(("opening", "result"), [
    ("dw full of water after cycle, pump runs. new garbage disposal last wk", "runs_no_flow"),
    ("dishwasher wont drain pump just hums", "hums")])
def test_what_the_pump_does_is_told_with_the_trouble(release: Release, opening: str, result: str) -> None:
    """A named pump that runs, or hums, is not listened to again."""
    assert facts(visit(release, opening), "result")["pump_sound"] == result


@pytest.mark.parametrize("texts", [
    ("dishwasher dead", "starts if i lean on the door"), ("dishwasher only runs if i hold the door shut",),
    ("dw stops when u bump it, door seems shut but lights out till u push it",)])
def test_what_runs_by_a_push_on_the_door_is_the_latch(release: Release, texts: tuple[str, ...]) -> None:
    """A start by a push is no start."""
    told = facts(visit(release, *texts), "result")
    assert told["latch_push"] == "only_pushed" and told.get("any_life") != "starts"


def test_a_dishwasher_that_rocks_is_looked_at_so(release: Release) -> None:
    """Loose under the counter, the latch loses its strike."""
    chat = visit(release, "dishwasher wont start, machine isnt screwed in n rocks")
    assert facts(chat, "result")["level_door"] == "loose"


@pytest.mark.parametrize("text", ["gfci was tripped, reset it", "gfi on the counter was popped, pushed it n it holds"])
def test_a_protected_outlet_found_popped_is_the_panels(release: Release, text: str) -> None:
    """It is no complaint that it trips, and no box is opened for it."""
    chat = visit(release, "dishwasher dead no lights", text)
    assert facts(chat, "result")["panel_look"] == "tripped" and "trips_breaker" not in facts(chat, "complaint")
    assert chat.job is not None and chat.job.position.fault == "supply.no_power"


def test_how_often_it_was_reset_is_no_moment(release: Release) -> None:
    """Three resets say nothing of when it goes."""
    chat = at(release, "trip_moment", "dishwasher trips the breaker")
    chat.send("reset it 3 times")
    assert "trip_moment" not in facts(chat, "result")


@pytest.mark.parametrize("text", ["its a dishwasher dude", "dishwasher", "nah its the dishwasher"])
def test_the_bare_name_of_another_machine_puts_it_right(release: Release, text: str) -> None:
    """At a finding for a washer too; the trouble told before goes on."""
    chat = visit(release, "leaks out the front corner mid wash, lots of foam", text)
    assert chat.job is not None and chat.job.family == "dishwasher" and "leaks" in facts(chat, "complaint")


@pytest.mark.parametrize(("check", "text"), [
    ("leak_step", "front is dry"), ("leak_step", "its dry under there"), ("leak_place", "no water under there")])
def test_one_dry_place_is_no_answer_to_where_it_leaks(release: Release, check: str, text: str) -> None:
    """Neither that it leaks there, nor that it does not leak."""
    chat = at(release, check, "dishwasher leaks")
    chat.send(text)
    assert check not in facts(chat, "result")


def test_dry_towels_prove_a_burner(release: Release) -> None:
    """They are no new complaint."""
    chat = visit(release, "gas dryer no heat, igniter doesnt glow", "igniter ol", "got em", "yes", "done. new one in",
                 "burns every time now thru 3 cycles, towels dry", signoffs=["gas"])
    assert chat.job is not None and chat.job.phase is Phase.CLOSING
