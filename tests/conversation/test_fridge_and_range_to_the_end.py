"""Refrigerators and ranges from the finding to the proof, as techs type it: the part, the price, the thermometer."""

from __future__ import annotations

import pytest

from bot.conversation.job import Phase
from tests.conversation.test_told_beside import facts, visit

HEATER = ("both sides warm, back wall of freezer solid frost", "solid block. heater OL")
"""An open defrost heater is named at the end of these, whatever is asked in between."""
SENSOR = ("elec oven runs like 60 hot, everything burns", "display w keys", "sensor 980 ohm")
SWITCH = ("left front burner on coil top stuck on hi no matter where i set it",)


def mended(release, *opening):
    """A visit whose repair is made, at its proof."""
    chat = visit(release, *opening)
    for text in ("1", "cold all over"):
        if chat.job.phase is Phase.CHECKS:
            chat.send(text)
    if chat.job.phase is Phase.CHECKS:
        chat.send(opening[-1])
    for text in ("got one", "yes", "done"):
        chat.send(text)
    assert chat.job.phase is Phase.PROOF
    return chat


@pytest.mark.parametrize("words", [
    "frost looks even and shes pulling down, 4 n 38", "getting cold, 20 in the freezer n dropping", "38 and 2",
    "freezer 4 fridge 39", "no frost, coming down nice", "2 deg n 37, all good"])
def test_a_thermometer_that_falls_proves_a_fridge(release, words):
    """It is no freezer that is warm, and even frost is no frost that builds up."""
    chat = mended(release, *HEATER)
    chat.send(words)
    assert chat.job.phase is Phase.CLOSING


@pytest.mark.parametrize("words", [
    "still 55 in there", "freezer 40 fridge 60", "not dropping", "fridge is at 4", "dropping but its icing up again"])
def test_a_fridge_that_stays_warm_or_freezes_is_not_proved(release, words):
    chat = mended(release, *HEATER)
    chat.send(words)
    assert chat.job.phase is not Phase.CLOSING


def test_water_that_drops_proves_nothing(release):
    """Where water was complained of, dropping is what it does."""
    chat = visit(release, "water under the drawers n a sheet of ice on the freezer floor",
                 "thin frost, ice in the trough", "seal grips good", "thawed it out n flushed w warm water")
    assert chat.job.phase is Phase.PROOF and chat.job.position.fault == "defrost_drain.blocked"
    chat.send("water dropping on the floor")
    assert chat.job.phase is not Phase.CLOSING


@pytest.mark.parametrize("words", ["350 dead on", "swings 340 to 362", "right on the money", "176 c"])
def test_an_oven_that_bakes_as_set_is_proved(release, words):
    chat = mended(release, *SENSOR)
    chat.send(words)
    assert chat.job.phase is Phase.CLOSING


@pytest.mark.parametrize("words", ["410 on the thermometer", "still 410", "its dead"])
def test_an_oven_that_is_off_is_not(release, words):
    chat = mended(release, *SENSOR)
    chat.send(words)
    assert chat.job.phase is not Phase.CLOSING


@pytest.mark.parametrize(("words", "to_order"), [
    ("got the switch", ""), ("have a new infinite switch here", ""), ("need a switch", "yes"), ("get one", "yes"),
    ("dont have the switch", "yes")])
def test_a_part_is_had_or_wanted_by_its_name(release, words, to_order):
    chat = visit(release, *SWITCH, words)
    assert chat.job.question.kind == "consent" and chat.job.question.data["to_order"] == to_order


@pytest.mark.parametrize("words", ["she said yes", "cust is ok w it", "customer says go ahead"])
def test_a_yes_before_the_price_was_asked_is_not_asked_again(release, words):
    """It stands in the finding; the part is still to be had."""
    chat = visit(release, *SWITCH, words)
    assert chat.job.question.kind == "finding" and chat.job.position.agreed
    chat.send("got it")
    assert chat.job.phase is Phase.REPAIR


def test_a_part_by_its_own_name_at_a_finding_is_no_look_at_it(release):
    """'Infinite switch' says what is meant, and not that its contacts are right."""
    chat = visit(release, *SWITCH, "infinite switch")
    assert chat.job.question.kind == "finding" and not facts(chat, "result")


@pytest.mark.parametrize("words", ["unplugged the switch harness n it quit", "pulled the switches and it stopped"])
def test_what_another_look_showed_is_heard_at_a_finding(release, words):
    chat = visit(release, "gas range clicks nonstop since pot boiled over", "lights well", "knobs off", words)
    assert facts(chat, "result")["switch_unplug"] == "stops"
    assert chat.job.position.fault == "spark_switch.wet_or_failed"


@pytest.mark.parametrize("words", ["still locked, cool now. turned breaker off 5 min", "same", "no change"])
def test_a_reset_that_did_not_help_was_tried(release, words):
    """Nothing but time and a breaker was wanted for it."""
    chat = visit(release, "oven door locked since self clean ran last nite", words)
    assert "door_lock.hot_or_not_reset" in facts(chat, "repaired")


@pytest.mark.parametrize("words", ["thawed it out n flushed w warm water", "cleared it with hot water"])
def test_what_a_drain_was_flushed_with_is_not_what_was_mended(release, words):
    chat = visit(release, "water under the drawers n a sheet of ice on the freezer floor",
                 "thin frost, ice in the trough", "seal grips good", words)
    assert chat.job.position.fault == "defrost_drain.blocked"
