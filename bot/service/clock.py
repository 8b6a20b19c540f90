"""The wall clock, which the service hands to whoever needs the time."""

from __future__ import annotations

from datetime import UTC, datetime


def utc_now() -> datetime:
    """The time, in UTC."""
    return datetime.now(UTC)
