"""The log of visits: listed by filters, and searched by what was said."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from typing import Any, Final

from bot.store.messages import paragraphs_said
from bot.store.review_rows import Filter, Found, Listed
from bot.store.stamps import instant, instant_or_none, stamp

CAME_BACK: Final = """
    EXISTS (SELECT 1 FROM jobs n WHERE n.site = j.site AND n.family IS j.family AND n.id <> j.id
            AND n.opened > j.ended AND julianday(n.opened) <= julianday(j.ended) + 30)
"""
"""A machine of the family was seen again at the address within 30 days of the end (the usual term of a callback)."""
_COLUMNS: Final = f"""
    j.id, j.opened || j.id, j.label, j.tech, j.family, j.phase, j.outcome, j.opened, j.ended, s.name, v.finding,
    v.finding_p, v.proved, v.verdict, v.offered, v.taken_by, coalesce(v.wrong, 0), {CAME_BACK},
    (SELECT group_concat(DISTINCT mark) FROM marks k WHERE k.job = j.id), j.release
"""
_TABLES: Final = "jobs j LEFT JOIN visits v ON v.job = j.id LEFT JOIN sites s ON s.id = j.site"


def visits(conn: sqlite3.Connection, chosen: Filter, limit: int, before: str | None) -> tuple[Listed, ...]:
    """Visits, newest first, after the one at `before`."""
    where, values = conditions(chosen)
    if before is not None:
        where += " AND (j.opened, j.id) < (substr(?, 1, 32), substr(?, 33))"
        values += [before, before]
    rows = conn.execute(f"SELECT {_COLUMNS} FROM {_TABLES} WHERE {where}"
                        " ORDER BY j.opened DESC, j.id DESC LIMIT ?", (*values, limit))
    return tuple(_listed(row) for row in rows)


def one(conn: sqlite3.Connection, job: str) -> Listed | None:
    """One visit."""
    row = conn.execute(f"SELECT {_COLUMNS} FROM {_TABLES} WHERE j.id = ?", (job,)).fetchone()
    return _listed(row) if row else None


def count(conn: sqlite3.Connection, chosen: Filter, most: int) -> int:
    """How many visits, counted up to `most`."""
    where, values = conditions(chosen)
    found: int = conn.execute(f"SELECT count(*) FROM (SELECT 1 FROM {_TABLES} WHERE {where} LIMIT ?)",
                              (*values, most)).fetchone()[0]
    return found


def had(conn: sqlite3.Connection, person: str, job: str) -> bool:
    """Whether the senior had the visit in hand."""
    return conn.execute("SELECT 1 FROM job_seniors WHERE person = ? AND job = ?", (person, job)).fetchone() is not None


def names(conn: sqlite3.Connection) -> dict[str, str]:
    """Everybody's name, also of those who left."""
    return dict(conn.execute("SELECT id, name FROM persons").fetchall())


def search(conn: sqlite3.Connection, query: str, chosen: Filter, limit: int, before: int | None,
           saying: Sequence[str] | None = None) -> tuple[Found, ...]:
    """Messages that match, newest first. `query` is FTS5 syntax: words in quotes, see `bot.review.search`.

    `saying`: of our own messages only those with a paragraph of one of these keys.
    """
    where, values = conditions(chosen)
    if before is not None:
        where += " AND messages_fts.rowid < ?"
        values.append(before)
    if where != "1":
        where += " AND j.id IS NOT NULL"
    if saying is not None:
        where += (" AND (m.direction = 'in' OR EXISTS (SELECT 1 FROM json_each(m.texts) t"
                  f" WHERE t.value ->> '$.key' IN ({', '.join('?' * len(saying))})))")
        values += saying
    rows = conn.execute(
        "SELECT m.seq, m.id, m.job, j.label, j.family, m.person, m.direction, m.at,"
        " snippet(messages_fts, 0, char(0xe000), char(0xe001), ' … ', 28), m.texts, m.rendered"
        " FROM messages_fts CROSS JOIN messages m ON m.seq = messages_fts.rowid LEFT JOIN jobs j ON j.id = m.job"
        f" LEFT JOIN visits v ON v.job = m.job WHERE messages_fts MATCH ? AND {where}"
        " ORDER BY messages_fts.rowid DESC LIMIT ?", (query, *values, limit))
    return tuple(Found(seq, message, job, label, family, person, direction, instant(at), snippet,
                       paragraphs_said(texts, rendered))
                 for seq, message, job, label, family, person, direction, at, snippet, texts, rendered in rows)


def any_match(conn: sqlite3.Connection, query: str) -> bool:
    """Whether any message matches."""
    return conn.execute("SELECT 1 FROM messages_fts WHERE messages_fts MATCH ? LIMIT 1",
                        (query,)).fetchone() is not None


def words(conn: sqlite3.Connection) -> tuple[tuple[str, int], ...]:
    """The index's words with the number of messages that hold each."""
    return tuple(conn.execute("SELECT term, doc FROM messages_words").fetchall())


def said_since(conn: sqlite3.Connection, place: int) -> tuple[int, tuple[str, ...]]:
    """The newest place, and the words of messages after `place`."""
    newest: int = conn.execute("SELECT coalesce(max(seq), 0) FROM messages").fetchone()[0]
    rows = conn.execute("SELECT plain FROM messages WHERE seq > ? ORDER BY seq LIMIT 20000", (place,)).fetchall()
    return newest, tuple(plain for (plain,) in rows)


def conditions(chosen: Filter) -> tuple[str, list[Any]]:
    """The filter as SQL over jobs j and visits v, with its values; '1' if everything is meant."""
    ended = None if chosen.outcome == "open" else chosen.outcome
    reason = None if chosen.handed_off == "any" else chosen.handed_off
    needs: tuple[tuple[bool, str, tuple[Any, ...]], ...] = (
        (chosen.since is not None, "j.opened >= ?", (chosen.since and stamp(chosen.since),)),
        (chosen.until is not None, "j.opened < ?", (chosen.until and stamp(chosen.until),)),
        (chosen.tech is not None, "(j.tech = ? OR v.taken_by = ?)", (chosen.tech, chosen.tech)),
        (chosen.family is not None, "j.family = ?", (chosen.family,)),
        (chosen.fault is not None, "coalesce(v.proved, v.verdict, v.finding) = ?", (chosen.fault,)),
        (chosen.outcome == "open", "j.ended IS NULL", ()),
        (ended is not None, "j.outcome = ?", (ended,)),
        (chosen.handed_off == "any", "v.offered IS NOT NULL", ()),
        (reason is not None, "v.offered = ?", (reason,)),
        (chosen.came_back, f"j.site IS NOT NULL AND j.ended IS NOT NULL AND {CAME_BACK}", ()),
        (chosen.wrong, "v.wrong = 1", ()),
        (chosen.mark is not None, "EXISTS (SELECT 1 FROM marks k WHERE k.job = j.id AND k.mark = ?)", (chosen.mark,)),
        (bool(chosen.jobs), f"j.id IN ({', '.join('?' * len(chosen.jobs))})", chosen.jobs),
        (chosen.seen_by is not None, "EXISTS (SELECT 1 FROM job_seniors t WHERE t.job = j.id AND t.person = ?)",
         (chosen.seen_by,)))
    meant = [(part, values) for needed, part, values in needs if needed]
    return " AND ".join(part for part, _ in meant) or "1", [value for _, values in meant for value in values]


def _listed(row: Any) -> Listed:
    (job, place, label, tech, family, phase, outcome, opened, ended, site, finding, finding_p, proved, verdict, offered,
     taken_by, wrong, came_back, marks, release) = row
    return Listed(job, place, label, tech, family, phase, outcome, instant(opened), instant_or_none(ended), site,
                  finding, finding_p, proved, verdict, offered, taken_by, bool(wrong), bool(came_back),
                  tuple(sorted(marks.split(","))) if marks else (), release)
