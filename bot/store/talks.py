"""What was said, pressed, understood and recorded in one visit, as it was stored."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from bot.conversation.job import Job, load_job
from bot.store.jobs import load_data
from bot.store.messages import load_labels, load_paragraph, load_paragraphs
from bot.store.review_rows import Asked, Line, Remark, Step, Unheard
from bot.store.stamps import instant


@dataclass(frozen=True, slots=True)
class Stored:
    """A visit's state. None if this version of the program cannot read it."""

    job: Job | None


def stored(conn: sqlite3.Connection, job: str) -> Stored | None:
    """The state of a visit; None if there is no such visit."""
    row = conn.execute("SELECT state FROM jobs WHERE id = ?", (job,)).fetchone()
    if row is None:
        return None
    try:
        return Stored(load_job(row[0]))
    except ValueError:
        return Stored(None)


def lines(conn: sqlite3.Connection, job: str) -> tuple[Line, ...]:
    """The talk in the order in which it was accepted: each event of a person, then what was said because of it."""
    events = {event: (seq, json.loads(text)) for seq, event, text in conn.execute(
        "SELECT seq, id, event FROM inbox WHERE job = ?1"
        " UNION SELECT i.seq, i.id, i.event FROM messages m JOIN inbox i ON i.id = m.event WHERE m.job = ?1", (job,))}
    changes = _changes(events)
    found: list[tuple[int, int, Line]] = []
    rows = conn.execute(
        "SELECT m.seq, m.id, m.event, m.person, m.at, m.direction, m.plain, m.rendered, m.choices, m.question,"
        " m.closed, m.answer, m.photos, (SELECT o.reason FROM outbox o WHERE o.message = m.id AND o.state = 'failed'"
        " AND o.kind = 'send' LIMIT 1) FROM messages m WHERE m.job = ? ORDER BY m.seq", (job,))
    for (seq, message, event, person, at, direction, plain, rendered, choices, question, closed, answer, photos,
         failed) in rows:
        place, cause = events.get(event, (0, {}))
        first = str(cause.get("text", cause.get("caption", "")))
        edited = direction == "in" and message in changes
        line = Line(direction, message, event, person, instant(at), plain,
                    load_paragraphs(rendered) if rendered else (), load_labels(choices), question, closed,
                    load_paragraph(answer), tuple(json.loads(photos)) if photos else (),
                    first=first if edited and first != plain else None,
                    taken_back=changes.get(message) == "redacted",
                    what=str(cause.get("what", "")) if direction == "in" else "", failed=failed)
        found.append((place, seq, line))
    labels: dict[str | None, Any] = {line.question: line.choices for _, _, line in found if line.question}
    for event, (place, told) in events.items():
        if told.get("kind") == "pressed":
            found.append((place, 0, _press(event, told, labels)))
    return tuple(line for _, _, line in sorted(found, key=lambda each: each[:2]))


def _changes(events: Mapping[str, tuple[int, Mapping[str, Any]]]) -> dict[str, str]:
    """Message -> what was last done to it (edited, redacted)."""
    ordered = sorted(events.values(), key=lambda each: each[0])
    return {told["target"]: told["kind"] for _, told in ordered if told.get("kind") in {"edited", "redacted"}}


def _press(event: str, told: Mapping[str, Any], labels: Mapping[str | None, Any]) -> Line:
    choice = int(told["choice"])
    known = labels.get(told["question"], ())
    label = known[choice - 1] if 0 < choice <= len(known) else ()
    return Line("press", event, event, told["person"], instant(told["at"]), f"{choice}", answer=label or None)


def steps(conn: sqlite3.Connection, job: str) -> tuple[Step, ...]:
    """The traces of a visit."""
    rows = conn.execute("SELECT event, what, data, at FROM traces WHERE job = ? ORDER BY at, event, step", (job,))
    return tuple(Step(event, what, load_data(data), instant(at)) for event, what, data, at in rows)


def remarks(conn: sqlite3.Connection, job: str) -> tuple[Remark, ...]:
    """The records of a visit."""
    rows = conn.execute("SELECT what, person, data, at, event FROM records WHERE job = ? ORDER BY at, rowid", (job,))
    return tuple(Remark(what, person, load_data(data), instant(at), event) for what, person, data, at, event in rows)


def photo_seen(conn: sqlite3.Connection, sha256: str, person: str | None) -> bool:
    """Whether a message uses the photo; for a senior: a message of a visit of theirs."""
    return conn.execute(
        "SELECT 1 FROM photo_uses u JOIN messages m ON m.id = u.message WHERE u.sha256 = ?1 AND (?2 IS NULL OR EXISTS"
        " (SELECT 1 FROM job_seniors s WHERE s.job = m.job AND s.person = ?2)) LIMIT 1",
        (sha256, person)).fetchone() is not None


def unheard(conn: sqlite3.Connection, limit: int) -> tuple[Unheard, ...]:
    """Messages that were answered "I don't follow" while something was asked, newest first.

    Left out is what was only kept for a senior, or written when nothing was open.
    """
    rows = conn.execute(
        "SELECT DISTINCT m.id, m.job, j.family, m.person, m.at, m.plain FROM records r"
        " JOIN messages m ON m.event = r.event AND m.direction = 'in' JOIN jobs j ON j.id = r.job"
        " WHERE r.what = 'not_followed' AND m.plain <> '' AND ("
        " EXISTS (SELECT 1 FROM offers o WHERE o.job = r.job AND o.event = r.event AND o.reason = 'not_understood')"
        " OR EXISTS (SELECT 1 FROM messages a, json_each(a.texts) t WHERE a.job = r.job AND a.event = r.event"
        "  AND a.direction = 'out' AND a.question IS NOT NULL"
        "  AND t.value ->> '$.key' IN ('miss.first', 'miss.second')))"
        " ORDER BY r.at DESC LIMIT ?", (limit,))
    return tuple(Unheard(message, job, family, person, instant(at), text)
                 for message, job, family, person, at, text in rows)


def typed(conn: sqlite3.Connection, family: str | None, limit: int) -> tuple[Asked, ...]:
    """The newest typed messages of visits whose machine is known."""
    rows = conn.execute(
        "SELECT m.id, m.job, j.family, m.at, m.plain FROM messages m JOIN jobs j ON j.id = m.job"
        " WHERE m.direction = 'in' AND m.plain <> '' AND (?1 IS NULL OR j.family = ?1)"
        " ORDER BY m.seq DESC LIMIT ?2", (family, limit))
    return tuple(Asked(message, job, known, instant(at), text) for message, job, known, at, text in rows)
