"""'I told you' goes with what was told."""

from __future__ import annotations

import pytest

from bot.conversation.told.told_you import without_told_you
from bot.simulation.chat import Chat

OVERNIGHT = "toploader keeps filling till it spills"


def results(chat: Chat) -> dict[str, str]:
    """Check -> result that stands."""
    return {fact.subject: fact.value for fact in chat.job.standing("result")}


@pytest.mark.parametrize("text", ["i said that already", "told you", "no, i told you already",
                                  "like i said, keeps filling"])
def test_what_was_told_before_answers_what_is_asked(chat_of, text):
    """The first line says that it keeps filling; nobody has to say it twice."""
    chat = chat_of()
    chat.send(OVERNIGHT)
    asked = chat.job.question.checks[0]
    assert asked not in results(chat)
    said = chat.send(text)
    assert asked in results(chat)
    assert "don't follow" not in str(said)


@pytest.mark.parametrize(("text", "left"), [
    ("no i told you it fills when its off", "it fills when its off"), ("like i said, bit by bit", "bit by bit"),
    ("5.2 ohm, i already said that", "5.2 ohm"), ("i told you", "i told you"),
    ("customer told me it leaks", "customer told me it leaks"),
    (".9 M", ".9 M"), ("like i said, .9 M", ".9 M"), ("i told you -18 C", "-18 C")])
def test_the_rest_of_the_line_is_what_counts(text, left):
    """What is left is heard as if it stood alone; what others told is told."""
    assert without_told_you(text) == left
