"""The crew: persons, their sign-offs, the accounts they write from, invitations, conversations."""

from __future__ import annotations

import sqlite3
from datetime import datetime, timedelta
from secrets import token_hex
from typing import Final

from bot.conversation.effects import ROOM, Invite, SetDuty, SetReach, SetTimer
from bot.conversation.events import LEFT
from bot.conversation.firm import Person, Signoff
from bot.conversation.ids import derive
from bot.store import timers
from bot.store.errors import RefusedError
from bot.store.rows import Invite as Waiting
from bot.store.rows import Member, Met
from bot.store.stamps import instant, instant_or_none, stamp, stamp_or_none

_VERSION: Final = "people_version"
VALID: Final = timedelta(days=7)
"""How long an invitation's code opens the door."""


def add(conn: sqlite3.Connection, person: Person, now: datetime) -> None:
    """Keep a new person."""
    conn.execute("INSERT INTO persons (id, name, role, language, timezone, on_duty, created, phone, hours)"
                 " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
                 (person.id, person.name, person.role, person.language, person.timezone, int(person.on_duty),
                  stamp(now), person.phone, person.hours))
    for what in sorted(person.signoffs):
        sign_off(conn, person.id, what, now)
    changed(conn)


def update(conn: sqlite3.Connection, person: Person) -> None:
    """Change a person's name, role and language, and all that `set_duty` and `set_reach` change."""
    done = conn.execute("UPDATE persons SET name = ?, role = ?, language = ? WHERE id = ? AND removed IS NULL",
                        (person.name, person.role, person.language, person.id))
    _one(conn, done.rowcount, person.id)
    set_duty(conn, SetDuty(person=person.id, on_duty=person.on_duty, hours=person.hours, off_until=person.off_until,
                           on_until=person.on_until))
    set_reach(conn, SetReach(person=person.id, timezone=person.timezone, phone=person.phone))


def set_duty(conn: sqlite3.Connection, duty: SetDuty) -> None:
    """Change when a person is on duty."""
    done = conn.execute("UPDATE persons SET on_duty = ?, hours = ?, off_until = ?, on_until = ?"
                        " WHERE id = ? AND removed IS NULL",
                        (int(duty.on_duty), duty.hours, stamp_or_none(duty.off_until), stamp_or_none(duty.on_until),
                         duty.person))
    _one(conn, done.rowcount, duty.person)


def set_reach(conn: sqlite3.Connection, reach: SetReach) -> None:
    """Change a person's time zone and phone."""
    done = conn.execute("UPDATE persons SET timezone = ?, phone = ? WHERE id = ? AND removed IS NULL",
                        (reach.timezone, reach.phone, reach.person))
    _one(conn, done.rowcount, reach.person)


def remove(conn: sqlite3.Connection, person: str, now: datetime) -> None:
    """Shut someone out: their accounts are strangers from now on. What they did stays in the record.

    Cases in which they are one of two are told at once: the junior's that they held, the senior's that was theirs.
    """
    done = conn.execute("UPDATE persons SET removed = ?, on_duty = 0, conversation = NULL, phone = ''"
                        " WHERE id = ? AND removed IS NULL", (stamp(now), person))
    _one(conn, done.rowcount, person)
    conn.execute("DELETE FROM identities WHERE person = ?", (person,))
    conn.execute("DELETE FROM signoffs WHERE person = ?", (person,))
    conn.execute("UPDATE invites SET used = ? WHERE links = ? AND used IS NULL", (stamp(now), person))
    for job, other, conversation in conn.execute(
            "SELECT j.id, p.id, CASE WHEN p.id = j.tech THEN j.conversation ELSE p.conversation END FROM jobs j"
            " JOIN persons p ON p.id = CASE WHEN j.handed_to = ?1 THEN j.tech ELSE j.handed_to END"
            " WHERE j.ended IS NULL AND ?1 IN (j.tech, j.handed_to) AND p.removed IS NULL", (person,)).fetchall():
        timers.put(conn, SetTimer(id=derive(job, LEFT, person), at=now, name=LEFT, job=job, person=other,
                                  conversation=conversation or ""), set_by=person)


def sign_off(conn: sqlite3.Connection, person: str, what: Signoff, now: datetime, *, revoke: bool = False) -> None:
    """Grant or take back a sign-off; the same twice changes nothing."""
    if revoke:
        conn.execute("DELETE FROM signoffs WHERE person = ? AND what = ?", (person, what))
    else:
        conn.execute("INSERT INTO signoffs (person, what, granted) VALUES (?, ?, ?) ON CONFLICT DO NOTHING",
                     (person, what, stamp(now)))
    changed(conn)


def crew(conn: sqlite3.Connection) -> dict[str, Person]:
    """All persons that were not removed, by id."""
    signed: dict[str, set[Signoff]] = {}
    for person, what in conn.execute("SELECT person, what FROM signoffs"):
        signed.setdefault(person, set()).add(what)
    reached: dict[str, dict[str, None]] = {}
    for person, platform in conn.execute("SELECT person, platform FROM identities ORDER BY created"):
        reached.setdefault(person, {})[platform] = None
    rows = conn.execute("SELECT id, name, role, language, timezone, on_duty, phone, hours, off_until, on_until"
                        " FROM persons WHERE removed IS NULL ORDER BY created, id")
    return {key: Person(key, name, role, language, timezone, frozenset(signed.get(key, ())), bool(on_duty), phone,
                        hours, instant_or_none(off_until), instant_or_none(on_until), tuple(reached.get(key, ())))
            for key, name, role, language, timezone, on_duty, phone, hours, off_until, on_until in rows}


def members(conn: sqlite3.Connection) -> tuple[Member, ...]:
    """The crew as the owner's list shows it."""
    created = dict(conn.execute("SELECT id, created FROM persons WHERE removed IS NULL"))
    accounts: dict[str, list[tuple[str, str, str]]] = {}
    for person, *account in conn.execute("SELECT person, platform, account, user FROM identities ORDER BY created"):
        accounts.setdefault(person, []).append((account[0], account[1], account[2]))
    return tuple(Member(person, instant(created[key]), tuple(accounts.get(key, ())))
                 for key, person in crew(conn).items())


def _one(conn: sqlite3.Connection, rows: int, person: str) -> None:
    """Somebody was changed; or else there is nobody of that id."""
    if rows != 1:
        raise RefusedError(f"no person '{person}'")
    changed(conn)


def version(conn: sqlite3.Connection) -> int:
    """A number that grows with every change of the crew."""
    row = conn.execute("SELECT value FROM settings WHERE key = ?", (_VERSION,)).fetchone()
    return int(row[0]) if row else 0


def changed(conn: sqlite3.Connection) -> None:
    """Tell other processes and caches that the crew changed."""
    conn.execute("INSERT INTO settings (key, value) VALUES (?, '1')"
                 " ON CONFLICT (key) DO UPDATE SET value = CAST(value AS INTEGER) + 1", (_VERSION,))


def known(conn: sqlite3.Connection, platform: str, account: str, user: str,
          address: str) -> tuple[str, str | None] | None:
    """(person, conversation at this address if there is one already) of an account; None for a stranger."""
    row = conn.execute(
        "SELECT i.person, c.id FROM identities i LEFT JOIN conversations c ON c.platform = i.platform"
        " AND c.account = i.account AND c.address = ? AND c.person = i.person"
        " WHERE i.platform = ? AND i.account = ? AND i.user = ?", (address, platform, account, user)).fetchone()
    return (row[0], row[1]) if row else None


def enrol(conn: sqlite3.Connection, person: str, platform: str, account: str, user: str, now: datetime) -> None:
    """From now on this account is that person."""
    conn.execute("INSERT INTO identities (id, platform, account, user, person, created) VALUES (?, ?, ?, ?, ?, ?)"
                 " ON CONFLICT (platform, account, user) DO UPDATE SET person = excluded.person",
                 (token_hex(10), platform, account, user, person, stamp(now)))
    changed(conn)


def converse(conn: sqlite3.Connection, platform: str, account: str, address: str, person: str, now: datetime) -> Met:
    """The person's conversation at this address; it becomes their preferred one if they have none."""
    row = conn.execute("SELECT id FROM conversations WHERE platform = ? AND account = ? AND address = ? AND person = ?",
                       (platform, account, address, person)).fetchone()
    conversation = str(row[0]) if row else token_hex(10)
    if row is None:
        conn.execute("INSERT INTO conversations (id, platform, account, address, person, created)"
                     " VALUES (?, ?, ?, ?, ?, ?)", (conversation, platform, account, address, person, stamp(now)))
    conn.execute("UPDATE persons SET conversation = coalesce(conversation, ?) WHERE id = ?", (conversation, person))
    return Met(person, conversation)


def room(conn: sqlite3.Connection, platform: str, account: str, address: str, now: datetime) -> str:
    """The conversation of a room of several people. It is that of somebody who never is of the crew."""
    conn.execute("INSERT INTO persons (id, name, role, language, timezone, on_duty, created, removed)"
                 " VALUES (?1, 'seniors'' room', 'senior', 'en', 'UTC', 0, ?2, ?2) ON CONFLICT DO NOTHING",
                 (ROOM, stamp(now)))
    row = conn.execute("SELECT id FROM conversations WHERE platform = ? AND account = ? AND address = ? AND person = ?",
                       (platform, account, address, ROOM)).fetchone()
    if row is None:
        row = (token_hex(10),)
        conn.execute("INSERT INTO conversations (id, platform, account, address, person, created)"
                     " VALUES (?, ?, ?, ?, ?, ?)", (*row, platform, account, address, ROOM, stamp(now)))
    return str(row[0])


def private(conn: sqlite3.Connection, platform: str, account: str, user: str, room: str) -> Met | None:
    """Who writes in a room, and their newest chat with us outside of it ('' if there is none); None for a stranger."""
    row = conn.execute(
        "SELECT i.person, c.id FROM identities i LEFT JOIN conversations c ON c.person = i.person"
        " AND c.platform = i.platform AND c.account = i.account AND c.address <> ?4"
        " WHERE i.platform = ?1 AND i.account = ?2 AND i.user = ?3 ORDER BY c.created DESC, c.id LIMIT 1",
        (platform, account, user, room)).fetchone()
    return Met(row[0], row[1] or "") if row else None


def readdress(conn: sqlite3.Connection, platform: str, account: str, old: str, new: str) -> None:
    """The platform moved a chat to another address; a conversation that is there already is not touched."""
    conn.execute("UPDATE OR IGNORE conversations SET address = ? WHERE platform = ? AND account = ? AND address = ?",
                 (new, platform, account, old))


def invite(conn: sqlite3.Connection, invitation: Invite, now: datetime, valid: timedelta) -> str:
    """Keep an invitation by its code's hash; returns its id."""
    invite_id = token_hex(10)
    conn.execute("INSERT INTO invites (id, code_hash, role, name, created, expires, links)"
                 " VALUES (?, ?, ?, ?, ?, ?, ?)",
                 (invite_id, invitation.code_hash, invitation.role, invitation.name, stamp(now), stamp(now + valid),
                  invitation.person))
    return invite_id


def take_invite(conn: sqlite3.Connection, code_hash: str, now: datetime) -> Waiting:
    """Use an invitation up. Raises RefusedError if there is none, it was used, or it ran out."""
    row = conn.execute("SELECT id, role, name, expires, used, links FROM invites WHERE code_hash = ?",
                       (code_hash,)).fetchone()
    if row is None:
        raise RefusedError("no such code: check it, or ask for a new one")
    if row[4] is not None:
        raise RefusedError("that code was used already: ask for a new one")
    if row[3] < stamp(now):
        raise RefusedError("that code has run out: ask for a new one")
    conn.execute("UPDATE invites SET used = ? WHERE id = ?", (stamp(now), row[0]))
    return Waiting(row[0], row[1], row[2], instant(row[3]), row[5])


def uninvite(conn: sqlite3.Connection, name: str, now: datetime) -> int:
    """Void the codes that wait for somebody of this name; how many there were."""
    waiting = [one.id for one in open_invites(conn, now)
               if one.links is None and one.name.casefold() == name.strip().casefold()]
    conn.executemany("UPDATE invites SET used = ? WHERE id = ?", [(stamp(now), each) for each in waiting])
    return len(waiting)


def invited(conn: sqlite3.Connection, invite_id: str, person: str) -> None:
    """Note who an invitation became."""
    conn.execute("UPDATE invites SET person = ? WHERE id = ?", (person, invite_id))


def open_invites(conn: sqlite3.Connection, now: datetime) -> tuple[Waiting, ...]:
    """Invitations that may still be redeemed, oldest first."""
    rows = conn.execute("SELECT id, role, name, expires, links FROM invites WHERE used IS NULL AND expires >= ?"
                        " ORDER BY created", (stamp(now),))
    return tuple(Waiting(row[0], row[1], row[2], instant(row[3]), row[4]) for row in rows)
