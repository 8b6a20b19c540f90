"""What is known of ended visits, to learn from; and what was learned, as it was applied and undone."""

from __future__ import annotations

import json
import sqlite3
from datetime import datetime
from typing import Final

from bot.conversation.job import load_job
from bot.store.logbook import CAME_BACK
from bot.store.review_rows import EndedVisit, LearnedRow, Remark
from bot.store.stamps import instant, instant_or_none, stamp

READ: Final = 4000
"""Visits that are learned from, of each family: the newest. What is older has faded to nothing."""
TELLING: Final = "('proof', 'verdict')"


def ended(conn: sqlite3.Connection, family: str) -> tuple[EndedVisit, ...]:
    """The ended visits of a family with a proof or a senior's verdict, oldest first."""
    rows = conn.execute(
        f"SELECT j.id, j.ended, j.outcome, j.site IS NOT NULL, j.site IS NOT NULL AND {CAME_BACK},"
        " coalesce(v.marked_wrong, 0) > 0, j.state,"
        " (SELECT json_group_array(json_extract(c.data, '$.same')) FROM records c"
        "   WHERE c.what = 'callback' AND c.data ->> '$.job' = j.id)"
        " FROM jobs j LEFT JOIN visits v ON v.job = j.id WHERE j.family = ? AND j.ended IS NOT NULL AND EXISTS"
        f" (SELECT 1 FROM records r WHERE r.job = j.id AND r.what IN {TELLING}) ORDER BY j.ended DESC, j.id LIMIT ?",
        (family, READ)).fetchall()
    found = []
    for job, at, outcome, placed, back, wrong, state, same in reversed(rows):
        try:
            stored = load_job(state)
        except ValueError:  # written by a version whose visits cannot be read any more
            continue
        said = frozenset(None if value is None else bool(value) for value in json.loads(same))
        found.append(EndedVisit(job, instant(at), outcome, bool(placed), bool(back), said, bool(wrong), stored,
                                _records(conn, job)))
    return tuple(found)


def _records(conn: sqlite3.Connection, job: str) -> tuple[Remark, ...]:
    rows = conn.execute("SELECT what, person, data, at, event FROM records WHERE job = ?"
                        f" AND what IN {TELLING} ORDER BY at, rowid", (job,))
    return tuple(Remark(what, person, json.loads(data), instant(at), event) for what, person, data, at, event in rows)


def in_force(conn: sqlite3.Connection) -> int:
    """The number of what is in force; 0 for none."""
    number: int = conn.execute("SELECT coalesce(max(number), 0) FROM learned WHERE undone IS NULL").fetchone()[0]
    return number


def text(conn: sqlite3.Connection, number: int) -> str | None:
    """What was learned under that number."""
    row = conn.execute("SELECT data FROM learned WHERE number = ?", (number,)).fetchone()
    return row[0] if row else None


def history(conn: sqlite3.Connection) -> tuple[LearnedRow, ...]:
    """Every application, newest first."""
    rows = conn.execute("SELECT number, data, person, at, undone FROM learned ORDER BY number DESC")
    return tuple(LearnedRow(number, data, person, instant(at), instant_or_none(undone))
                 for number, data, person, at, undone in rows)


def keep(conn: sqlite3.Connection, data: str, person: str | None, now: datetime) -> int:
    """Put it in force; its number."""
    done = conn.execute("INSERT INTO learned (data, person, at) VALUES (?, ?, ?)", (data, person, stamp(now)))
    return int(done.lastrowid or 0)


def undo(conn: sqlite3.Connection, number: int, now: datetime) -> bool:
    """Take it back, if it is what is in force."""
    done = conn.execute("UPDATE learned SET undone = ? WHERE number = ? AND undone IS NULL"
                        " AND number = (SELECT max(number) FROM learned WHERE undone IS NULL)", (stamp(now), number))
    return done.rowcount == 1
