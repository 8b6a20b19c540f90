"""What a line says of where the job stands, at the question that is open."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.language.status.status import SURE, Status, chances_at, said_at, weights
from tests.language.labelled_set import rows


@pytest.mark.parametrize(("at", "text", "status"), [
    ("finding", "theres a spare heater behind my seat", Status.PART_HERE),
    ("finding", "warehouse has to send that pump over", Status.ORDER),
    ("finding", "old lady wont spend that on it", Status.DECLINED),
    ("consent", "his landlord foots the bill", Status.COVERED),
    ("consent", "she has to ask her husband tonight", Status.LATER),
    ("consent", "still trying to reach him on the phone", Status.WAIT),
    ("waiting", "courier says not before friday", Status.NOT_COME),
    ("waiting", "they shipped me a valve for the other model", Status.WRONG_PART),
    ("repair", "new igniter is screwed in, havent fired it up", Status.DONE),
    ("repair", "that last bolt just spins and spins", Status.STUCK),
    ("repair", "need another ten minutes for the clamps", Status.WAIT),
    ("proof", "towels come out bone dry", Status.WORKS),
    ("proof", "not one bit different, sits and hums", Status.SAME),
    ("proof", "its on the first fill, give me a bit", Status.UNTESTED),
    ("closing", "everything screwed down, bag is packed", Status.ALL_DONE),
    ("closing", "two screws left on the kick plate", Status.WAIT),
    ("check", "hold on, getting down on my knees", Status.WAIT)])
def test_no_word_of_the_choices_is_needed(at: str, text: str, status: Status) -> None:
    """None of these lines was learned from."""
    assert text not in {row["text"] for row in rows("answers_status")}
    assert said_at(at, text).status is status


@pytest.mark.parametrize(("at", "one", "other"), [
    ("repair", "belt is on", "belt isnt on yet"), ("repair", "fuse is in and it heats", "fuse is in, still cold"),
    ("proof", "drains right out", "wont drain out"), ("proof", "spins again", "quits again"),
    ("consent", "she wants it", "she doesnt want it")])
def test_small_words_decide(at: str, one: str, other: str) -> None:
    """Nearly the same words, and something else."""
    assert said_at(at, one).status is not said_at(at, other).status


@pytest.mark.parametrize("text", ["", "?!", "2", "fghj", "qqq rrr", "ฉันไม่รู้"])
def test_of_what_holds_no_known_word_nothing_is_said(text: str) -> None:
    """A number is a choice, and a slip of wet thumbs is no answer."""
    assert said_at("proof", text).p < SURE


def test_only_what_can_be_meant_there_is_heard() -> None:
    """Nobody orders a part at the closing; what is no question of every visit has nothing of it."""
    assert Status.ORDER not in {status for status, p in chances_at("closing", "have to order it").items() if p > 0.001}
    assert not chances_at("family", "have to order it")


@given(st.sampled_from(sorted(weights().points)), st.text(max_size=200))
def test_chances_add_up_whatever_is_typed(point: str, text: str) -> None:
    """Or there are none."""
    found = chances_at(point, text)
    assert not found or abs(sum(found.values()) - 1.0) < 1e-5
    assert all(0.0 <= p <= 1.0 for p in found.values())
