"""A temperature that was asked for, in the degrees that the firm speaks."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bot.conversation.job import Fact
from bot.simulation.chat import Chat
from tests.conversation.test_told_beside import at

DRYER, RANGE = "electric dryer takes too long", "electric oven runs too cold"


def filed(chat: Chat, check: str) -> Fact | None:
    """The result of a check that stands."""
    assert chat.job is not None
    return next((fact for fact in chat.job.standing("result") if fact.subject == check), None)


@pytest.mark.parametrize(("opening", "check", "text", "result"), [
    (DRYER, "exhaust_temp", "150", "normal"), (DRYER, "exhaust_temp", "one forty", "normal"),
    (DRYER, "exhaust_temp", "150 degrees", "normal"), (DRYER, "exhaust_temp", "65 c", "normal"),
    (DRYER, "exhaust_temp", "about 140 to 150", "normal"), (DRYER, "exhaust_temp", "85", "cold"),
    (RANGE, "oven_temp", "350", "right"), (RANGE, "oven_temp", "275", "low"),
    (RANGE, "oven_temp", "180 celsius", "right")])
def test_bare_degrees_are_fahrenheit_where_the_firm_says_so(release, opening, check, text, result):
    """150 at the hood is as it should be, and no fire; who names a scale means it."""
    chat = at(release, check, opening)
    chat.send(text)
    found = filed(chat, check)
    assert found is not None and found.value == result


def test_a_firm_that_speaks_celsius_is_taken_at_its_word(release):
    """65 is the same air."""
    chat = at(release, "exhaust_temp", DRYER)
    chat.firm = replace(chat.firm, temperature="C")
    chat.send("65")
    found = filed(chat, "exhaust_temp")
    assert found is not None and found.value == "normal" and found.number == 65


@pytest.mark.parametrize("text", ["runs 50 degrees low", "about 40 degrees under"])
def test_how_far_it_is_off_is_no_temperature(release, text):
    """The oven is not at 50 degrees: the word tells, not the number."""
    chat = at(release, "oven_temp", RANGE)
    chat.send(text)
    found = filed(chat, "oven_temp")
    assert found is None or (found.value == "low" and found.number is None)
