"""Dryers and dishwashers in a hurry: what is denied, read in one breath, told with the part, or taken back."""

from __future__ import annotations

import pytest

from bot.conversation.job import Phase
from bot.conversation.release import Release
from tests.conversation.test_as_it_was_meant import at_each
from tests.conversation.test_dryers_and_dishwashers_told import asked, said
from tests.conversation.test_hearing_all import asked as asked_together
from tests.conversation.test_told_beside import facts, visit


@pytest.mark.parametrize("text", [
    "both on, level, not hot", "on, cool, not slack", "all good there both handles on not hot"])
def test_a_breaker_that_is_not_hot_sends_nobody_to_an_electrician(release: Release, text: str) -> None:
    """What is denied is never filed."""
    assert facts(visit(release, "dryer no heat, elec", text), "result")["panel_look"] == "set"


@pytest.mark.parametrize("text", [
    "element 10.4, cutoff OL, other one 0", "10.4 n the cutoff reads OL, limit 0", "element 10.5 cutoffs OL",
    "element good 10.4. limits: first 0, one next to it OL", "10.4, limit 0, OL on the one next to it",
    "element 10.4 hi limit 0 cut off OL"])
def test_an_open_cutoff_beside_a_good_limit_is_kept(release: Release, text: str) -> None:
    """Of two in a row the one that reads OL counts, in whatever order they are told."""
    chat = asked_together(release, "electric dryer no heat", "element_ohms", "high_limit_ohms")
    chat.send(text)
    assert facts(chat, "result") == {"element_ohms": "good", "high_limit_ohms": "open"}


@pytest.mark.parametrize("text", [
    "no the rollers are fine", "rollers r good, its only the belt", "nah the rollers spin fine"])
def test_a_part_called_fine_after_all_takes_its_result_back(release: Release, text: str) -> None:
    """'Rollers worn' was a slip; nobody buys them."""
    chat = at_each(release, "dryer squeals", "drum_support", "noise_place")
    chat.send("rollers")
    chat.send(text)
    assert facts(chat, "result")["drum_support"] == "sound"


def test_the_lid_that_was_shut_after_all(release: Release) -> None:
    """A bare no and another result of what was noted last."""
    chat = visit(release, "soap pod still in the lil door every time, dishwasher")
    chat.send("nah the lid is shut w the pod in it")
    assert facts(chat, "result")["soap_how"] == "shut"


@pytest.mark.parametrize(("opening", "look"), [
    ("dryer dead no lights nothin, plug got warm cust says", "outlet_look"),
    ("dishwasher wont start, plug under sink was hot", "outlet_look"),
    ("dryer runs n heats fine but cord is hot, stops mid cycle", "terminal_block_look")])
def test_a_plug_or_cord_that_gets_hot_is_looked_at_dead_first(release: Release, opening: str, look: str) -> None:
    """It gets no power until somebody has looked."""
    chat = visit(release, opening)
    assert "a good one never gets hot" in said(chat)
    assert asked(chat) == (look,)


def test_a_burnt_plug_is_followed_to_the_other_end(release: Release) -> None:
    """Both ends of a cord that ran hot."""
    chat = visit(release, "dryer quits after 10 min n the plug is hot", "pins r brown n one slot melted")
    assert facts(chat, "result") == {"outlet_look": "burnt"}
    assert asked(chat) == ("terminal_block_look",)


@pytest.mark.parametrize("text", [
    "got one, cust says ok", "have 2 in the truck, cust ok w it", "got it in the van n customer said go ahead"])
def test_a_yes_told_with_the_part_is_not_asked_again(release: Release, text: str) -> None:
    """The price was on the table."""
    chat = visit(release, *LIGHTS_ONCE, signoffs=["gas"])
    assert chat.job is not None and chat.job.phase is Phase.FINDING
    chat.send(text)
    assert chat.job.phase is Phase.REPAIR and "the customer says yes" in said(chat)


@pytest.mark.parametrize("text", ["got one", "got one, cust says no", "got one, she wants to think about it"])
def test_without_a_plain_yes_the_price_is_asked(release: Release, text: str) -> None:
    """A no or a maybe is no yes."""
    chat = visit(release, *LIGHTS_ONCE, signoffs=["gas"])
    chat.send(text)
    assert chat.job is not None and chat.job.phase is not Phase.REPAIR


LIGHTS_ONCE = ("gas dryer lites first time then goes cold after few mins, igniter glows again but no flame",
               "warm, then cold", "turns, warm", "from one day to the next")


@pytest.mark.parametrize("text", [
    "no no i mean the belt part, drum belt, its in my van", "nobody got a shock, its the drum belt"])
def test_a_belt_taken_for_a_shock_is_asked_back_and_leaves_the_visit_as_it_was(release: Release, text: str) -> None:
    """While a danger stands no other question takes its place."""
    chat = visit(release, "dryer motor runs, drum dont turn, drum spins dead easy by hand", "got a belt off it", text)
    assert chat.job is not None and chat.job.question is not None and chat.job.question.kind == "slip"
    chat.send("never was")
    assert chat.job.phase is Phase.FINDING and not facts(chat, "danger")
    assert facts(chat, "result")["drum_by_hand"] == "free"


def test_nobody_hurt_after_all(release: Release) -> None:
    """An injury can be taken back like any other danger."""
    chat = visit(release, "dishwasher, cust got hurt", "nobodys hurt mate, machines cold")
    assert chat.job is not None and chat.job.question is not None and chat.job.question.kind == "slip"


@pytest.mark.parametrize(("opening", "result"), [
    ("dryer wont start just hums", ("watch_run", "hums")), ("dryer wont start it just buzzes", ("watch_run", "hums")),
    ("dryer dead no lights nothin", ("any_life", "dead")),
    ("dryer wont start, panel lit up tho", ("any_life", "alive_no_start")),
    ("elec dryer turns fine stays cold", ("watch_run", "tumbles_cold")),
    ("dryer drum wont turn, heats fine", ("watch_run", "runs_no_tumble")),
    ("gas dryer, flame lights once then wont relight", ("burner_watch", "once")),
    ("dryer drum wont turn, drum spins dead easy by hand", ("drum_by_hand", "free")),
    ("top rack comes out filthy bottom ok, dishwasher", ("dirty_where", "one_rack")),
    ("dishwasher bottom rack is fine top rack still dirty", ("dirty_where", "one_rack"))])
def test_what_a_first_line_shows_is_not_asked(release: Release, opening: str, result: tuple[str, str]) -> None:
    """Signs of life, what the run does, which rack."""
    assert result in facts(visit(release, opening), "result").items()


@pytest.mark.parametrize("opening", ["dryer quits after 10 min", "dryer quits after 10 min n the plug is hot"])
def test_a_time_after_which_it_quits_is_no_return_when_cool(release: Release, opening: str) -> None:
    """Whether it comes back was not told."""
    assert "stop_pattern" not in facts(visit(release, opening), "result")


def test_a_switch_read_both_ways_reports_no_door_that_wont_latch(release: Release) -> None:
    """A good reading is no trouble."""
    chat = visit(release, "dishwasher wont start lights come on", "latch switch 0 ohm shut OL open, good")
    assert facts(chat, "result") == {"any_life": "alive_no_start", "latch_ohms": "closes"}
    assert set(facts(chat, "complaint")) == {"wont_start"}


@pytest.mark.parametrize(("opening", "text", "result"), [
    ("dishwasher wont fill", "water valve gets 120", ("output_volts", "full")),
    ("dishwasher wont drain", "drain pump getting 120 n wont turn", ("output_volts", "full")),
    ("dishwasher full of water at end", "pumps hard in bucket", ("drain_stream", "free")),
    ("dishwasher leaves soap", "dispenser door stuck", ("soap_how", "shut"))])
def test_what_is_told_of_another_part_goes_there(release: Release, opening: str, text: str,
                                                 result: tuple[str, str]) -> None:
    """Volts at a part are none of the connection box."""
    assert result in facts(visit(release, opening, text, signoffs=["live"]), "result").items()


def test_a_wet_switch_is_not_switched_on(release: Release) -> None:
    """The name of the part alone answers nothing."""
    assert "wall_switch" not in facts(visit(release, "dishwasher dead", "switch is wet"), "result")


@pytest.mark.parametrize("text", ["left handle sits lower, flicked it n now it heats", "pushed it off n on n got heat"])
def test_a_handle_that_was_flicked_is_the_breaker_that_was_asked_for(release: Release, text: str) -> None:
    """It heats now: what was it, is known."""
    chat = visit(release, "dryer turns but wont heat, elec", text)
    assert facts(chat, "result")["panel_look"] == "tripped"


BELT = ("motor runs u can hear it but drum dont turn, drum spins dead easy by hand. dryer", "all sound, belts snapped")


@pytest.mark.parametrize("text", ["got a belt", "have a belt here", "got a drum belt on the van"])
def test_the_part_by_its_name_is_the_part_in_hand(release: Release, text: str) -> None:
    """Where a belt is to be fitted, 'got a belt' hurts nobody."""
    chat = visit(release, *BELT, text)
    assert chat.job is not None and chat.job.phase is Phase.CONSENT
    assert "electric_shock" not in facts(chat, "complaint")


@pytest.mark.parametrize(("text", "phase"), [
    ("got a belt off the cabinet", Phase.HAZARD), ("dont have one", Phase.CONSENT),
    ("gotta order a belt", Phase.CONSENT)])
def test_a_belt_that_was_felt_and_one_that_is_lacking_are_other_matters(release: Release, text: str,
                                                                       phase: Phase) -> None:
    """One is a shock, the other an order."""
    chat = visit(release, *BELT, text)
    assert chat.job is not None and chat.job.phase is phase
    if phase is Phase.CONSENT:
        assert chat.job.question is not None and chat.job.question.data.get("to_order")


def test_a_yes_told_while_something_is_still_looked_at_stands(release: Release) -> None:
    """The price was named with the finding, and nobody is told that the part went in before they said yes."""
    chat = visit(release, "electric dryer no heat, tumbles fine", "both on, not hot", "element 10.4, fuse 0",
                 "limit 0 cutoff OL", "got em on the van, cust ok w the price")
    assert "the customer says yes" in said(chat)
    assert chat.job is not None and chat.job.position.agreed
