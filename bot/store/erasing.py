"""Removing a customer, or what is old: rows, words in the index, names elsewhere, and what is left in free space.

What `personal.PERSONAL` lists is where to look. Rows of the visits go as a whole; the customer's name is overwritten
wherever else it stands (a list of open jobs that was shown in another visit, say).
"""

from __future__ import annotations

import json
import re
import sqlite3
import time
from collections.abc import Sequence
from datetime import datetime
from typing import Final

from bot.store import firm_notes
from bot.store.personal import PERSONAL
from bot.store.review_rows import Customer, Erased
from bot.store.stamps import instant_or_none, stamp

PLACEHOLDER: Final = "[erased]"
SHORTEST: Final = 4
"""Letters and digits that a name needs before it is looked for everywhere: '12' would be found in readings."""
_DERIVED: Final = ("messages_fts", "messages_words")
_PATIENCE: Final = 20


def erase(conn: sqlite3.Connection, jobs: Sequence[str], names: Sequence[str], *, customer: bool = True) -> Erased:
    """Delete the visits with everything of theirs, and overwrite `names` in what stays.

    `customer`: they are a customer's, who wants nothing kept; else they are old, and notes of the firm stay.
    """
    conn.execute("CREATE TEMP TABLE gone_jobs (id TEXT PRIMARY KEY)")
    try:
        conn.executemany("INSERT OR IGNORE INTO gone_jobs VALUES (?)", [(job,) for job in jobs])
        conn.execute("CREATE TEMP TABLE gone_messages AS SELECT id, event FROM messages"
                     " WHERE job IN (SELECT id FROM gone_jobs)")
        texts = tuple(text for (text,) in conn.execute(
            "SELECT plain FROM messages WHERE direction = 'in' AND id IN (SELECT id FROM gone_messages)") if text)
        photos = _delete_messages(conn)
        conn.execute("DELETE FROM inbox WHERE job IN (SELECT id FROM gone_jobs)"
                     " OR (json_valid(event) AND event ->> '$.job' IN (SELECT id FROM gone_jobs))")
        for table in ("traces", "records", "offers", "timers", "marks", "notes", "visits", "job_seniors"):
            conn.execute(f"DELETE FROM {table} WHERE job IN (SELECT id FROM gone_jobs)")
        firm_notes.erase(conn, customer=customer)
        conn.execute("DELETE FROM audit WHERE data ->> '$.job' IN (SELECT id FROM gone_jobs)")
        conn.execute("DELETE FROM desks WHERE focus IN (SELECT id FROM gone_jobs)"
                     " OR state ->> '$.held.id' IN (SELECT event FROM gone_messages)")
        done = conn.execute("DELETE FROM jobs WHERE id IN (SELECT id FROM gone_jobs)").rowcount
        conn.execute("DELETE FROM sites WHERE id NOT IN (SELECT site FROM jobs WHERE site IS NOT NULL)")
        count: int = conn.execute("SELECT count(*) FROM gone_messages").fetchone()[0]
    finally:
        conn.execute("DROP TABLE IF EXISTS gone_messages")
        conn.execute("DROP TABLE gone_jobs")
    return Erased(done, count, photos, scrub(conn, names), texts)


def erase_loose(conn: sqlite3.Connection, before: datetime) -> int:
    """Delete old messages that belong to no visit, and handled events of none."""
    at = stamp(before)
    conn.execute("CREATE TEMP TABLE gone_messages AS SELECT id, event FROM messages"
                 " WHERE job IS NULL AND at < ?", (at,))
    try:
        _delete_messages(conn)
        count: int = conn.execute("SELECT count(*) FROM gone_messages").fetchone()[0]
    finally:
        conn.execute("DROP TABLE gone_messages")
    conn.execute("DELETE FROM inbox WHERE job IS NULL AND at < ? AND state <> 'waiting'", (at,))
    conn.execute("DELETE FROM traces WHERE job IS NULL AND at < ?", (at,))
    conn.execute("DELETE FROM arrivals WHERE kept < ?", (at,))
    return count


def _delete_messages(conn: sqlite3.Connection) -> tuple[str, ...]:
    """Delete the messages of the table gone_messages with their events. Photos that nobody uses any more."""
    theirs = "SELECT id FROM gone_messages"
    used = [sha for (sha,) in conn.execute(f"SELECT DISTINCT sha256 FROM photo_uses WHERE message IN ({theirs})")]
    conn.execute(f"DELETE FROM photo_uses WHERE message IN ({theirs})")
    conn.execute(f"DELETE FROM outbox WHERE message IN ({theirs})")
    conn.execute(f"DELETE FROM message_ids WHERE message IN ({theirs})")
    conn.execute("DELETE FROM inbox WHERE id IN (SELECT event FROM gone_messages)"
                 f" OR (kind IN ('edited', 'redacted', 'undelivered') AND event ->> '$.target' IN ({theirs}))")
    conn.execute(f"DELETE FROM messages WHERE id IN ({theirs})")
    gone = tuple(sha for sha in used if conn.execute("SELECT 1 FROM photo_uses WHERE sha256 = ?",
                                                      (sha,)).fetchone() is None)
    conn.executemany("DELETE FROM photos WHERE sha256 = ?", [(sha,) for sha in gone])
    return gone


def scrub(conn: sqlite3.Connection, names: Sequence[str]) -> int:
    """Overwrite the names in every personal column, whatever their case and spacing; rows changed."""
    patterns = [pattern for pattern in map(pattern_of, names) if pattern is not None]
    if not patterns:
        return 0

    def holds(text: object) -> int:
        return int(isinstance(text, str) and any(pattern.search(text) for pattern in patterns))

    def scrubbed(text: str) -> str:
        for pattern in patterns:
            text = pattern.sub(PLACEHOLDER, text)
        return text

    conn.create_function("holds", 1, holds)
    conn.create_function("scrubbed", 1, scrubbed)
    changed = 0
    for table, columns in PERSONAL.items():
        if table not in _DERIVED:
            for column in columns:
                changed += conn.execute(f"UPDATE {table} SET {column} = scrubbed({column}) WHERE holds({column})"
                                        ).rowcount
    return changed


def pattern_of(name: str) -> re.Pattern[str] | None:
    """Finds a name in plain text and in JSON, in any case and spacing; None for one that is too short to look for."""
    words = name.split()
    if sum(c.isalnum() for c in name) < SHORTEST:
        return None
    spelled = (f"(?:{re.escape(word)}|{re.escape(json.dumps(word)[1:-1])})" for word in words)
    return re.compile(r"(?<!\w)" + r"(?:\s|\\[nrt])+".join(spelled) + r"(?!\w)", re.IGNORECASE)


def rewrite_index(conn: sqlite3.Connection) -> None:
    """Merge the word index into one piece, so that nothing of deleted messages is left in it."""
    conn.execute("INSERT INTO messages_fts (messages_fts) VALUES ('optimize')")


def rewrite_file(conn: sqlite3.Connection) -> bool:
    """Write the whole file anew, then empty the write-ahead log; false if somebody keeps it open for too long.

    `secure_delete` overwrites rows that are deleted, but not the copies that are left in a page's free space when
    SQLite moves rows between pages: only a new file is free of those.
    """
    conn.execute("PRAGMA temp_store = FILE")  # the copy may be larger than the memory
    conn.execute("VACUUM")
    for _ in range(_PATIENCE):
        busy, *_rest = conn.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
        if not busy:
            return True
        time.sleep(0.1)
    return False


def customers(conn: sqlite3.Connection, words: str, limit: int) -> tuple[Customer, ...]:
    """Sites whose name holds all the words, those seen last first."""
    parts = [f"%{word.replace('!', '!!').replace('%', '!%').replace('_', '!_')}%" for word in words.casefold().split()]
    where = " AND ".join(["s.key LIKE ? ESCAPE '!'"] * len(parts)) or "1"
    rows = conn.execute(f"SELECT s.id FROM sites s WHERE {where} ORDER BY (SELECT max(opened) FROM jobs j"
                        " WHERE j.site = s.id) DESC LIMIT ?", (*parts, limit)).fetchall()
    found = (customer(conn, site) for (site,) in rows)
    return tuple(each for each in found if each is not None)


def customer(conn: sqlite3.Connection, site: str) -> Customer | None:
    """One site with what is kept of it."""
    row = conn.execute("SELECT name, (SELECT max(opened) FROM jobs WHERE site = sites.id) FROM sites WHERE id = ?",
                       (site,)).fetchone()
    if row is None:
        return None
    jobs = tuple(job for (job,) in conn.execute("SELECT id FROM jobs WHERE site = ? ORDER BY opened", (site,)))
    messages, photos = conn.execute(
        "SELECT count(DISTINCT m.id), count(DISTINCT u.sha256) FROM messages m JOIN jobs j ON j.id = m.job"
        " LEFT JOIN photo_uses u ON u.message = m.id WHERE j.site = ?", (site,)).fetchone()
    return Customer(site, row[0], jobs, messages, photos, instant_or_none(row[1]))


def setting(conn: sqlite3.Connection, key: str) -> str | None:
    """A setting."""
    row = conn.execute("SELECT value FROM settings WHERE key = ?", (key,)).fetchone()
    return row[0] if row else None


def set_setting(conn: sqlite3.Connection, key: str, value: str) -> None:
    """Keep a setting."""
    conn.execute("INSERT INTO settings (key, value) VALUES (?, ?)"
                 " ON CONFLICT (key) DO UPDATE SET value = excluded.value", (key, value))
