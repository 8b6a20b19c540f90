"""Watts in a message: what a heating element can be, and nothing else."""

import pytest

from bot.conversation.told.plate import volts_in, watts_in


@pytest.mark.parametrize(("text", "watts"), [
    ("9 ohm across the 5400w element", 5400), ("2.1 kW", 2100), ("element says 5400 watts", 5400), ("2,6kw", 2600),
    ("its 240 v", None), ("50000w", None), ("wont spin", None), ("20w lamp", None)])
def test_watts_are_found(text, watts):
    """Numbers with watts behind them, in the range of household elements."""
    assert watts_in(text) == watts


@pytest.mark.parametrize(("text", "volts"), [
    ("28 ohm, its a 240 volt 2000 watt one", 240), ("stamped 1800W 208V, reads 24", 208), ("120v, 1000w", 120),
    ("240 v at the block, element is the 5400w kind", None), ("its 240 v", None), ("5400 watt", None)])
def test_volts_count_where_they_stand_beside_the_watts(text, volts):
    """One stamp gives both; volts alone, or at another place of the sentence, were measured."""
    assert volts_in(text) == volts
