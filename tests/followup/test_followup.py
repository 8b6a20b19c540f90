"""After the visit: the place known again, callbacks, parts on order, and whether a repair held."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from bot.conversation.context import Person
from bot.conversation.daytime import in_days
from bot.conversation.job import Outcome, Phase
from bot.conversation.site import site_in
from bot.simulation.chat import Chat
from bot.simulation.transcript import FIRM

OPENING = "toploader belt drive wont spin"


@pytest.fixture
def chat(release):
    """Rui, in a firm that asks after a week whether a repair held."""
    return Chat(release, Person("rui", "Rui"), replace(FIRM, follow_up_days=7, timezone="Europe/Lisbon"))


def until(chat, kind, fault="drive_belt.worn"):
    """Put the talk at a finding on a senior's word, then on to the question of a kind."""
    chat.crew = (Person("marta", "Marta", "senior"),)
    chat.send("senior")
    chat.press(1, who="marta")
    chat.send(f"found {chat.release.knowledge.packs['top_load_washer'].faults[fault].name}", who="marta")
    while chat.job.question.kind != kind:
        chat.press(1)
    return chat


def fixed(chat, opening):
    """A visit that ends as fixed, at the address that the opening names."""
    chat.send(opening)
    until(chat, "closing")
    chat.press(1)
    assert chat.job.outcome is Outcome.FIXED
    return chat.job


@pytest.mark.parametrize(("text", "site"), [
    ("washer at 14 hazel lane wont spin", "14 Hazel Lane"), ("3 Old Mill Rd, dryer cold", "3 Old Mill Rd"),
    ("WO 4711 fridge warm", "work order 4711"), ("top loader 1 belt drive", None), ("5 ohm", None),
    ("3 way valve", None)])
def test_a_site_named_in_passing_is_kept(text, site):
    """An address or a work order, and nothing that only looks like one."""
    assert site_in(text) == site


def test_the_same_address_is_known_again(chat):
    """A new job there within ninety days shows the last fault and tech, and asks whether it is a callback."""
    first = fixed(chat, f"{OPENING} at 14 hazel lane")
    chat.wait(60 * 24 * 20)
    chat.send(f"{OPENING}, 14 Hazel Lane")
    told = chat.wait(0.1)
    assert chat.job.id != first.id
    assert "worn drive belt" in told[-1].text
    assert "Rui" in told[-1].text
    assert told[-1].choices == ("Same trouble", "Something else", "Don't know")


def test_a_callback_is_evidence_and_a_label(chat):
    """'Same trouble' counts the last repair as tried and is not the customer's bill."""
    first = fixed(chat, f"{OPENING} at 14 hazel lane")
    chat.send(f"{OPENING}, 14 Hazel Lane")
    chat.wait(0.1)
    chat.send("same trouble")
    assert chat.records("callback")[-1].data == {"job": first.id, "same": True}
    assert [f.subject for f in chat.job.standing("repaired")] == [first.position.repair]
    assert chat.job.standing("payer")


def test_something_else_goes_on_where_it_stood(chat):
    """Another trouble at the same place: the question that was open is asked again."""
    fixed(chat, f"{OPENING} at 14 hazel lane")
    chat.send(f"{OPENING}, 14 Hazel Lane")
    before = chat.job.question.kind, chat.job.question.checks
    chat.wait(0.1)
    chat.send("2")
    assert (chat.job.question.kind, chat.job.question.checks) == before
    assert chat.job.standing("repaired") == ()


def test_a_part_on_order_is_asked_for_on_its_day(chat):
    """The job waits, says so on the morning the part is due, and resumes with the repair."""
    chat.send(OPENING)
    until(chat, "finding")
    chat.send("order it")
    assert chat.job.question.kind == "plate"
    chat.send("ABC-123 / 999")
    chat.send("in 3 days")
    assert chat.job.phase is Phase.WAITING
    told = chat.wait(60 * 24 * 4)
    assert "should be there today" in told[-1].text
    chat.send("part is here")
    assert chat.job.phase is Phase.REPAIR


def test_after_a_week_it_is_asked_once_whether_it_held(chat):
    """By day in the firm's own zone, never twice; the answer is a label and the job stays closed."""
    fixed(chat, f"{OPENING} at 14 hazel lane")
    told = chat.wait(60 * 24 * 9)
    assert [t.text.count("Did it hold?") for t in told] == [1]
    chat.send("1")
    assert chat.records("proof")[-1].data["held"] is True
    assert chat.records("proof")[-1].data["later"] is True
    assert chat.job.phase is Phase.ENDED
    assert chat.wait(60 * 24 * 30) == []


@pytest.mark.parametrize(("zone", "utc_hour"), [("UTC", 10), ("America/New_York", 14), ("no/such", 10)])
def test_a_decent_hour_is_the_firms_hour(zone, utc_hour):
    """Across the spring change of clocks too; a zone nobody knows counts as UTC."""
    at = in_days(datetime(2026, 3, 7, 23, 30, tzinfo=UTC), 2, 10, zone)
    assert (at.day, at.hour) == (9, utc_hour)
