"""The morning list and the weekly digest, as plain texts for a chat. Sending them is the service's matter."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import Final

from bot.review.figures import shares_of
from bot.review.naming import Names, reason
from bot.store.review import ReviewStore
from bot.store.review_rows import Waiting

LATE: Final = timedelta(days=5)
"""A part on order is late after this long, and a visit that ended lately is looked after this long."""
RECENT: Final = timedelta(days=14)
MOST: Final = 6
"""Visits named under one heading; the rest is counted."""


def morning(store: ReviewStore, names: Names, now: datetime, *, seen_by: str | None = None) -> str | None:
    """What somebody has to look after today, in lines; None if there is nothing. `seen_by`: a senior's own list.

    A senior sees what waits to be taken, what is in their hands, and everything unsafe.
    """
    people = store.names()
    waiting = [w for w in store.waiting() if w.ended is None or now - w.ended < RECENT]
    sections = [
        ("Unsafe, tagged", [w for w in waiting if w.unsafe or w.outcome in {"unsafe_tagged", "not_safe"}]),
        ("Waiting for a senior", [w for w in waiting if w.phase == "handed_off" and w.handed_to is None]),
        ("With a senior", [w for w in waiting if w.phase == "handed_off" and w.handed_to is not None
                           and seen_by in (None, w.handed_to)]),
    ]
    if seen_by is None:
        sections += [
            ("Came back", [w for w in waiting if w.back_from is not None and now - w.opened < RECENT]),
            ("Part late", [w for w in waiting if w.ordered_at is not None and now - w.ordered_at > LATE
                           and (w.ended is None or w.outcome == "part_on_order")]),
            ("Declined", [w for w in waiting if w.outcome == "declined"]),
            ("Left not fixed", [w for w in waiting if w.outcome in {"not_fixed", "no_access"}]),
        ]
    lines = [line for heading, visits in sections for line in _section(heading, visits, names, people, now)]
    if seen_by is None and (parked := store.parked()):
        lines.append(f"Messages that could not be worked on: {len(parked)}")
    return "\n".join(lines) if lines else None


def weekly(store: ReviewStore, names: Names, now: datetime) -> str:
    """The last seven days in five lines."""
    visits = store.visit_rows(now - timedelta(days=7), now)
    if not visits:
        return "No visits in the last seven days."
    shares = {figure.key: figure.share for figure in shares_of(visits)}
    ended = [v for v in visits if v.ended is not None]
    families = Counter(v.family for v in visits)
    busiest = ", ".join(f"{names.family(key)} {count}" for key, count in families.most_common(3))
    reasons = Counter(v.offered for v in visits if v.offered is not None)
    why = ", ".join(f"{reason(key)} {count}" for key, count in reasons.most_common(2))
    right, first = shares["right"], shares["first_visit"]
    return "\n".join((
        f"{len(visits)} visits, {len(ended)} ended: {busiest}.",
        f"Fixed on the first visit: {first.count} of {first.total}. Came back: {shares['came_back'].count}.",
        f"First finding right: {right.count} of {right.total} that were proved. "
        f"Repairs that did not cure it: {shares['wrong_part'].count}.",
        f"Handed to a senior: {shares['handed_off'].count}{f' ({why})' if why else ''}.",
        f"Messages not followed: {sum(v.misses for v in visits)}, in {shares['not_followed'].count} visits."))


def _section(heading: str, visits: Sequence[Waiting], names: Names, people: Mapping[str, str],
             now: datetime) -> list[str]:
    if not visits:
        return []
    lines = [f"{heading}: {len(visits)}"]
    for visit in visits[:MOST]:
        who = people.get(visit.handed_to or visit.tech, "")
        days = (now - (visit.ended or visit.touched)).days
        since = "today" if days < 1 else "yesterday" if days == 1 else f"{days} days ago"
        lines.append(f"- {visit.label or names.family(visit.family)} ({who}, {since})")
    if len(visits) > MOST:
        lines.append(f"- and {len(visits) - MOST} more")
    return lines
