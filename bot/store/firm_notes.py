"""Notes of the firm: what a senior wrote for the next tech with a fault."""

from __future__ import annotations

import sqlite3
from datetime import datetime
from typing import Final

from bot.conversation.effects import KeepNote
from bot.conversation.firm import FirmNote
from bot.store.stamps import stamp

_VERSION: Final = "firm_notes_version"


def keep(conn: sqlite3.Connection, note: KeepNote, now: datetime) -> None:
    """Keep a note; one of the same id gets these words, or is forgotten if there are none."""
    if not note.text:
        conn.execute("DELETE FROM firm_notes WHERE id = ?", (note.id,))
        changed(conn)
        return
    conn.execute("INSERT INTO firm_notes (id, family, fault, note, person, job, at) VALUES (?, ?, ?, ?, ?, ?, ?)"
                 " ON CONFLICT (id) DO UPDATE SET note = excluded.note",
                 (note.id, note.family, note.fault, note.text, note.person, note.job, stamp(now)))
    changed(conn)


def retire(conn: sqlite3.Connection, number: int, now: datetime) -> bool:
    """Show it no more; false if there is no such note, or it is retired already."""
    done = conn.execute("UPDATE firm_notes SET retired = ? WHERE number = ? AND retired IS NULL", (stamp(now), number))
    changed(conn)
    return done.rowcount == 1


def shown(conn: sqlite3.Connection) -> tuple[FirmNote, ...]:
    """Those that are not retired, newest first."""
    rows = conn.execute("SELECT n.number, n.family, n.fault, n.note, n.person, p.name FROM firm_notes n"
                        " LEFT JOIN persons p ON p.id = n.person WHERE n.retired IS NULL ORDER BY n.number DESC")
    return tuple(FirmNote(number, family, fault, note, person, name or "")
                 for number, family, fault, note, person, name in rows)


def erase(conn: sqlite3.Connection, *, customer: bool) -> None:
    """Of visits that are being erased (table gone_jobs): a customer's notes go, an old visit's lose their visit."""
    if customer:
        conn.execute("DELETE FROM firm_notes WHERE job IN (SELECT id FROM gone_jobs)")
    else:
        conn.execute("UPDATE firm_notes SET job = NULL WHERE job IN (SELECT id FROM gone_jobs)")
    changed(conn)


def version(conn: sqlite3.Connection) -> int:
    """A number that grows with every change."""
    row = conn.execute("SELECT value FROM settings WHERE key = ?", (_VERSION,)).fetchone()
    return int(row[0]) if row else 0


def changed(conn: sqlite3.Connection) -> None:
    """Tell caches that the notes changed."""
    conn.execute("INSERT INTO settings (key, value) VALUES (?, '1')"
                 " ON CONFLICT (key) DO UPDATE SET value = CAST(value AS INTEGER) + 1", (_VERSION,))
