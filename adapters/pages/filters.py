"""From a page's query to a filter of visits, and back to words."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from adapters.pages.web import Asked
from bot.store.review_rows import Filter

KEYS = ("since", "until", "tech", "family", "fault", "outcome", "handed_off", "came_back", "wrong", "mark", "q", "jobs",
        "all")
MOST_JOBS = 400


def chosen(asked: Asked) -> Filter:
    """The filter that the query states; what it states wrongly is left out."""
    query = asked.query
    mark = query.get("mark")
    return Filter(
        since=day(query.get("since"), asked.house.zone), until=day(query.get("until"), asked.house.zone, after=1),
        tech=query.get("tech") or None, family=query.get("family") or None, fault=query.get("fault") or None,
        outcome=query.get("outcome") or None, handed_off=query.get("handed_off") or None,
        came_back=query.get("came_back") == "1", wrong=query.get("wrong") == "1",
        mark=mark if mark in {"good", "wrong", "training"} else None,  # type: ignore[arg-type]
        jobs=tuple(each for each in query.get("jobs", "").split(",") if each)[:MOST_JOBS],
        seen_by=asked.visitor.seen_by)


def kept(query: Mapping[str, str]) -> dict[str, str]:
    """The part of the query that is a filter."""
    return {key: query[key] for key in KEYS if query.get(key)}


def day(text: str | None, zone: ZoneInfo, *, after: int = 0) -> datetime | None:
    """The beginning of a day (of the day `after` days later) as an instant; None if it is no day."""
    try:
        known = date.fromisoformat(text or "")
    except ValueError:
        return None
    try:
        return datetime.combine(known + timedelta(days=after), time(), zone).astimezone(UTC)
    except OverflowError:
        return None
