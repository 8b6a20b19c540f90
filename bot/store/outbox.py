"""Messages on their way out, in order within a conversation, each claimed under a lease by whoever delivers it.

waiting --claim--> (leased) --delivered--> delivered
                            --later------> waiting, not before some time
                            --never------> failed, and an Undelivered event
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Final

from bot.conversation.effects import ROOM, Alter
from bot.conversation.events import Undelivered
from bot.conversation.ids import derive
from bot.conversation.markup import Paragraph
from bot.store import inbox, messages
from bot.store.errors import LeaseLostError
from bot.store.rows import Outgoing, Outlet, Rendered
from bot.store.stamps import instant, stamp, stamp_or_none

LEASE: Final = timedelta(seconds=60)


def send(conn: sqlite3.Connection, out: Rendered, event: str, now: datetime) -> None:
    """Keep a message and queue it for its conversation; someone who has none gets an Undelivered event instead."""
    conversation = out.say.conversation or _preferred(conn, out.say.to)
    messages.add_outgoing(conn, out, conversation, event, now)
    if conversation is None:
        _undelivered(conn, out.say.id, "no conversation with this person", now)
        return
    conn.execute("INSERT INTO outbox (key, kind, message, conversation, created, held_until)"
                 " VALUES (?, 'send', ?, ?, ?, ?)",
                 (derive(out.say.id, "send"), out.say.id, conversation, stamp(now), stamp_or_none(out.held_until)))


def tell(conn: sqlite3.Connection, out: Rendered, now: datetime) -> bool:
    """Queue a message that no event asked for, once; false if there is nowhere to send it, or it was queued before."""
    known = conn.execute("SELECT 1 FROM messages WHERE id = ?", (out.say.id,)).fetchone() is not None
    if known or (out.say.conversation or _preferred(conn, out.say.to)) is None:
        return False
    send(conn, out, out.say.id, now)
    return True


def alter(conn: sqlite3.Connection, change: Alter, answer: Paragraph | None, event: str, now: datetime) -> None:
    """Close a message's question here, and queue the change for where it was sent to; a post's, in every room.

    The change of a message that is held is held as long: it must not come before it.
    """
    for message in _copies(conn, change.message):
        messages.close_choices(conn, message, change.closed, answer)
        conn.execute(
            "INSERT INTO outbox (key, kind, message, conversation, closed, answer, created, held_until)"
            " SELECT ?, 'alter', id, conversation, ?, ?, ?, (SELECT held_until FROM outbox o WHERE o.message = m.id"
            " AND o.kind = 'send' AND o.state = 'waiting') FROM messages m WHERE id = ? AND direction = 'out'"
            " AND conversation <> '' ON CONFLICT (key) DO NOTHING",
            (derive(message, event, change.closed), change.closed, messages.dump_paragraph(answer), stamp(now),
             message))


def in_room(post: str, conversation: str) -> str:
    """The id of a post's message in a room."""
    return derive(post, "room", conversation)


def _copies(conn: sqlite3.Connection, message: str) -> tuple[str, ...]:
    """The message, or the messages of the post of that id."""
    if conn.execute("SELECT 1 FROM messages WHERE id = ?", (message,)).fetchone() is not None:
        return (message,)
    rooms = conn.execute("SELECT id FROM conversations WHERE person = ?", (ROOM,)).fetchall()
    return tuple(in_room(message, room) for (room,) in rooms)


def unhold(conn: sqlite3.Connection, person: str) -> None:
    """The person is there: what waited for their duty goes out."""
    conn.execute("UPDATE outbox SET held_until = NULL WHERE state = 'waiting' AND held_until IS NOT NULL"
                 " AND conversation IN (SELECT id FROM conversations WHERE person = ?)", (person,))


_CLAIMABLE: Final = """
    SELECT o.seq FROM outbox o JOIN conversations c ON c.id = o.conversation
    WHERE o.state = 'waiting' AND c.platform = ? AND c.account = ? AND (?3 IS NULL OR o.conversation = ?3)
      AND (o.not_before IS NULL OR o.not_before <= ?4) AND (o.held_until IS NULL OR o.held_until <= ?4)
      AND (o.lease_until IS NULL OR o.lease_until < ?4)
      AND NOT EXISTS (SELECT 1 FROM outbox e WHERE e.conversation = o.conversation AND e.state = 'waiting'
                      AND e.seq < o.seq AND (e.held_until IS NULL OR e.held_until <= ?4))
    ORDER BY o.seq LIMIT ?5
"""


def claimable(conn: sqlite3.Connection, outlet: Outlet, now: datetime, limit: int) -> list[int]:
    """The oldest waiting rows of the outlet's conversations that may be delivered now."""
    rows = conn.execute(_CLAIMABLE, (outlet.platform, outlet.account, outlet.conversation, stamp(now), limit))
    return [seq for (seq,) in rows]


def claim(conn: sqlite3.Connection, outlet: Outlet, owner: str, now: datetime, limit: int) -> tuple[Outgoing, ...]:
    """Take up to `limit` rows for delivery, at most one a conversation."""
    rows = claimable(conn, outlet, now, limit)
    conn.executemany("UPDATE outbox SET lease_owner = ?, lease_until = ?, attempts = attempts + 1 WHERE seq = ?",
                     [(owner, stamp(now + LEASE), row) for row in rows])
    return tuple(_outgoing(conn, row) for row in rows)


def delivered(conn: sqlite3.Connection, out: Outgoing, owner: str, ids: Sequence[str], now: datetime) -> None:
    """It is there, under these ids of the platform."""
    _finish(conn, out, owner, "delivered", None, now)
    if ids:
        messages.link(conn, out.conversation, out.message, ids)
    if out.kind == "send":
        messages.forget(conn, out.message)


def later(conn: sqlite3.Connection, out: Outgoing, owner: str, not_before: datetime, *, failed: bool) -> None:
    """Try again at `not_before`; `failed`: because of an error of the adapter itself."""
    done = conn.execute(
        "UPDATE outbox SET lease_owner = NULL, lease_until = NULL, not_before = ?, failures = failures + ?"
        " WHERE seq = ? AND state = 'waiting' AND lease_owner = ?",
        (stamp(not_before), int(failed), out.row, owner))
    if done.rowcount != 1:
        raise LeaseLostError(f"row {out.row} of the outbox is no longer ours")


def never(conn: sqlite3.Connection, out: Outgoing, owner: str, reason: str, now: datetime) -> None:
    """It cannot be delivered, for good: the job is told by an Undelivered event."""
    _finish(conn, out, owner, "failed", reason, now)
    if out.kind == "send":
        _undelivered(conn, out.message, reason, now)


def free(conn: sqlite3.Connection, owners: Sequence[str]) -> None:
    """Free what dead owners had in hand."""
    conn.executemany("UPDATE outbox SET lease_owner = NULL, lease_until = NULL WHERE state = 'waiting'"
                     " AND lease_owner = ?", [(owner,) for owner in owners])


def _finish(conn: sqlite3.Connection, out: Outgoing, owner: str, state: str, reason: str | None, now: datetime) -> None:
    done = conn.execute("UPDATE outbox SET state = ?, finished = ?, reason = ?, lease_owner = NULL, lease_until = NULL"
                        " WHERE seq = ? AND state = 'waiting' AND lease_owner = ?",
                        (state, stamp(now), reason, out.row, owner))
    if done.rowcount != 1:
        raise LeaseLostError(f"row {out.row} of the outbox is no longer ours")


def _preferred(conn: sqlite3.Connection, person: str) -> str | None:
    row = conn.execute("SELECT conversation FROM persons WHERE id = ? AND removed IS NULL", (person,)).fetchone()
    return row[0] if row else None


def _undelivered(conn: sqlite3.Connection, message: str, reason: str, now: datetime) -> None:
    """Tell the job. A message that itself came of an Undelivered event tells nobody: that would go round for ever."""
    person, conversation, job, cause = conn.execute(
        "SELECT m.person, m.conversation, m.job, i.kind FROM messages m LEFT JOIN inbox i ON i.id = m.event"
        " WHERE m.id = ?", (message,)).fetchone()
    if cause != "undelivered":
        inbox.insert(conn, Undelivered(id=derive("undelivered", message), at=now, person=person,
                                       conversation=conversation, target=message, job=job, reason=reason), now)


def _outgoing(conn: sqlite3.Connection, seq: int) -> Outgoing:
    (key, kind, message, conversation, closed, answer, failures, platform, account, address, person, rendered, question,
     choices, photos, reply_to, urgent) = conn.execute(
        "SELECT o.key, o.kind, o.message, o.conversation, o.closed, o.answer, o.failures, c.platform, c.account,"
        " c.address, m.person, m.rendered, m.question, m.choices, m.photos, m.reply_to, m.urgent"
        " FROM outbox o JOIN conversations c ON c.id = o.conversation JOIN messages m ON m.id = o.message"
        " WHERE o.seq = ?", (seq,)).fetchone()
    return Outgoing(
        row=seq, key=key, kind=kind, message=message, conversation=conversation, platform=platform, account=account,
        address=address, person=person, paragraphs=messages.load_paragraphs(rendered), question=question,
        choices=messages.load_labels(choices), photos=tuple(json.loads(photos)) if photos else (),
        reply_to=messages.ids_in(conn, conversation, reply_to) if reply_to else (),
        sent_as=messages.platform_ids(conn, message) if kind == "alter" else (),
        closed=closed, answer=messages.load_paragraph(answer), failures=failures, urgent=bool(urgent))


def waits(conn: sqlite3.Connection, conversation: str) -> bool:
    """Whether a message to the conversation waits or is being delivered."""
    return conn.execute("SELECT 1 FROM outbox WHERE conversation = ? AND state = 'waiting' AND held_until IS NULL"
                        " LIMIT 1",
                        (conversation,)).fetchone() is not None


def oldest(conn: sqlite3.Connection) -> tuple[int, datetime | None]:
    """How many rows wait, and since when the oldest does."""
    count, created = conn.execute("SELECT count(*), min(created) FROM outbox WHERE state = 'waiting'"
                                  " AND held_until IS NULL").fetchone()
    return count, instant(created) if created else None
