"""A visit is closed by the trouble seen gone, not by a run that is still on or by another part that goes."""

from __future__ import annotations

import pytest

from bot.conversation.job import Outcome, Phase


def at_proof(chat_of):
    chat = chat_of()
    for line in ("top loader belt drive, washes ok but wont spin, belt snapped", "new belt on"):
        chat.send(line)
    assert chat.job.question.kind == "proof"
    return chat


@pytest.mark.parametrize("text", ["running it", "giving it a try", "its running now, ill watch it", "ok testing it",
                                  "let it run a bit", "pump runs", "motor works", "panel lights up"])
def test_a_run_that_is_on_or_another_part_closes_nothing(chat_of, text):
    chat = at_proof(chat_of)
    chat.send(text)
    assert chat.job.outcome is None
    assert chat.job.question.kind == "proof"


@pytest.mark.parametrize("text", ["its spinning slow", "spins but weak", "turns real slow"])
def test_a_slow_run_is_no_cure(chat_of, text):
    chat = at_proof(chat_of)
    chat.send(text)
    assert chat.job.phase in {Phase.CHECKS, Phase.FINDING}
    assert chat.job.outcome is None
    assert chat.job.standing("repaired")


@pytest.mark.parametrize("text", ["spins now", "works, ill tell the customer", "motor runs and basket spins",
                                  "spins up good"])
def test_the_trouble_seen_gone_closes_it(chat_of, text):
    chat = at_proof(chat_of)
    chat.send(text)
    assert chat.job.question.kind == "closing"
    assert chat.job.question.data["outcome"] == Outcome.FIXED
