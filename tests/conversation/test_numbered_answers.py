"""Answers to two checks by their own numbers, and a meter's OL of a part that was not asked for."""

import pytest

from tests.conversation.test_told_beside import facts


def at_the_element(chat_of):
    """A chat that asks for element and fuse in one go."""
    chat = chat_of()
    for line in ("electric dryer no heat", "all set", "turns, cold"):
        chat.send(line)
    assert chat.job.question.checks == ("element_ohms", "thermal_fuse_ohms")
    return chat


@pytest.mark.parametrize("text", ["1. OL 2. near zero", "1) OL 2) near zero", "1 OL 2 0", "1: OL  2: 0.1", "OL and 0"])
def test_each_number_gets_what_stands_behind_it(chat_of, text):
    """The 2 counts and is no reading; nothing is asked again."""
    chat = at_the_element(chat_of)
    chat.send(text)
    told = facts(chat, "result")
    assert (told["element_ohms"], told["thermal_fuse_ohms"]) == ("open", "closed")


def test_an_ol_of_another_part_is_not_booked_to_what_is_asked(chat_of):
    """The limit is asked, 'fuse is OL' is told: which one is asked back."""
    chat = at_the_element(chat_of)
    for line in ("10 and 0", "from one day"):
        chat.send(line)
    asked = chat.job.question.checks
    assert "thermal_fuse_ohms" not in asked
    assert "which one do you mean" in str(chat.send("fuse is OL"))
    assert not set(asked) & set(facts(chat, "result"))
