"""Instants as the store keeps them: UTC, ISO 8601 to the microsecond, so that text order is time order."""

from __future__ import annotations

from datetime import UTC, datetime


def stamp(at: datetime) -> str:
    """`at` (with a time zone) as text."""
    return at.astimezone(UTC).isoformat(timespec="microseconds")


def instant(text: str) -> datetime:
    """The instant that `stamp` wrote."""
    return datetime.fromisoformat(text)


def stamp_or_none(at: datetime | None) -> str | None:
    """`at` as text, if there is one."""
    return None if at is None else stamp(at)


def instant_or_none(text: str | None) -> datetime | None:
    """The instant that `stamp` wrote, if there is one."""
    return None if text is None else datetime.fromisoformat(text)
