"""Events on their way in. Those of a conversation are worked on one after the other, in the order of acceptance.

waiting --claim--> (leased) --commit--> handled
                            --fail, third time--> parked --requeue--> waiting
waiting --its timer is cancelled--> dropped
"""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Final

from pydantic import ValidationError

from bot.conversation.events import Due, Edited, Event, Other, PhotoSent, Pressed, Typed, dump_event, load_event
from bot.store.errors import LeaseLostError
from bot.store.messages import add_incoming
from bot.store.rows import Accepted, Claimed, Parked
from bot.store.stamps import instant, stamp

LEASE: Final = timedelta(seconds=30)
"""How long a claim holds if its owner says no more. A dead owner's claims are free at once."""
ATTEMPTS: Final = 3
"""Failures before an event is parked."""
CLAIMS: Final = 12
"""Claims before an event is parked unfailed: whoever works on it dies."""


def accept(conn: sqlite3.Connection, event: Event, owner: str, now: datetime, platform_ids: Sequence[str] = (),
           *, claim: bool = False) -> Accepted:
    """Store an event, unless its id was seen before; claim it if nothing of its conversation waits before it."""
    seq = insert(conn, event, now)
    if seq is None:
        return Accepted(new=False)
    if isinstance(event, Typed | PhotoSent | Pressed | Other | Edited):
        conn.execute("UPDATE persons SET conversation = ?1 WHERE id = ?2 AND conversation IS NOT ?1",
                     (event.conversation, event.person))
        conn.execute("UPDATE outbox SET held_until = NULL WHERE state = 'waiting' AND held_until IS NOT NULL"
                     " AND conversation = ?", (event.conversation,))
    add_incoming(conn, event, platform_ids)
    if not claim or _waits_before(conn, event.conversation, seq):
        return Accepted(new=True)
    _lease(conn, seq, owner, now)
    return Accepted(new=True, claimed=Claimed(event, seq))


def insert(conn: sqlite3.Connection, event: Event, now: datetime) -> int | None:
    """The event's place in the queue; None if it was seen before."""
    timer = event.timer if isinstance(event, Due) else None
    done = conn.execute(
        "INSERT INTO inbox (id, conversation, person, kind, event, at, accepted, timer) VALUES (?, ?, ?, ?, ?, ?, ?, ?)"
        " ON CONFLICT (id) DO NOTHING",
        (event.id, event.conversation, event.person, event.kind, dump_event(event), stamp(event.at), stamp(now), timer))
    return done.lastrowid if done.rowcount else None


_HEADS: Final = """
    SELECT min(seq) AS seq FROM inbox WHERE state = 'waiting' GROUP BY conversation
"""


def claimable(conn: sqlite3.Connection, now: datetime, limit: int) -> list[int]:
    """The oldest events of conversations that nobody works on, oldest first."""
    rows = conn.execute(
        f"SELECT i.seq FROM ({_HEADS}) head JOIN inbox i ON i.seq = head.seq"
        " WHERE i.lease_until IS NULL OR i.lease_until < ? ORDER BY i.seq LIMIT ?", (stamp(now), limit))
    return [seq for (seq,) in rows]


def claim(conn: sqlite3.Connection, owner: str, now: datetime, limit: int) -> tuple[Claimed, ...]:
    """Take up to `limit` events to work on, each the oldest of its conversation."""
    taken = (_claimed(conn, seq, owner, now) for seq in claimable(conn, now, limit))
    return tuple(claimed for claimed in taken if claimed is not None)


def claim_next(conn: sqlite3.Connection, conversation: str, owner: str, now: datetime) -> Claimed | None:
    """Take the conversation's next event, if one waits."""
    row = conn.execute("SELECT seq FROM inbox WHERE conversation = ? AND state = 'waiting'"
                       " AND (lease_until IS NULL OR lease_until < ?) ORDER BY seq LIMIT 1",
                       (conversation, stamp(now))).fetchone()
    return _claimed(conn, row[0], owner, now) if row else None


def held(conn: sqlite3.Connection, claimed: Claimed, owner: str) -> None:
    """Raise LeaseLostError unless this owner still has the event to work on."""
    row = conn.execute("SELECT 1 FROM inbox WHERE seq = ? AND state = 'waiting' AND lease_owner = ?",
                       (claimed.seq, owner)).fetchone()
    if row is None:
        raise LeaseLostError(f"event {claimed.event.id} is no longer ours")


def handled(conn: sqlite3.Connection, claimed: Claimed, job: str | None, understood: str | None,
            now: datetime) -> None:
    """The event had its effect, for good."""
    conn.execute("UPDATE inbox SET state = 'handled', handled = ?, job = ?, understood = ?, lease_owner = NULL,"
                 " lease_until = NULL, failure = NULL WHERE seq = ?", (stamp(now), job, understood, claimed.seq))


def release(conn: sqlite3.Connection, claimed: Claimed, owner: str) -> None:
    """Give a claim back unworked."""
    conn.execute("UPDATE inbox SET lease_owner = NULL, lease_until = NULL, claims = max(claims - 1, 0)"
                 " WHERE seq = ? AND state = 'waiting' AND lease_owner = ?", (claimed.seq, owner))


def fail(conn: sqlite3.Connection, claimed: Claimed, owner: str, failure: str, now: datetime) -> Claimed | None:
    """Note a failure. The event to try again, or None if it is parked now."""
    held(conn, claimed, owner)
    attempts = claimed.attempts + 1
    parked = attempts >= ATTEMPTS
    conn.execute("UPDATE inbox SET attempts = ?, failure = ?, state = ?, lease_owner = ?, lease_until = ?"
                 " WHERE seq = ?",
                 (attempts, failure, "parked" if parked else "waiting", None if parked else owner,
                  None if parked else stamp(now + LEASE), claimed.seq))
    return None if parked else Claimed(claimed.event, claimed.seq, attempts)


def parked(conn: sqlite3.Connection) -> tuple[Parked, ...]:
    """What waits for the owner, oldest first."""
    rows = conn.execute("SELECT id, person, conversation, kind, event, failure, attempts, accepted FROM inbox"
                        " WHERE state = 'parked' ORDER BY seq")
    return tuple(Parked(event_id, person, conversation, kind, event, failure or "", attempts, instant(accepted))
                 for event_id, person, conversation, kind, event, failure, attempts, accepted in rows)


def requeue(conn: sqlite3.Connection, event_id: str) -> bool:
    """Let a parked event be tried again (it takes its old place in the order)."""
    done = conn.execute("UPDATE inbox SET state = 'waiting', attempts = 0, claims = 0, failure = NULL"
                        " WHERE id = ? AND state = 'parked'", (event_id,))
    return done.rowcount == 1


def drop_due(conn: sqlite3.Connection, timer: str, now: datetime) -> None:
    """Forget events of a timer that was cancelled after it came due."""
    conn.execute("UPDATE inbox SET state = 'dropped', handled = ?, lease_owner = NULL, lease_until = NULL"
                 " WHERE timer = ? AND state = 'waiting'", (stamp(now), timer))


def free(conn: sqlite3.Connection, owners: Sequence[str]) -> None:
    """Free what dead owners had in hand."""
    conn.executemany("UPDATE inbox SET lease_owner = NULL, lease_until = NULL WHERE state = 'waiting'"
                     " AND lease_owner = ?", [(owner,) for owner in owners])


def waits(conn: sqlite3.Connection, conversation: str) -> bool:
    """Whether an event of the conversation waits or is being worked on."""
    return conn.execute("SELECT 1 FROM inbox WHERE conversation = ? AND state = 'waiting' LIMIT 1",
                        (conversation,)).fetchone() is not None


def in_hand(conn: sqlite3.Connection, now: datetime) -> bool:
    """Whether anybody works on an event right now."""
    return conn.execute("SELECT 1 FROM inbox WHERE state = 'waiting' AND lease_until >= ? LIMIT 1",
                        (stamp(now),)).fetchone() is not None


def _waits_before(conn: sqlite3.Connection, conversation: str, seq: int) -> bool:
    return conn.execute("SELECT 1 FROM inbox WHERE conversation = ? AND state = 'waiting' AND seq < ? LIMIT 1",
                        (conversation, seq)).fetchone() is not None


def _lease(conn: sqlite3.Connection, seq: int, owner: str, now: datetime) -> None:
    conn.execute("UPDATE inbox SET lease_owner = ?, lease_until = ?, claims = claims + 1 WHERE seq = ?",
                 (owner, stamp(now + LEASE), seq))


def _claimed(conn: sqlite3.Connection, seq: int, owner: str, now: datetime) -> Claimed | None:
    """The event, leased; its attempts are used up if whoever worked on it died too often."""
    _lease(conn, seq, owner, now)
    text, attempts, claims = conn.execute("SELECT event, attempts, claims FROM inbox WHERE seq = ?", (seq,)).fetchone()
    try:
        event = load_event(text)
    except ValidationError as error:
        conn.execute("UPDATE inbox SET state = 'parked', failure = ?, lease_owner = NULL, lease_until = NULL"
                     " WHERE seq = ?", (f"stored event cannot be read: {error.error_count()} problems", seq))
        return None
    return Claimed(event, seq, ATTEMPTS if claims > CLAIMS else attempts)
