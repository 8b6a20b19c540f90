"""Hours and days as people type them, and who is on duty at an instant, over the changes of the clock."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.conversation.crew.dates import FARTHEST, days_in
from bot.conversation.crew.duty import is_on, morning_of, next_on, read_hours, tomorrow
from bot.conversation.firm import Firm, Person

FIRM = Firm(timezone="America/Chicago")
FRIDAY = date(2026, 11, 27)


def at(text, zone="America/Chicago"):
    """An instant by the clock of a place."""
    return datetime.fromisoformat(text).replace(tzinfo=ZoneInfo(zone)).astimezone(UTC)


@pytest.mark.parametrize(("typed", "kept"), [
    ("mon-fri 7-17", "mon-fri 07:00-17:00"), ("Mon-Fri 7:30-17, Sat 8-12", "mon-fri 07:30-17:00, sat 08:00-12:00"),
    ("weekdays 7-5", "mon-fri 07:00-17:00"), ("7am to 5pm", "mon-sun 07:00-17:00"),
    ("mon, wed and fri 8-16", "mon+wed+fri 08:00-16:00"), ("sat 22-6", "sat 22:00-06:00"),
    ("monday to friday 7 to 5 pm", "mon-fri 07:00-17:00"), ("mon-fri 8-24", "mon-fri 08:00-00:00"),
    ("always", None), ("5 ohm", None), ("mon-fri 25-3", None), ("", None), ("mon-fri", None), ("8-8", None)])
def test_hours_as_they_are_typed(typed, kept):
    """Read, or refused; never guessed."""
    assert read_hours(typed) == kept
    assert kept is None or read_hours(kept.replace("+", ", ")) == kept


@pytest.mark.parametrize(("typed", "days"), [
    ("friday", ["2026-12-04"]), ("by friday", ["2026-12-04"]), ("in two weeks", ["2026-12-11"]),
    ("dec 3", ["2026-12-03"]), ("3rd of December", ["2026-12-03"]), ("3/12", ["2026-12-03"]), ("12/3", ["2026-12-03"]),
    ("3/4", ["2027-03-04", "2027-04-03"]), ("25/12", ["2026-12-25"]), ("2026-12-05", ["2026-12-05"]),
    ("tomorrow", ["2026-11-28"]), ("next monday", ["2026-11-30"]), ("monday week", ["2026-12-07"]),
    ("supplier says tuesday", ["2026-12-01"]), ("a couple of days", ["2026-11-29"]), ("the 5th", ["2026-12-05"]),
    ("el viernes", ["2026-12-04"]), ("3.12.", ["2026-12-03"]), ("in 3 days", ["2026-11-30"]),
    ("3.12", []), ("5 ohm", []), ("may be", []), ("feb 30", []), ("no idea", []), ("yesterday", []), ("5", []),
    ("sun rises", []), ("in 900 weeks", [])])
def test_a_day_as_it_is_typed(typed, days):
    """On a Friday in November. What can be two near days is both; a reading is no day."""
    assert [day.isoformat() for day in days_in(typed, FRIDAY)] == days


@given(st.text(max_size=40), st.dates(date(2020, 1, 1), date(2040, 1, 1)))
def test_a_day_is_never_over_and_never_far(text, today):
    """Whatever is typed: no error, and only days to come."""
    assert all(today <= day <= today + FARTHEST for day in days_in(text, today))


@given(st.dates(date(2020, 1, 1), date(2040, 1, 1)), st.integers(0, 300))
def test_a_day_written_out_is_that_day(today, ahead):
    """By its ISO form and by its month, from any day."""
    day = today + timedelta(days=ahead)
    assert days_in(day.isoformat(), today) == (day,)
    assert day in days_in(f"{day:%B} {day.day}", today)


MARTA = Person("marta", "Marta", "senior", hours="mon-fri 07:00-17:00")


@pytest.mark.parametrize(("when", "on"), [
    ("2026-03-06T06:59", False), ("2026-03-06T07:00", True), ("2026-03-06T16:59", True), ("2026-03-06T17:00", False),
    ("2026-03-07T10:00", False),
    ("2026-03-09T07:00", True), ("2026-03-09T06:59", False),  # the clocks went forward on Sunday
    ("2026-11-02T07:00", True), ("2026-11-02T06:59", False), ("2026-11-02T17:00", False)])  # and back
def test_hours_follow_the_clock_on_the_wall(when, on):
    """Seven in the morning is seven in the morning, in summer and in winter, in the firm's zone if none is said."""
    assert is_on(MARTA, at(when), FIRM) is on


def test_hours_are_by_their_own_clock():
    """João works from Lisbon for a firm in Chicago."""
    joao = Person("joao", "João", "senior", hours="mon-fri 08:00-16:00", timezone="Europe/Lisbon")
    assert is_on(joao, at("2026-03-06T08:00", "Europe/Lisbon"), FIRM)
    assert not is_on(joao, at("2026-03-06T12:00"), FIRM)


def test_off_today_ends_at_midnight_and_back_is_at_the_next_shift():
    """Also on the night that has an hour twice."""
    saturday = at("2026-10-31T12:00")
    off = Person("m", "Marta", "senior", hours="mon-sun 07:00-17:00", off_until=tomorrow(MARTA, saturday, FIRM))
    assert off.off_until == at("2026-11-01T00:00")
    assert next_on(off, saturday, FIRM) == at("2026-11-01T07:00")
    assert next_on(MARTA, at("2026-03-06T18:00"), FIRM) == at("2026-03-09T07:00")


def test_a_night_shift_goes_over_midnight():
    """'sat 22-6' is on duty on Sunday at three."""
    night = Person("n", "Nuno", "senior", hours="sat 22:00-06:00")
    assert is_on(night, at("2026-03-15T03:00"), FIRM)
    assert not is_on(night, at("2026-03-14T03:00"), FIRM)


@given(st.datetimes(datetime(2025, 1, 1), datetime(2027, 1, 1), timezones=st.just(UTC)),
       st.sampled_from(["", "mon-fri 07:00-17:00", "sat 22:00-06:00", "mon+wed 02:30-03:30"]),
       st.sampled_from(["UTC", "America/Chicago", "Europe/Lisbon", "Pacific/Auckland", "no/such"]))
def test_next_on_is_on(now, hours, zone):
    """Whatever the day: the instant that is promised is one of duty, unless the clock skips the whole shift."""
    person = Person("p", "P", "senior", hours=hours, timezone=zone)
    on = next_on(person, now, FIRM)
    assert on is not None
    assert on >= now
    assert is_on(person, on, FIRM) or hours == "mon+wed 02:30-03:30"


def test_a_morning_is_the_persons_own():
    """Who begins at six is asked at six, who has no hours at eight."""
    early = Person("e", "E", hours="mon-fri 06:00-14:00")
    assert morning_of(date(2026, 3, 6), early, FIRM, 8) == at("2026-03-06T06:00")
    assert morning_of(date(2026, 3, 7), early, FIRM, 8) == at("2026-03-07T08:00")
    assert morning_of(date(2026, 3, 6), Person("x", "X"), FIRM, 8) == at("2026-03-06T08:00")
