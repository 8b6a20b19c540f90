"""Jobs and desks with their versions, and the log of what steps understood, believed and recorded."""

from __future__ import annotations

import json
import sqlite3
from dataclasses import replace
from datetime import datetime, timedelta
from secrets import token_hex
from typing import Any, Final

from pydantic import TypeAdapter

from bot.conversation.desk import Desk, dump_desk, load_desk
from bot.conversation.effects import Audit, Offer, Record, Trace
from bot.conversation.firm import JobBrief, PastVisit
from bot.conversation.job import Job, Outcome, Phase, dump_job, load_job
from bot.store.errors import ConflictError
from bot.store.stamps import instant, stamp

KNOWN_AGAIN = timedelta(days=90)
"""A new visit within this time of an ended one at the same site may be a callback."""
_CHECKS: Final = "state -> '$.position.question.checks'"
"""What the open question of a job asks, as JSON."""
_DATA: TypeAdapter[dict[str, Any]] = TypeAdapter(dict[str, Any])


def job(conn: sqlite3.Connection, job_id: str) -> Job | None:
    """The job as it was last committed, with that version."""
    row = conn.execute("SELECT state, version FROM jobs WHERE id = ?", (job_id,)).fetchone()
    return replace(load_job(row[0]), version=row[1]) if row else None


def desk(conn: sqlite3.Connection, conversation: str, person: str) -> Desk:
    """The conversation's desk; an empty one of version 0 if nothing was kept yet."""
    row = conn.execute("SELECT state, version FROM desks WHERE conversation = ?", (conversation,)).fetchone()
    return replace(load_desk(row[0]), version=row[1]) if row else Desk(conversation, person)


def open_jobs(conn: sqlite3.Connection, person: str) -> tuple[JobBrief, ...]:
    """The person's open jobs, their own and those they took over, oldest first."""
    rows = conn.execute(
        f"SELECT id, family, label, phase, question, {_CHECKS}, tech <> ?1, opened, rowid AS place FROM jobs"
        f" WHERE tech = ?1 AND ended IS NULL UNION SELECT id, family, label, phase, question, {_CHECKS}, tech <> ?1,"
        " opened, rowid FROM jobs WHERE handed_to = ?1 AND ended IS NULL ORDER BY opened, place", (person,))
    return tuple(JobBrief(key, family, label, phase, question, tuple(json.loads(checks or "[]")), bool(taken))
                 for key, family, label, phase, question, checks, taken, *_ in rows)



def past_visits(conn: sqlite3.Connection, job_id: str, now: datetime) -> tuple[PastVisit, ...]:
    """Visits at the site of a job: open ones to take up, then the ended ones of ninety days; newest first."""
    rows = conn.execute(
        "SELECT old.id, coalesce(old.ended, old.state ->> '$.touched', old.opened), old.family, old.label,"
        " old.state ->> '$.position.fault',"
        " old.state ->> '$.position.repair', p.name, old.outcome, old.ended IS NULL"
        " FROM jobs new JOIN jobs old ON old.site = new.site AND old.id <> new.id"
        " LEFT JOIN persons p ON p.id = old.tech"
        " WHERE new.id = ?1 AND CASE WHEN old.ended IS NULL THEN old.phase = ?3 OR p.removed IS NOT NULL"
        " ELSE old.ended >= ?2 AND coalesce(old.outcome, '') <> ?4 END"
        " ORDER BY old.ended IS NULL DESC, old.ended DESC, old.touched DESC LIMIT 5",
        (job_id, stamp(now - KNOWN_AGAIN), Phase.WAITING, Outcome.CONTINUED))
    return tuple(PastVisit(key, instant(ended), family, label, fault, repair, tech or "", outcome, bool(open_))
                 for key, ended, family, label, fault, repair, tech, outcome, open_ in rows)


def put_job(conn: sqlite3.Connection, new: Job, label: str, site: str | None, now: datetime) -> None:
    """Write the next version of a job whose `version` is the one that was read (0: a new job)."""
    stored = replace(new, version=new.version + 1)
    ended = stamp(now) if new.phase == Phase.ENDED else None
    place = _site(conn, site)
    question = new.question.id if new.question else None
    values = (stored.version, new.release, new.family, new.phase, label, new.tech, new.conversation, new.handed_to,
              new.outcome, question, place, stamp(now), ended, dump_job(stored))
    if new.version == 0:
        done = conn.execute(
            "INSERT INTO jobs (version, release, family, phase, label, tech, conversation, handed_to, outcome,"
            " question, site, touched, ended, state, id, opened)"
            " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT (id) DO NOTHING",
            (*values, new.id, stamp(new.opened)))
    else:
        done = conn.execute(
            "UPDATE jobs SET version = ?, release = ?, family = ?, phase = ?, label = ?, tech = ?, conversation = ?,"
            " handed_to = ?, outcome = ?, question = ?, site = ?, touched = ?,"
            " ended = CASE WHEN ?13 IS NULL THEN NULL ELSE coalesce(ended, ?13) END, state = ?"
            " WHERE id = ? AND version = ?", (*values, new.id, new.version))
    if done.rowcount != 1:
        raise ConflictError(f"job {new.id} is no longer at version {new.version}")


def put_desk(conn: sqlite3.Connection, new: Desk) -> None:
    """Write the next version of a desk whose `version` is the one that was read (0: not kept yet)."""
    stored = replace(new, version=new.version + 1)
    if new.version == 0:
        done = conn.execute("INSERT INTO desks (version, focus, state, conversation) VALUES (?, ?, ?, ?)"
                            " ON CONFLICT (conversation) DO NOTHING",
                            (stored.version, new.focus, dump_desk(stored), new.conversation))
    else:
        done = conn.execute("UPDATE desks SET version = ?, focus = ?, state = ? WHERE conversation = ? AND version = ?",
                            (stored.version, new.focus, dump_desk(stored), new.conversation, new.version))
    if done.rowcount != 1:
        raise ConflictError(f"desk of {new.conversation} is no longer at version {new.version}")


def add_trace(conn: sqlite3.Connection, trace: Trace, event: str, step: int, job_id: str | None, now: datetime) -> None:
    """Keep what a step understood, believed or weighed."""
    conn.execute("INSERT INTO traces (event, step, job, what, data, at) VALUES (?, ?, ?, ?, ?, ?)",
                 (event, step, job_id, trace.what, dump_data(trace.data), stamp(now)))


def add_record(conn: sqlite3.Connection, record: Record, event: str, person: str, now: datetime) -> None:
    """Keep a label."""
    conn.execute("INSERT INTO records (id, job, person, what, data, at, event) VALUES (?, ?, ?, ?, ?, ?, ?)"
                 " ON CONFLICT (id) DO NOTHING",
                 (record.id, record.job, person, record.what, dump_data(record.data), stamp(now), event))


def add_offer(conn: sqlite3.Connection, offer: Offer, event: str, now: datetime) -> None:
    """Keep that a job was offered to seniors."""
    conn.execute("INSERT INTO offers (id, job, reason, people, urgent, at, event) VALUES (?, ?, ?, ?, ?, ?, ?)"
                 " ON CONFLICT (id) DO NOTHING",
                 (offer.id, offer.job, offer.reason, json.dumps(offer.to), int(offer.urgent), stamp(now), event))


def add_audit(conn: sqlite3.Connection, audit: Audit, person: str | None, now: datetime) -> None:
    """Keep a privileged act."""
    conn.execute("INSERT INTO audit (at, person, what, data) VALUES (?, ?, ?, ?)",
                 (stamp(now), person, audit.what, dump_data(audit.data)))


def dump_data(data: dict[str, Any]) -> str:
    """Plain values as JSON (dataclasses, instants and sets among them included)."""
    return _DATA.dump_json(data).decode()


def load_data(text: str) -> dict[str, Any]:
    """What `dump_data` wrote, as plain JSON values."""
    return _DATA.validate_json(text)


def _site(conn: sqlite3.Connection, name: str | None) -> str | None:
    """The id of the site of that name; one is made when it is new."""
    key = " ".join((name or "").casefold().split())
    if not key:
        return None
    row = conn.execute("SELECT id FROM sites WHERE key = ?", (key,)).fetchone()
    if row:
        return str(row[0])
    site_id = token_hex(10)  # not derived: an address must not be guessable from it
    conn.execute("INSERT INTO sites (id, key, name) VALUES (?, ?, ?)", (site_id, key, name))
    return site_id
