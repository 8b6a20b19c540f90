"""Lines at a check that answer nothing, in words that no list has."""

from __future__ import annotations

import pytest

from tests.conversation.test_repairs_told import after

FIRST = "top load belt drive washer wont spin"


@pytest.mark.parametrize(("line", "kind"), [
    ("lid is bolted shut and the screws are stripped", "cannot"),
    ("somewhere between the two, i honestly couldnt call it", "declined")])
def test_what_cannot_be_made_or_told_is_done_without(chat_of, line, kind):
    """Filed as that, and something else is asked."""
    chat = after(chat_of, FIRST, line)
    assert [fact.subject for fact in chat.job.standing(kind)] == ["watch_spin"]
    assert chat.job.question.checks != ("watch_spin",) and not chat.job.standing("result")


@pytest.mark.parametrize("line", ["wrestling the panel off still, bear with me",
                                  "let me walk round the back first, gimme a minute or so"])
def test_who_is_still_at_it_is_given_time(chat_of, line):
    """The question stays, and nothing is filed."""
    chat = after(chat_of, FIRST, line)
    assert chat.latest[-1].paragraphs == ("Take your time.",) and chat.job.question.checks == ("watch_spin",)
    assert not chat.job.standing("result", "cannot", "declined")


def test_a_result_that_is_plain_goes_before_a_cant(chat_of):
    """'Can't hear a hum, motor is dead silent' is an answer."""
    chat = after(chat_of, FIRST, "cant hear any hum, motor is dead silent")
    assert [(fact.subject, fact.value) for fact in chat.job.standing("result")] == [("watch_spin", "silent")]
