"""The crew: persons, their sign-offs, the accounts they write from, invitations, conversations."""

from __future__ import annotations

import sqlite3
from datetime import datetime, timedelta
from secrets import token_hex
from typing import Final

from bot.conversation.context import Person, Role, Signoff
from bot.store.errors import RefusedError
from bot.store.rows import Invite, Member, Met
from bot.store.stamps import instant, stamp

_VERSION: Final = "people_version"


def add(conn: sqlite3.Connection, person: Person, now: datetime) -> None:
    """Keep a new person."""
    conn.execute("INSERT INTO persons (id, name, role, language, timezone, on_duty, created)"
                 " VALUES (?, ?, ?, ?, ?, ?, ?)",
                 (person.id, person.name, person.role, person.language, person.timezone, int(person.on_duty),
                  stamp(now)))
    for what in sorted(person.signoffs):
        sign_off(conn, person.id, what, now)
    changed(conn)


def update(conn: sqlite3.Connection, person: Person) -> None:
    """Change a person's name, role, language, time zone, duty."""
    done = conn.execute("UPDATE persons SET name = ?, role = ?, language = ?, timezone = ?, on_duty = ?"
                        " WHERE id = ? AND removed IS NULL",
                        (person.name, person.role, person.language, person.timezone, int(person.on_duty), person.id))
    if done.rowcount != 1:
        raise RefusedError(f"no person '{person.id}'")
    changed(conn)


def remove(conn: sqlite3.Connection, person: str, now: datetime) -> None:
    """Shut someone out: their accounts are strangers from now on. What they did stays in the record."""
    done = conn.execute("UPDATE persons SET removed = ?, on_duty = 0, conversation = NULL"
                        " WHERE id = ? AND removed IS NULL", (stamp(now), person))
    if done.rowcount != 1:
        raise RefusedError(f"no person '{person}'")
    conn.execute("DELETE FROM identities WHERE person = ?", (person,))
    conn.execute("DELETE FROM signoffs WHERE person = ?", (person,))
    changed(conn)


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
    rows = conn.execute("SELECT id, name, role, language, timezone, on_duty FROM persons WHERE removed IS NULL"
                        " ORDER BY created, id")
    return {key: Person(key, name, role, language, timezone, frozenset(signed.get(key, ())), bool(on_duty))
            for key, name, role, language, timezone, on_duty in rows}


def members(conn: sqlite3.Connection) -> tuple[Member, ...]:
    """The crew as the owner's list shows it."""
    created = dict(conn.execute("SELECT id, created FROM persons WHERE removed IS NULL"))
    accounts: dict[str, list[tuple[str, str, str]]] = {}
    for person, *account in conn.execute("SELECT person, platform, account, user FROM identities ORDER BY created"):
        accounts.setdefault(person, []).append((account[0], account[1], account[2]))
    return tuple(Member(person, instant(created[key]), tuple(accounts.get(key, ())))
                 for key, person in crew(conn).items())


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


def readdress(conn: sqlite3.Connection, platform: str, account: str, old: str, new: str) -> None:
    """The platform moved a chat to another address; a conversation that is there already is not touched."""
    conn.execute("UPDATE OR IGNORE conversations SET address = ? WHERE platform = ? AND account = ? AND address = ?",
                 (new, platform, account, old))


def invite(conn: sqlite3.Connection, code_hash: str, role: Role, name: str, now: datetime, valid: timedelta) -> str:
    """Keep an invitation by its code's hash; returns its id."""
    invite_id = token_hex(10)
    conn.execute("INSERT INTO invites (id, code_hash, role, name, created, expires) VALUES (?, ?, ?, ?, ?, ?)",
                 (invite_id, code_hash, role, name, stamp(now), stamp(now + valid)))
    return invite_id


def take_invite(conn: sqlite3.Connection, code_hash: str, now: datetime) -> Invite:
    """Use an invitation up. Raises RefusedError if there is none, it was used, or it ran out."""
    row = conn.execute("SELECT id, role, name, expires, used FROM invites WHERE code_hash = ?", (code_hash,)).fetchone()
    if row is None:
        raise RefusedError("no such code: check it, or ask for a new one")
    if row[4] is not None:
        raise RefusedError("that code was used already: ask for a new one")
    if row[3] < stamp(now):
        raise RefusedError("that code has run out: ask for a new one")
    conn.execute("UPDATE invites SET used = ? WHERE id = ?", (stamp(now), row[0]))
    return Invite(row[0], row[1], row[2], instant(row[3]))


def invited(conn: sqlite3.Connection, invite_id: str, person: str) -> None:
    """Note who an invitation became."""
    conn.execute("UPDATE invites SET person = ? WHERE id = ?", (person, invite_id))


def open_invites(conn: sqlite3.Connection, now: datetime) -> tuple[Invite, ...]:
    """Invitations that may still be redeemed, oldest first."""
    rows = conn.execute("SELECT id, role, name, expires FROM invites WHERE used IS NULL AND expires >= ?"
                        " ORDER BY created", (stamp(now),))
    return tuple(Invite(row[0], row[1], row[2], instant(row[3])) for row in rows)
