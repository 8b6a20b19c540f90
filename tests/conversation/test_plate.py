"""Watts in a message: what a heating element can be, and nothing else."""

import pytest

from bot.conversation.plate import watts_in


@pytest.mark.parametrize(("text", "watts"), [
    ("9 ohm across the 5400w element", 5400), ("2.1 kW", 2100), ("element says 5400 watts", 5400), ("2,6kw", 2600),
    ("its 240 v", None), ("50000w", None), ("wont spin", None), ("20w lamp", None)])
def test_watts_are_found(text, watts):
    """Numbers with watts behind them, in the range of household elements."""
    assert watts_in(text) == watts
