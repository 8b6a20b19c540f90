"""'A few ohms', 'under 1': the result that is plainly meant, and no figure that nobody read."""

from __future__ import annotations

import pytest

from bot.conversation.questions.vague import without_figure
from bot.language.answers.answer import answer


def heard(release, family, check, text):
    """What the words say without a figure."""
    entry = release.knowledge.packs[family].checks[check]
    return without_figure(entry, text, answer(release.index, family, check, text).heard, {})


@pytest.mark.parametrize(("family", "check", "text", "result"), [
    ("front_load_washer", "brush_motor_ohms", "a few ohms", "good"),
    ("front_load_washer", "brush_motor_ohms", "brushes read a few ohms", "good"),
    ("front_load_washer", "brush_motor_ohms", "over 200", "high"),
    ("top_load_washer", "cord_ohms", "all ok under 1", "good"),
    ("top_load_washer", "cord_ohms", "less than half an ohm", "good"),
    ("top_load_washer", "shifter_ohms", "couple of k", "good"),
    ("dryer", "thermal_fuse_ohms", "under 0.5", "closed")])
def test_a_band_is_filed_as_what_it_means(release, family, check, text, result):
    """In words, as it was said."""
    assert heard(release, family, check, text).result == result


@pytest.mark.parametrize("text", ["3 ohm", "about 3", "just under 3 ohm", "2 to 5"])
def test_a_figure_stays_one(release, text):
    """What the meter showed is kept as it is."""
    assert heard(release, "front_load_washer", "brush_motor_ohms", text) is None


def test_where_two_results_may_be_meant_it_is_asked(release):
    """Under 20 ohm, an element may be good or shorted."""
    found = heard(release, "dryer", "element_ohms", "under 20")
    assert found.result is None and len(found.near) > 1


def test_no_number_stands_in_the_log(chat_of):
    """The senior reads no measurement that was none."""
    chat = chat_of()
    chat.send("electric dryer wont heat, tumbles")
    chat.send("thermal fuse reads under 0.5 ohm")
    told = [fact for fact in chat.job.standing("result") if fact.subject == "thermal_fuse_ohms"]
    assert [(fact.value, fact.number) for fact in told] == [("closed", None)]
