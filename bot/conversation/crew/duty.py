"""When a person is on duty: working hours, 'off today', 'back on', all in the person's own time zone.

Hours are kept as text, such as 'mon-fri 07:00-17:00, sat 08:00-12:00'; none means always. Instants are UTC.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from typing import Final
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from bot.conversation.effects import Text
from bot.conversation.firm import Firm, Person

DAYS: Final = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
NOON: Final = time(12, 0)
LOOK_AHEAD: Final = 15
"""Days within which somebody with hours is on duty again: a week is enough, two leave room for a long 'off until'."""
WORKING_DAYS: Final = "weekdays"
_DAY: Final = r"(?:weekdays|mon|tues?|wed(?:nes)?|thu(?:rs?)?|fri|sat(?:ur)?|sun)(?:day)?s?"
_CLOCK: Final = r"(?:2[0-4]|[01]?\d)(?:[:.][0-5]\d)?(?:\s?[ap]m)?"
_SPAN: Final = re.compile(
    rf"(?P<days>(?:{_DAY}(?:\s?(?:-|to|till|through)\s?{_DAY})?(?:\s?(?:,|and|&)\s?)?)*)\s*"
    rf"(?P<start>{_CLOCK})\s?(?:-|to|till|until)\s?(?P<end>{_CLOCK})")
_DAYS: Final = re.compile(rf"(?P<first>{_DAY})(?:\s?(?:-|to|till|through)\s?(?P<last>{_DAY}))?")


def zone_of(person: Person, firm: Firm) -> ZoneInfo:
    """The person's time zone. 'UTC', what everybody starts with where nothing is said, stands for the firm's."""
    name = person.timezone if person.timezone not in {"", "UTC"} else firm.timezone
    return zone(name)


def zone(name: str) -> ZoneInfo:
    """The time zone of that name; an unknown one counts as UTC."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return ZoneInfo("UTC")


def read_hours(text: str) -> str | None:
    """Working hours as they are kept, from 'mon-fri 7-17, sat 8-12' or '7am to 5pm'; None if it is something else."""
    left, spans = " ".join(text.lower().replace("–", "-").split()), []
    while left:
        found = _SPAN.match(left)
        if found is None:
            return None
        days, start, end = _days(found["days"]), _clock(found["start"]), _clock(found["end"])
        if start is None or end is None or start == end:
            return None
        if end < start <= NOON and end.hour and "m" not in found["start"] + found["end"]:
            end = end.replace(hour=end.hour + 12)  # '7-5' is a day's work, '22-6' a night's
        spans.append(f"{days} {start:%H:%M}-{end:%H:%M}")
        left = re.sub(r"^\s*(?:[,;]|and)?\s*", "", left[found.end():])
    return ", ".join(spans) or None


def is_on(person: Person, now: datetime, firm: Firm) -> bool:
    """Whether the person is on duty."""
    if person.off_until is not None and now < person.off_until:
        return False
    if person.on_until is not None and now < person.on_until:
        return True
    if not person.on_duty:
        return False
    return not person.hours or any(start <= now < end for start, end in _shifts(person, now, firm))


def next_on(person: Person, now: datetime, firm: Firm) -> datetime | None:
    """From when on the person is on duty (now, if they are); None if nobody can know."""
    if is_on(person, now, firm):
        return now
    since = max(now, person.off_until) if person.off_until is not None else now
    if is_on(person, since, firm):
        return since
    if not person.on_duty:
        return None
    return min((start for start, _ in _shifts(person, since, firm) if start >= since), default=None)


def tomorrow(person: Person, now: datetime, firm: Firm) -> datetime:
    """The midnight that ends the person's day."""
    return start_of((now.astimezone(zone_of(person, firm)) + timedelta(days=1)).date(), person, firm)


def start_of(day: date, person: Person, firm: Firm, hour: int = 0) -> datetime:
    """The instant at which a day has that hour where the person is."""
    return datetime(day.year, day.month, day.day, hour, tzinfo=zone_of(person, firm)).astimezone(UTC)


def morning_of(day: date, person: Person, firm: Firm, hour: int) -> datetime:
    """When the person's day begins: their first hour of duty on that day, or else `hour` o'clock."""
    midnight = start_of(day, person, firm)
    ends = start_of(day + timedelta(days=1), person, firm)
    if person.hours:
        begins = [start for start, _ in _shifts(person, midnight, firm) if midnight <= start < ends]
        if begins:
            return min(begins)
    return start_of(day, person, firm, hour)


def when(at: datetime, reader: Person, now: datetime, firm: Firm) -> Text:
    """An instant as its reader's clock shows it: 'Monday 07:00'."""
    here = zone_of(reader, firm)
    there = at.astimezone(here)
    days = (there.date() - now.astimezone(here).date()).days
    return Text("moment", {"days": days, "day": there.date().isoformat(), "time": f"{there:%H:%M}"})


def _shifts(person: Person, now: datetime, firm: Firm) -> Iterator[tuple[datetime, datetime]]:
    """Begin and end of the shifts from yesterday on, as instants: days of 23 and 25 hours come out right."""
    here = zone_of(person, firm)
    today = now.astimezone(here).date()
    for offset in range(-1, LOOK_AHEAD):
        day = today + timedelta(days=offset)
        for span in person.hours.split(", "):
            days, _, clocks = span.partition(" ")
            start, end = (time.fromisoformat(clock) for clock in clocks.split("-"))
            if _falls_on(days, day):
                last = day if end > start else day + timedelta(days=1)
                yield (datetime.combine(day, start, here).astimezone(UTC),
                       datetime.combine(last, end, here).astimezone(UTC))


def _falls_on(days: str, day: date) -> bool:
    for part in days.split("+"):
        first, _, last = part.partition("-")
        begin, until = DAYS.index(first), DAYS.index(last or first)
        if (day.weekday() - begin) % 7 <= (until - begin) % 7:
            return True
    return False


def _days(text: str) -> str:
    text = text.replace(WORKING_DAYS, "mon-fri")
    parts = [f"{found['first'][:3]}-{found['last'][:3]}" if found["last"] else found["first"][:3]
             for found in _DAYS.finditer(text)]
    return "+".join(parts) or "mon-sun"


def _clock(text: str) -> time | None:
    found = re.fullmatch(r"(\d+)(?:[:.](\d+))?\s?([ap])?m?", text)
    if found is None:
        return None
    hour, minute, half = int(found[1]), int(found[2] or 0), found[3]
    if half is not None:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if half == "p" else 0)
    return time(0, 0) if (hour, minute) == (24, 0) else time(hour, minute) if hour < 24 else None
