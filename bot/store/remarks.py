"""The owner's marks and notes, and the wordings that were added to the firm's own pack."""

from __future__ import annotations

import sqlite3
from datetime import datetime
from secrets import token_hex

from bot.store.review_rows import Mark, Note, Wording
from bot.store.stamps import instant, instant_or_none, stamp


def marks(conn: sqlite3.Connection, job: str) -> tuple[Mark, ...]:
    """The marks of a visit and of its messages."""
    rows = conn.execute("SELECT job, message, mark, person FROM marks WHERE job = ? ORDER BY at", (job,))
    return tuple(Mark(*row) for row in rows)


def set_mark(conn: sqlite3.Connection, mark: Mark, now: datetime, *, off: bool) -> None:
    """Set or take off; the same twice changes nothing."""
    if off:
        conn.execute("DELETE FROM marks WHERE job = ? AND message = ? AND mark = ?",
                     (mark.job, mark.message, mark.mark))
    else:
        conn.execute("INSERT INTO marks (job, message, mark, person, at) SELECT ?, ?, ?, ?, ? WHERE EXISTS"
                     " (SELECT 1 FROM jobs WHERE id = ?1) ON CONFLICT DO NOTHING",
                     (mark.job, mark.message, mark.mark, mark.person, stamp(now)))


def notes(conn: sqlite3.Connection, job: str) -> tuple[Note, ...]:
    """The notes of a visit, oldest first."""
    rows = conn.execute("SELECT id, job, message, note, person, at FROM notes WHERE job = ? ORDER BY at, id", (job,))
    return tuple(Note(note_id, of, message, note, person, instant(at))
                 for note_id, of, message, note, person, at in rows)


def add_note(conn: sqlite3.Connection, job: str, message: str | None, text: str, person: str | None,
             now: datetime) -> None:
    """Keep a note of a visit that is there."""
    conn.execute("INSERT INTO notes (id, job, message, note, person, at) SELECT ?, ?2, ?, ?, ?, ? WHERE EXISTS"
                 " (SELECT 1 FROM jobs WHERE id = ?2)", (token_hex(10), job, message, text, person, stamp(now)))


def drop_note(conn: sqlite3.Connection, note: str, job: str) -> None:
    """Forget a note."""
    conn.execute("DELETE FROM notes WHERE id = ? AND job = ?", (note, job))


def wordings(conn: sqlite3.Connection, *, undone: bool) -> tuple[Wording, ...]:
    """The wordings, newest first."""
    rows = conn.execute("SELECT id, family, meaning, language, phrase, person, at, undone FROM wordings"
                        " WHERE undone IS NULL OR ? ORDER BY at DESC, id", (int(undone),))
    return tuple(Wording(wording, family, meaning, language, phrase, person, instant(at), instant_or_none(gone))
                 for wording, family, meaning, language, phrase, person, at, gone in rows)


def add_wording(conn: sqlite3.Connection, wording: Wording) -> None:
    """Keep a wording."""
    conn.execute("INSERT INTO wordings (id, family, meaning, language, phrase, person, at)"
                 " VALUES (?, ?, ?, ?, ?, ?, ?)",
                 (wording.id, wording.family, wording.meaning, wording.language, wording.phrase, wording.person,
                  stamp(wording.at)))


def undo_wording(conn: sqlite3.Connection, wording: str, now: datetime) -> bool:
    """Take it back."""
    done = conn.execute("UPDATE wordings SET undone = ? WHERE id = ? AND undone IS NULL", (stamp(now), wording))
    return done.rowcount == 1
