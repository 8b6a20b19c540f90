"""Timers that jobs set. One that comes due leaves here and enters the inbox in the same transaction: exactly once."""

from __future__ import annotations

import sqlite3
from datetime import datetime

from bot.conversation.effects import SetTimer
from bot.conversation.events import Due
from bot.conversation.ids import derive
from bot.store import inbox
from bot.store.jobs import dump_data, load_data
from bot.store.stamps import instant, instant_or_none, stamp


def put(conn: sqlite3.Connection, timer: SetTimer, set_by: str) -> None:
    """Set a timer; one of the same id is moved. `set_by` is the event whose step set it."""
    conn.execute(
        "INSERT INTO timers (id, job, person, conversation, at, name, data, set_by) VALUES (?, ?, ?, ?, ?, ?, ?, ?)"
        " ON CONFLICT (id) DO UPDATE SET job = excluded.job, person = excluded.person,"
        " conversation = excluded.conversation, at = excluded.at, name = excluded.name, data = excluded.data,"
        " set_by = excluded.set_by",
        (timer.id, timer.job, timer.person, timer.conversation, stamp(timer.at), timer.name, dump_data(timer.data),
         set_by))


def cancel(conn: sqlite3.Connection, timer: str, now: datetime) -> None:
    """Forget a timer, also if it came due and nobody has handled that yet."""
    conn.execute("DELETE FROM timers WHERE id = ?", (timer,))
    inbox.drop_due(conn, timer, now)


def any_due(conn: sqlite3.Connection, now: datetime) -> bool:
    """Whether a timer is due."""
    return conn.execute("SELECT 1 FROM timers WHERE at <= ? LIMIT 1", (stamp(now),)).fetchone() is not None


def next_due(conn: sqlite3.Connection) -> datetime | None:
    """When the next timer comes due."""
    return instant_or_none(conn.execute("SELECT min(at) FROM timers").fetchone()[0])


def fire(conn: sqlite3.Connection, now: datetime, limit: int) -> int:
    """Turn timers that are due into events; returns how many. A second setting of a timer is a second event."""
    rows = conn.execute("SELECT id, job, person, conversation, at, name, data, set_by FROM timers WHERE at <= ?"
                        " ORDER BY at, id LIMIT ?", (stamp(now), limit)).fetchall()
    for timer, job, person, conversation, at, name, data, set_by in rows:
        conn.execute("DELETE FROM timers WHERE id = ?", (timer,))
        due = Due(id=derive("due", timer, set_by, at), at=instant(at), person=person, conversation=conversation,
                  timer=timer, name=name, job=job, data=load_data(data))
        inbox.insert(conn, due, now)
    return len(rows)
