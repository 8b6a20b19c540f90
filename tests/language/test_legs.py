"""Volts of two legs, breakers half tripped, and the quantity of a number, as they are typed."""

import pytest

from bot.language.answers.half_tripped import half_tripped
from bot.language.answers.legs import legs
from bot.language.answers.measured import is_difference, quantity_of
from bot.language.readings.read import read


@pytest.mark.parametrize(("text", "told"), [
    ("L1 120 L2 118 across 238", "both"), ("208 across", "both"), ("240v between the hots at the wall", "both"),
    ("left slot 120 right slot nothing", "one"), ("both legs 120, zero between them", "one"), ("118 leg to leg", "one"),
    ("entre fases 0, cada fase 120", "one"), ("whole top dead. 118 one leg, 3 other", "one"),
    ("120 each leg", None), ("240 leg to leg but one leg to neutral 0", None), ("should be 240 leg to leg", None),
    ("120 on one leg 0 on the other at the element", None), ("hot to ground 122, hot to neutral zip", None),
    ("121.4 across L1 and neutral", None), ("zero amps on both legs", None),
    ("3 towels under door each morning", None)])
def test_what_the_legs_come_to(text, told):
    """Both there, one missing, or left open."""
    assert legs(text) == told


@pytest.mark.parametrize(("text", "told"), [
    ("one leg of the double pole is off", True), ("breaker in the middle", True), ("half the breaker tripped", True),
    ("breaker not tripped", False), ("one side is off", False), ("clean program tripped the breaker midway", False),
    ("is one half tripped?", False), ("breaker trips halfway through", False)])
def test_half_a_breaker(text, told):
    """Found so, and no breaker that goes while the machine runs."""
    assert half_tripped(text) is told


@pytest.mark.parametrize(("text", "quantity"), [
    ("118 volts at the outlet", "volt"), ("element 9 ohms", "ohm"), ("50 degrees too cold", "temperature"),
    ("igniter pulls 2.6", "amp"), ("each leg 120", "volt"), ("outlet reads 118", None)])
def test_of_what_a_number_is(text, quantity):
    """By its unit, or by words that go with nothing else."""
    assert quantity_of(text) == quantity


def test_how_far_off_is_no_reading():
    """'50 low', 'off by 25'."""
    assert is_difference("oven is 50 deg low") and is_difference("off by about 25")
    assert not is_difference("oven at 325 in the middle")


def test_degrees_are_the_wrong_unit_for_ohms():
    """Of whichever scale they are; beside ohms they tell how warm it was."""
    assert read("ohm", "50 degrees").unit_mismatch
    assert read("ohm", "1080 at 70 degrees").value == 1080
