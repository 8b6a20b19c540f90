"""The figures of a period; each opens the visits behind it."""

from __future__ import annotations

from datetime import timedelta

from adapters.pages.filters import MOST_JOBS, day
from adapters.pages.web import Answer, Asked, Page
from bot.review.figures import SHARES, figures

USUAL = timedelta(days=92)


def show(asked: Asked) -> Answer:
    """The figures of the last three months, or of the period, machine and person that were asked for."""
    query, house = asked.query, asked.house
    names = house.today()
    since = day(query.get("since"), house.zone)
    until = day(query.get("until"), house.zone, after=1)
    if since is None and not query.get("all"):
        since = (until or house.clock()) - USUAL
    family, tech = query.get("family") or None, query.get("tech") or None
    found = figures(house.store, names, since, until, family=family, tech=tech)
    crew = [p for p in house.store.crew().values() if p.role == "junior"]
    kept = {key: query[key] for key in ("since", "until", "family", "tech", "all") if query.get(key)}
    return Page("figures.html", {
        "f": found, "names": names, "people": house.store.names(), "shares": SHARES, "since": since, "until": until,
        "kept": kept, "crew": crew, "behind": behind,
        "settles": found.settles if len(found.settles) <= 16 else (*found.settles[:8], *found.settles[-8:])})


def behind(jobs: tuple[str, ...]) -> str:
    """The address of the list of these visits (the newest ones, if they are very many)."""
    return f"/?jobs={','.join(jobs[-MOST_JOBS:])}"
