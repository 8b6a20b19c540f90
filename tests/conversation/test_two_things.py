"""Two troubles announced in one line: both are kept, said back, looked at in turn, and handed over together."""

from __future__ import annotations

import pytest

from bot.conversation.job import Outcome
from bot.language.complaints.two_things import troubles_announced

TWO = "top load washer 2 things. loud like a jet in spin n wont take cold"


@pytest.mark.parametrize("opening", [TWO, "toploader, couple of issues: roars in spin and wont take cold"])
def test_the_second_waits_and_is_said_back(chat_of, opening):
    """One is looked into, the other is not lost."""
    chat = chat_of()
    said = str(chat.send(opening))
    assert [fact.subject for fact in chat.job.standing("complaint")] == ["noisy"]
    assert chat.job.position.later == ("wrong_temperature",)
    assert "comes second" in said


def test_it_is_kept_where_the_machine_is_named_after_it(chat_of):
    """What was said before the family was known counts as much."""
    chat = chat_of()
    chat.send("2 things. roars like a jet n wont take cold")
    assert chat.job.family is None
    chat.send("top load washer")
    assert chat.job.position.later == ("wrong_temperature",)


def test_asked_after_it_says_that_it_is_kept(chat_of):
    """The open question stays."""
    chat = chat_of()
    chat.send(TWO)
    asked = chat.job.question.checks
    said = str(chat.send("what about the cold water thing"))
    assert "I have it" in said and chat.job.question.checks == asked


def test_the_open_tap_does_not_settle_it(chat_of):
    """The temperature was not looked at yet."""
    chat = chat_of()
    chat.send(TWO)
    chat.send("the cold tap is open and hot works")
    assert "wrong_temperature" not in {fact.subject for fact in chat.job.standing("denied")}


def test_both_stand_in_the_hand_over(chat_of):
    """A senior reads of the water too."""
    chat = chat_of()
    chat.send(TWO)
    said = str(chat.send("senior"))
    assert "unusual noise, wrong water temperature" in said


def test_it_is_not_closed_as_fixed_while_that_waits(chat_of):
    """'Fixed already' is said of the first alone."""
    chat = chat_of()
    for text in (TWO, "stop", "fixed already"):
        chat.send(text)
    assert chat.job.outcome is Outcome.NOT_FIXED


@pytest.mark.parametrize(("text", "pieces"), [
    ("2 things. loud in spin n wont take cold", ["loud in spin", "wont take cold"]),
    ("dos cosas: chilla y no calienta", ["chilla", "no calienta"]), ("washes ok but wont spin", [])])
def test_only_what_is_announced_is_taken_apart(text, pieces):
    """A line with 'and' in it may tell one trouble."""
    assert troubles_announced(text) == pieces
