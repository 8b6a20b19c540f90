"""One-time logins of the owner's pages, and the sessions that come of them. Only hashes of keys are kept."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from datetime import datetime

from bot.store.stamps import stamp


@dataclass(frozen=True, slots=True)
class Session:
    """Who is logged in. `person` None: whoever can open the folder, as owner."""

    person: str | None


def add_login(conn: sqlite3.Connection, key_hash: str, person: str | None, now: datetime, expires: datetime) -> None:
    """Keep a login; those that ran out are forgotten."""
    conn.execute("DELETE FROM logins WHERE expires < ?", (stamp(now),))
    conn.execute("INSERT INTO logins (key_hash, person, created, expires) VALUES (?, ?, ?, ?)",
                 (key_hash, person, stamp(now), stamp(expires)))


def use_login(conn: sqlite3.Connection, key_hash: str, session_hash: str, now: datetime, expires: datetime) -> bool:
    """Use a login up and begin a session. The same login twice begins one session."""
    row = conn.execute("UPDATE logins SET used = ? WHERE key_hash = ? AND used IS NULL AND expires >= ?"
                       " RETURNING person", (stamp(now), key_hash, stamp(now))).fetchone()
    if row is None:
        return False
    conn.execute("DELETE FROM sessions WHERE expires < ?", (stamp(now),))
    conn.execute("INSERT INTO sessions (key_hash, person, created, expires) VALUES (?, ?, ?, ?)",
                 (session_hash, row[0], stamp(now), stamp(expires)))
    return True


def session(conn: sqlite3.Connection, session_hash: str, now: datetime) -> Session | None:
    """The session of that hash; None if there is none, it ran out, or its person has left the crew."""
    row = conn.execute("SELECT s.person FROM sessions s LEFT JOIN persons p ON p.id = s.person WHERE s.key_hash = ?"
                       " AND s.expires >= ? AND (s.person IS NULL OR (p.id IS NOT NULL AND p.removed IS NULL))",
                       (session_hash, stamp(now))).fetchone()
    return Session(row[0]) if row else None


def end_session(conn: sqlite3.Connection, session_hash: str) -> None:
    """Forget a session."""
    conn.execute("DELETE FROM sessions WHERE key_hash = ?", (session_hash,))
