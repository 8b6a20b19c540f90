"""Instants at a decent hour in the firm's own time zone."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError


def in_days(now: datetime, days: int, hour: int, timezone: str) -> datetime:
    """UTC instant of `hour` o'clock in `timezone`, `days` days from today. An unknown zone counts as UTC."""
    try:
        zone = ZoneInfo(timezone)
    except (ZoneInfoNotFoundError, ValueError):
        zone = ZoneInfo("UTC")
    there = now.astimezone(zone)
    day = (there + timedelta(days=days)).date()
    return datetime(day.year, day.month, day.day, hour, tzinfo=zone).astimezone(UTC)
