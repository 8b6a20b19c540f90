"""What waits for somebody today, as in the morning list."""

from __future__ import annotations

from datetime import timedelta

from adapters.pages.web import Answer, Asked, Page
from bot.review.daily import RECENT, weekly


def show(asked: Asked) -> Answer:
    """Open visits and those whose end leaves something to do, with the week in five lines."""
    house = asked.house
    now = house.clock()
    waiting = [w for w in house.store.waiting() if w.ended is None or now - w.ended < RECENT]
    return Page("today.html", {"waiting": waiting, "people": house.store.names(), "names": house.today(), "now": now,
                               "week": weekly(house.store, house.today(), now), "parked": house.store.parked(),
                               "late": timedelta(days=5)})
