"""A number without its letter, where the meter is on its highest range."""

import pytest

FIRST = "front load trips gfci outlet when it heats"


def insulation(chat):
    """What is on file of the heater to ground."""
    return next((f for f in chat.job.standing("result") if f.subject == "heater_to_ground"), None)


def at_the_heater(chat_of):
    """A chat that asks for the heater to its metal."""
    chat = chat_of()
    chat.send(FIRST)
    chat.send("heater inside")
    assert chat.job.question.checks == ("heater_to_ground",)
    return chat


def test_two_point_two_may_be_megohms(chat_of):
    """Nothing is condemned on a bare 2.2; the M makes it a good one."""
    chat = at_the_heater(chat_of)
    assert "2.2 what?" in str(chat.send("2.2"))
    assert insulation(chat) is None
    chat.send("2.2 M")
    assert insulation(chat).value != "leak" and insulation(chat).number == pytest.approx(2.2e6)


@pytest.mark.parametrize(("text", "ohms"), [(".9 M", 0.9e6), ("40k", 40e3), ("2.5 megohm", 2.5e6), ("12 ohms", 12)])
def test_with_its_letter_it_counts_at_once(chat_of, text, ohms):
    """A dot in front stays: .9 is no 9."""
    chat = at_the_heater(chat_of)
    chat.send(text)
    assert insulation(chat).number == pytest.approx(ohms)


def test_a_digit_that_may_be_a_choice_may_be_megohms_too(chat_of):
    """2 is the second choice, or 2 ohms, or 2 megohms."""
    chat = at_the_heater(chat_of)
    said = str(chat.send("3"))
    assert "3 MΩ" in said and insulation(chat) is None
