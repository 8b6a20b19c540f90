"""The readings on their bands, as they go with the brief."""

from dataclasses import replace

import pytest

from bot.conversation.effects import Say, dump_effects, load_effects
from bot.conversation.firm import Person
from bot.conversation.job import Fact
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM

MARTA = Person("marta", "Marta", "senior")
GOOD_ELEMENT = Fact("r1", "result", "element_ohms", "good", 10.9)
HIGH_ELEMENT = Fact("r2", "result", "element_ohms", "high", 34.0)
FUSE = Fact("r3", "result", "thermal_fuse_ohms", "closed", 0.4)
LIMIT = Fact("r4", "result", "high_limit_ohms", "open")
LOOK = Fact("r5", "result", "hood_flap", "weak")


@pytest.fixture
def brief(release):
    """What Marta is sent when Rui, with these facts, writes that."""
    def make(*facts, words="senior"):
        chat = Chat(release, Person("rui", "Rui"), FIRM, crew=(MARTA,))
        chat.send("electric dryer runs but no heat")
        chat.jobs[chat.job.id] = replace(chat.job, facts=(*chat.job.facts, *facts))
        chat.send(words)
        [offer] = [e for e in chat.effects if isinstance(e, Say) and e.to == "marta"]
        chat.press(1, who="marta")
        chat.send("where", who="marta")
        again = [e for e in chat.effects if isinstance(e, Say) and e.to == "marta"][-1]
        assert again.picture == offer.picture or offer.urgent, "the case once more is the same case"
        return offer

    return make


def test_three_readings_make_a_picture(brief):
    """What is wrong stands first, no continuity included; what was seen without an instrument is left to the words."""
    offer = brief(FUSE, LOOK, HIGH_ELEMENT, LIMIT)
    assert [(row.check, row.value, row.hit.verdict) for row in offer.picture.rows] == [
        ("heating element", "34 Ω", "bad"), ("high limit and heater cut-off", "OL", "bad"),
        ("thermal fuse", "0.4 Ω", "good")]


def test_two_readings_make_none(brief):
    """A line of words says as much."""
    assert brief(FUSE, LOOK, HIGH_ELEMENT).picture is None


def test_the_last_reading_of_a_check_counts(brief):
    """Measured again, it stands there once, with the new number; what was taken back is gone."""
    assert brief(HIGH_ELEMENT, FUSE, GOOD_ELEMENT).picture is None
    rows = brief(HIGH_ELEMENT, FUSE, LIMIT, GOOD_ELEMENT).picture.rows
    assert [row.value for row in rows] == ["OL", "0.4 Ω", "10.9 Ω"] or [row.value for row in rows] == [
        "OL", "10.9 Ω", "0.4 Ω"]
    assert brief(GOOD_ELEMENT, replace(FUSE, withdrawn="m9"), LIMIT).picture is None


def test_no_picture_while_there_is_danger(brief):
    """A hazard goes out with words alone, at once."""
    offer = brief(FUSE, HIGH_ELEMENT, LIMIT, words="i smell gas real strong")
    assert offer.urgent and offer.picture is None


def test_what_was_written_down_comes_back(brief):
    """A picture survives being stored."""
    offer = brief(FUSE, HIGH_ELEMENT, LIMIT)
    (kept,) = load_effects(dump_effects((offer,)))
    assert kept.picture == offer.picture
