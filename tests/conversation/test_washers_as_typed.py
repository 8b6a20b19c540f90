"""Washers as they are typed: suspicions, one word for an answer, a shrug, and what goes without saying."""

from __future__ import annotations

import pytest

from bot.conversation.firm import Person
from bot.conversation.job import Phase
from bot.conversation.release import Release
from bot.diagnosis.evidence import Belief, Decision, Evidence, Option, Situation
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM
from tests.conversation.test_washers_told import facts, told, visit


def test_a_suspicion_known_by_what_a_look_shows_is_looked_at(release: Release) -> None:
    """No part of ours is called a check valve: it is what is stuck in the hose between tub and pump."""
    chat = visit(release, "front loader wont drain", "could be the check valve")
    assert chat.job is not None and chat.job.question is not None
    assert "blocked hose between tub and pump" in told(chat) and chat.job.question.checks[0] == "cap_flow"


@pytest.mark.parametrize(("opening", "line"), [
    ("top loader wont spin", "could be the check valve"), ("top loader wont spin", "maybe the thingamajig")])
def test_a_suspicion_on_something_unknown_is_heard_and_what_is_asked_comes_first(
        release: Release, opening: str, line: str) -> None:
    """It is neither missed nor a 'can't tell'."""
    chat = visit(release, opening, line)
    assert "Could be. This first" in told(chat) and "don't follow" not in told(chat)
    assert "watch_spin" not in facts(chat, "declined")


def test_shocks_are_shock_absorbers(release: Release) -> None:
    """A part by its short name."""
    assert "worn shock absorbers" in told(visit(release, "front loader shakes", "could be bad shocks"))


def test_new_is_an_answer_where_it_is_asked(release: Release) -> None:
    """And elsewhere the next machine."""
    chat = visit(release, "front load sounds like a jet on spin", "knocks", "new")
    assert facts(chat, "result")["history"] == "moved"
    chat.send("new")
    assert "Next machine" in told(chat)


@pytest.mark.parametrize("line", ["shipping bolts still in", "transit bolts still in"])
def test_bolts_that_are_in_are_seen_bolts_whatever_is_asked(release: Release, line: str) -> None:
    """Not a tub that does not move; and nobody is sent to push it down first."""
    chat = visit(release, "front loader bounces all over", line)
    assert facts(chat, "result") == {"shipping_look": "bolts"} and chat.job is not None
    assert chat.job.position.repair == "shipping_bolts.left_in"


def test_a_motor_that_hums_under_a_still_basket_is_no_noise_of_its_own(release: Release) -> None:
    """It is what the run showed."""
    chat = visit(release, "top loader motor hums drum dont move")
    assert "noisy" not in facts(chat, "complaint") and facts(chat, "result") == {"watch_wash": "hums"}


def test_no_water_comes_at_the_hose_of_a_silent_pump(release: Release) -> None:
    """So a bucket under it is no question."""
    chat = visit(release, "front loader wont drain", "silent")
    assert chat.job is not None and chat.job.question is not None
    assert chat.job.question.checks[0] not in {"drain_end_bucket", "false_full"}


def test_one_dunno_is_asked_another_way_before_a_senior_comes(release: Release) -> None:
    """The second one is taken at its word."""
    def once(model: object, evidence: Evidence, belief: Belief, situation: Situation, keep: str | None) -> Decision:
        best = Option("handoff", "handoff", 120.0, 120.0) if "bounce_test" in situation.declined else Option(
            "check", "bounce_test", 1.0, 1.0)
        return Decision(best, (best,))

    chat = Chat(release, Person("rui", "Rui"), FIRM, adviser=once)
    for line in ("front loader shakes in spin", "dunno"):
        chat.send(line)
    assert chat.job is not None and chat.job.question is not None
    assert chat.job.question.checks == ("bounce_test",) and "Another way to tell" in told(chat)
    chat.send("dunno")
    after = chat.job
    assert after is not None and after.phase is Phase.HANDED_OFF


def test_one_of_two_troubles_cured_is_asked_after_no_more(release: Release) -> None:
    """'Drains now but still no spin': the pump is done with, the spin is what is left."""
    chat = visit(release, "front loader wont spin or drain, filter packed cleaned it", "drains now but still no spin")
    assert set(facts(chat, "complaint")) == {"no_spin"} and "no_drain" in facts(chat, "denied")
    assert chat.job is not None and chat.job.question is not None
    assert chat.job.question.checks[0] not in {"pump_sound", "filter_look", "drain_end_bucket"}


def test_off_balance_is_shaking_and_no_cracked_ring(release: Release) -> None:
    """Nor is water that comes when it drains seen at the drain pipe."""
    assert facts(visit(release, "top loader off balance"), "result") == {}
    assert facts(visit(release, "top loader leaks when it drains"), "result") == {"leak_when": "drain"}


@pytest.mark.parametrize(("code", "about"), [("drain code", "drain"), ("fill code", "water"), ("drain error", "drain")])
def test_a_code_is_no_word_that_it_works(release: Release, code: str, about: str) -> None:
    """'Shows drain code' tells what the code is about, and not that it drains."""
    chat = visit(release, f"front loader shows {code}")
    assert facts(chat, "denied") == {} and facts(chat, "result") == {"code_ask": about}


def test_no_code_is_heard_whatever_is_asked(release: Release) -> None:
    """The look at the door stays open."""
    chat = visit(release, "front loader wont start door clicks n opens again", "no code")
    assert facts(chat, "result")["code_ask"] == "none" and "don't follow" not in told(chat)


@pytest.mark.parametrize(("opening", "result"), [
    ("top loader no water comes in, got 120 on the valve when it calls", "full"),
    ("front loader no water comes in, 118 at the inlet valve while filling", "full"),
    ("front loader wont drain, 0 volts at the pump when its draining", "none")])
def test_volts_read_while_the_machine_calls_for_a_part_are_its_volts(
        release: Release, opening: str, result: str) -> None:
    """A bare 120 is no ohms there."""
    assert facts(visit(release, opening), "result") == {"output_volts": result}


@pytest.mark.parametrize("line", ["open both ways w meter", "reads open lid up or down"])
def test_an_open_switch_on_the_meter_is_no_lid_that_opens(release: Release, line: str) -> None:
    """Nobody said a word on the lid's letting go."""
    assert "lid_wont_unlock" not in facts(visit(release, "top loader washes drains no spin", line), "denied")


def test_the_word_volts_is_no_shock(release: Release) -> None:
    """Said to '120 what?'."""
    chat = visit(release, "top loader no water comes in, valve coil reads 120", "volts")
    assert "electric_shock" not in facts(chat, "complaint")


def test_brushes_that_are_stubs_are_no_good_brushes(release: Release) -> None:
    """Nor a motor that reads high."""
    assert facts(visit(release, "front loader drum wont turn", "motor brushes are stubs"), "result") == {
        "brushes_look": "worn"}


def test_play_is_play_and_no_knock_of_the_drum_turned_by_hand(release: Release) -> None:
    """Asked how it turns, the tech tells what it does when he lifts it."""
    chat = visit(release, "front load sounds like a jet on spin", "play when i lift the drum yeah")
    assert facts(chat, "result").get("drum_play") == "clunks" and "drum_by_hand" not in facts(chat, "result")


def test_water_that_runs_away_as_it_comes_is_a_trouble_and_nothing_works(release: Release) -> None:
    """It is no fill that is fine; no list of troubles is asked, and what is told of the
    hose is heard."""
    chat = visit(release, "TL fills n drains same time never gets full")
    assert facts(chat, "denied") == {} and chat.job is not None and chat.job.question is not None
    assert chat.job.question.kind == "check"
    chat.send("hose stuffed down the standpipe taped tight")
    assert facts(chat, "result")["standpipe_look"] == "deep"
    chat.send("pulled it up, ok now")
    assert chat.job.question is not None and chat.job.question.kind in {"cause", "proof"}


def test_a_fill_hose_that_pours_is_no_drain(release: Release) -> None:
    """Of a machine that gets no water."""
    chat = visit(release, "top loader no water comes in", "hose pours strong in a bucket")
    assert facts(chat, "result") == {"tap_flow": "strong"}


def test_a_look_told_at_the_question_for_the_build_is_kept(release: Release) -> None:
    """Named whole, and not as it should be."""
    chat = visit(release, "front loader was smoking a bit but stopped, spins now wont agitate", "unplugged yes",
                 "motor brushes are stubs")
    assert facts(chat, "result") == {"brushes_look": "worn"}
