"""The readings on their bands, as they go with the brief."""

from bot.conversation.context import Person
from bot.conversation.effects import Say, dump_effects, load_effects
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM

MARTA = Person("marta", "Marta", "senior")
RUI = Person("rui", "Rui")
READINGS = ("heating element 34 ohm", "thermal fuse reads 0.4 ohm", "cycling thermostat 0.3 ohm")


def briefs(release, *words):
    """What Marta was sent when Rui asked for her after these words, and once more when she asked for the case."""
    chat = Chat(release, RUI, FIRM, crew=(MARTA,))
    for said in ("electric dryer runs but no heat", "3", *words, "senior"):
        chat.send(said)
    chat.press(1, who="marta")
    chat.send("the case", who="marta")
    sent = [e for e in chat.effects if isinstance(e, Say) and e.to == "marta" and len(e.texts) > 2]
    assert len(sent) == 2, "the offer, and the case once more"
    return sent


def test_three_readings_make_a_picture(release):
    """What is odd stands first; the words of the brief stay as they are."""
    for brief in briefs(release, *READINGS):
        assert [(row.check, row.value, row.hit.verdict) for row in brief.picture.rows] == [
            ("heating element", "34 Ω", "bad"), ("thermal fuse", "0.4 Ω", "good"),
            ("cycling thermostat", "0.3 Ω", "good")]
        assert any(text.key == "brief.odd" for text in brief.texts)


def test_two_readings_make_none(release):
    """A line of words says as much."""
    assert [brief.picture for brief in briefs(release, *READINGS[:2])] == [None, None]


def test_the_last_reading_of_a_check_counts(release):
    """Measured again, it stands there once, with the new number."""
    offer, _ = briefs(release, *READINGS, "heating element 10.9 ohm")
    assert sorted(row.value for row in offer.picture.rows) == ["0.3 Ω", "0.4 Ω", "10.9 Ω"]


def test_no_picture_while_there_is_danger(release):
    """A hazard goes out with words alone, at once."""
    chat = Chat(release, RUI, FIRM, crew=(MARTA,))
    for said in ("electric dryer runs but no heat", "3", *READINGS, "i smell gas real strong"):
        chat.send(said)
    urgent = [e for e in chat.effects if isinstance(e, Say) and e.to == "marta" and e.urgent]
    assert urgent and all(say.picture is None for say in urgent)


def test_what_was_written_down_comes_back(release):
    """A picture survives being stored."""
    offer, _ = briefs(release, *READINGS)
    (kept,) = load_effects(dump_effects((offer,)))
    assert kept.picture == offer.picture
