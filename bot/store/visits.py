"""What figures and the daily lists are made of."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from bot.store.logbook import CAME_BACK
from bot.store.review_rows import VisitRow, Waiting
from bot.store.stamps import instant, instant_or_none, stamp

_AT_ONCE: Final = 500


@dataclass(frozen=True, slots=True)
class Belief:
    """A traced belief of a visit, with the message or event whose facts led to it."""

    job: str
    event: str
    turn: str
    faults: tuple[tuple[str, float], ...]


def rows(conn: sqlite3.Connection, since: datetime | None, until: datetime | None) -> tuple[VisitRow, ...]:
    """Visits opened from `since` to before `until`, oldest first."""
    found = conn.execute(
        "SELECT j.id, j.tech, j.family, j.opened, j.ended, j.outcome, v.finding, v.finding_p, v.found, v.proved,"
        " v.repair, v.verdict, v.failed, v.ordered, v.unsafe, v.hazard, v.offered, v.taken_by, v.misses, v.wrong,"
        f" j.ended IS NOT NULL AND j.site IS NOT NULL AND {CAME_BACK}"
        " FROM jobs j JOIN visits v ON v.job = j.id WHERE j.opened >= ? AND j.opened < ? ORDER BY j.opened",
        (stamp(since) if since else "", stamp(until) if until else "9"))
    return tuple(VisitRow(
        job, tech, family, instant(opened), instant_or_none(ended), outcome, finding, p, instant_or_none(found_at),
        proved, repair, verdict, failed, bool(ordered), bool(unsafe), hazard, offered, taken, misses, bool(wrong),
        bool(back)) for (job, tech, family, opened, ended, outcome, finding, p, found_at, proved, repair, verdict,
                         failed, ordered, unsafe, hazard, offered, taken, misses, wrong, back) in found)


def beliefs(conn: sqlite3.Connection, jobs: Sequence[str]) -> tuple[Belief, ...]:
    """The beliefs of these visits, each visit's in order."""
    found: list[Belief] = []
    for start in range(0, len(jobs), _AT_ONCE):
        part = jobs[start:start + _AT_ONCE]
        for job, event, message, data in conn.execute(
                "SELECT t.job, t.event, i.event ->> '$.message', t.data FROM traces t JOIN inbox i ON i.id = t.event"
                f" WHERE t.what = 'belief' AND t.job IN ({', '.join('?' * len(part))}) ORDER BY t.job, t.at, t.step",
                tuple(part)):
            faults = tuple((str(fault), float(p)) for fault, p in json.loads(data)["faults"])
            found.append(Belief(job, event, message or event, faults))
    return tuple(found)


def waiting(conn: sqlite3.Connection) -> tuple[Waiting, ...]:
    """Open visits, and ended ones whose end leaves something to do (unsafe and tagged, declined, part on order)."""
    found = conn.execute(
        "SELECT j.id, j.label, j.tech, j.family, j.phase, j.outcome, j.opened, j.touched, j.ended, j.handed_to,"
        " (SELECT max(o.at) FROM offers o WHERE o.job = j.id), v.hazard, v.unsafe,"
        " (SELECT max(r.at) FROM records r WHERE r.job = j.id AND r.what = 'outcome'"
        "   AND r.data ->> '$.outcome' = 'part_on_order'),"
        " (SELECT b.id FROM jobs b WHERE b.site = j.site AND b.family IS j.family AND b.id <> j.id"
        "   AND b.ended < j.opened AND julianday(b.ended) >= julianday(j.opened) - 30 ORDER BY b.ended DESC LIMIT 1)"
        " FROM jobs j JOIN visits v ON v.job = j.id WHERE j.ended IS NULL OR j.outcome IN"
        " ('unsafe_tagged', 'not_safe', 'declined', 'part_on_order', 'not_fixed', 'handed_off', 'no_access')"
        " ORDER BY j.opened")
    return tuple(Waiting(job, label, tech, family, phase, outcome, instant(opened), instant(touched),
                         instant_or_none(ended), handed_to, instant_or_none(offered), hazard, bool(unsafe),
                         instant_or_none(ordered), back)
                 for (job, label, tech, family, phase, outcome, opened, touched, ended, handed_to, offered, hazard,
                      unsafe, ordered, back) in found)
