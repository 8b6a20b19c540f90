"""After the visit: the place known again, callbacks, parts on order, and whether a repair held."""

from dataclasses import replace
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from bot.conversation.crew.daytime import in_days
from bot.conversation.firm import Person
from bot.conversation.job import Outcome, Phase
from bot.conversation.told.site import site_in
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
    chat.send("yes")
    assert chat.job.question.kind == "plate"
    chat.send("ABC-123 / 999")
    chat.send("in 3 days")
    assert chat.job.phase is Phase.WAITING
    told = chat.wait(60 * 24 * 4)
    assert "should be there today" in told[-1].text
    chat.send("part is here")
    assert chat.job.phase is Phase.REPAIR


@pytest.mark.parametrize(("typed", "noted", "day"), [
    ("friday", "Friday", 6), ("in two weeks", "Monday, Mar 16", 16), ("march 5", "Thursday", 5),
    ("3/12", "Thursday, Mar 12", 12), ("they say tuesday week", "Tuesday, Mar 10", 10)])
def test_the_day_of_a_part_is_typed_freely(chat, typed, noted, day):
    """On a Monday in March: read back in words, and asked on that morning at eight where the tech is."""
    chat.tech = replace(chat.tech, timezone="America/Chicago")
    ordered(chat)
    said = chat.send(typed)[-1].text
    assert f"Noted: {noted}. I ask you that morning." in said
    (timer,) = [t for t in chat.timers.values() if t.name == "part_due"]
    there = timer.at.astimezone(ZoneInfo("America/Chicago"))
    assert (there.day, there.hour) == (day, 8)


def test_a_day_that_can_be_two_is_asked(chat):
    """'3/4' on a day in February."""
    chat.now = datetime(2026, 2, 25, 15, 0, tzinfo=UTC)
    ordered(chat)
    said = chat.send("3/4")[-1]
    assert said.choices == ("Wednesday, Mar 4", "Friday, Apr 3", "Don't know")
    assert "Noted: Friday, Apr 3" in chat.press(2)[-1].text


def test_asked_on_the_day_it_is_not_there_yet(chat):
    """'Not yet' asks for another day; a new day typed meanwhile moves the reminder."""
    ordered(chat)
    chat.send("wednesday")
    chat.send("supplier says thursday")
    assert chat.wait(60 * 24 * 2.5) == []
    told = chat.wait(60 * 24)
    assert told[-1].choices == ("Part is here", "Not yet", "Leave the job")
    assert "roughly?" in chat.send("not yet")[-1].text
    assert "Noted: Monday" in chat.send("monday")[-1].text
    assert chat.job.phase is Phase.WAITING
    assert len([t for t in chat.timers.values() if t.name == "part_due"]) == 1


def test_a_reading_while_a_part_is_awaited_is_no_day(chat):
    """'3.5' is a number off a meter."""
    ordered(chat)
    chat.send("friday")
    chat.send("3.5 ohm across the motor by the way")
    assert [t.at.day for t in chat.timers.values() if t.name == "part_due"] == [6]


def ordered(chat):
    """A job at the question for the day."""
    chat.send(f"{OPENING} at 14 hazel lane")
    until(chat, "finding")
    chat.send("order it")
    chat.send("yes")
    chat.send("ABC-123 / 999")
    assert chat.job.question.kind == "due"


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


@pytest.mark.parametrize(("words", "held"), [
    ("yep no calls", True), ("not been back", True), ("customer is happy", True), ("yes all dry", True),
    ("so far so good", True), ("yes still leaks", False), ("yeah came back", False),
    ("still leaking she says", False), ("it came back", False), ("nope", False), ("same thing again", False),
    ("havent heard anything", None), ("dunno", None), ("idk ask the office", None)])
def test_whether_it_held_in_a_techs_words(chat, words, held):
    """Days later he types it as he would say it; what he has not heard is no label."""
    fixed(chat, f"{OPENING} at 14 hazel lane")
    chat.wait(60 * 24 * 8)
    chat.send(words)
    label = chat.records("proof")[-1].data
    assert (label.get("later"), label["held"]) == (True, held)


@pytest.mark.parametrize("words", ["busy", "got it", "dishwasher wont drain again", "yes but noisy now"])
def test_what_says_nothing_of_it_is_no_label(chat, words):
    """Another machine, a nod, a but: neither held nor came back."""
    fixed(chat, f"{OPENING} at 14 hazel lane")
    chat.wait(60 * 24 * 8)
    chat.send(words)
    assert not any(r.data.get("later") for r in chat.records("proof"))
