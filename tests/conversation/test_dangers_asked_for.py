"""A check that asks for a danger is answered by it; what is said in passing, and is none, stops no visit."""

from __future__ import annotations

import pytest

from bot.conversation.job import Phase
from tests.conversation.test_burners_joints_and_doubts import results
from tests.conversation.test_plain_yes import at


@pytest.mark.parametrize(("text", "kind"), [
    ("bites like an electric fence but just while its cookin", "with_unit"),
    ("tingles even when everythings off", "always")])
def test_how_the_shock_was_is_filed_and_the_machine_made_dead(release, text, kind):
    """The result has its own instruction; the alarm would only have said that nobody answered."""
    chat = at(release, "range", "shock_kind", complaint="oven_no_heat")
    chat.send(text)
    assert results(chat)["shock_kind"] == kind and chat.job.phase is not Phase.HAZARD
    assert chat.job.position.machine.stays_dead
    assert any("Breaker off now" in said.text for said in chat.latest)


@pytest.mark.parametrize("text", [
    "i just got a tingle off it", "got zapped off the oven door", "my hand tingles from it",
    "static shock or a real one?"])
def test_who_gets_a_shock_now_is_seen_to_first(release, text):
    chat = at(release, "range", "shock_kind", complaint="oven_no_heat")
    chat.send(text)
    assert chat.job.phase is Phase.HAZARD


@pytest.mark.parametrize(("text", "out"), [
    ("just a short whiff of gas when it lights, gone in a second, nothing otherwise", False),
    ("short whiff of gas when it lights and it lingers", True), ("whiff of gas, lights with a whoomp", True),
    ("gas smell before it lights, 3 tries", True), ("smells of gas down low", True)])
def test_a_whiff_as_it_lights_is_what_the_nose_was_asked_for(release, text, out):
    """Anything that lasts, or lights late, sends everybody out."""
    chat = at(release, "range", "gas_smell_now", complaint="oven_no_heat")
    chat.send(text)
    assert (chat.job.phase is Phase.HAZARD) is out


@pytest.mark.parametrize(("check", "text", "out"), [
    ("gas_kind_look", "same gas i'm pretty sure", False),
    ("gas_kind_look", "checked both, propane and propane. hose new", False),
    ("gas_kind_look", "both propane, and it smells of gas in here", True),
    ("gas_valve_handle", "gas valve handle is in line with the pipe", False),
    ("gas_valve_handle", "handle is in line, raw gas by the valve", True), ("gas_kind_look", "cust says gas", True),
    ("gas_kind_look", "gas filling the oven cavity up", True), ("gas_valve_handle", "i taste gas", True)])
def test_gas_that_is_only_named_sends_nobody_out(release, check, text, out):
    """Where it comes out, somebody smells or hears it; where nobody says which, everybody goes."""
    chat = at(release, "range", check, complaint="flame_yellow_or_weak")
    chat.send(text)
    assert (chat.job.phase is Phase.HAZARD) is out


@pytest.mark.parametrize(("text", "stops"), [
    ("rushes in, shuts off. they had a flood last year, not today", False),
    ("cut my hand on such a panel years ago, careful now. it fills good", False),
    ("fills good, but i cut my hand on the panel today", True)])
def test_a_danger_of_years_ago_is_over(release, text, stops):
    chat = at(release, "dishwasher", "fill_listen", complaint="no_fill")
    chat.send(text)
    assert (chat.job.phase is Phase.HAZARD) is stops
