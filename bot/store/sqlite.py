"""The store in SQLite: one file and one folder of photos, for several threads and processes."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from datetime import datetime, timedelta
from pathlib import Path
from types import MappingProxyType
from typing import Final, TypeVar

from sqlite_utils import Database

from bot.conversation.effects import Audit, Invite, SetDuty
from bot.conversation.events import Due, Event, PhotoSeen
from bot.conversation.firm import FirmNote, Person, Signoff
from bot.conversation.job import Job
from bot.store import arrivals as waiting
from bot.store import commit as commits
from bot.store import firm_notes, inbox, jobs, learned, messages, outbox, people, photos, search, timers
from bot.store.connection import Readers, connect
from bot.store.errors import RefusedError, StoreError, StoreUnusableError
from bot.store.migrations import migrate
from bot.store.owners import Owner
from bot.store.rows import (
    Accepted,
    Arrival,
    Backlog,
    Choices,
    Claimed,
    Commit,
    Hit,
    Member,
    Met,
    Open,
    Outgoing,
    Outlet,
    Parked,
    Rendered,
    View,
)
from bot.store.rows import Invite as Waiting
from bot.store.stamps import instant_or_none, stamp
from bot.store.writer import Writer

T = TypeVar("T")
FILE: Final = "chargehand.db"


class SqliteStore:
    """See `bot.store.protocol.Store` for what each method promises."""

    def __init__(self, folder: Path) -> None:
        """Open the data folder, made if it is missing, and bring its file up to date. Raises StoreUnusableError."""
        self.folder = folder
        try:
            folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            self._owner = Owner(folder / "owners")
        except OSError as error:
            raise StoreUnusableError(f"the data folder {folder} cannot be used ({error.strerror}): "
                                     "choose one that you may write to") from error
        self.owner = self._owner.name
        try:
            self._writer = Writer(_up_to_date(folder / FILE))
        except BaseException:
            self._owner.close()
            raise
        self._readers = Readers(folder / FILE)
        self._crew: tuple[int, Mapping[str, Person]] = (-1, {})
        self._crew_lock = threading.Lock()
        self._notes: tuple[int, tuple[FirmNote, ...]] = (-1, ())
        self.free_dead()

    def close(self) -> None:
        with suppress(StoreError):
            self._writer.run(lambda conn: self._free(conn, (self.owner,)), durable=False)
        self._writer.close()
        self._readers.close()
        self._owner.close()

    def _read(self, do: Callable[[sqlite3.Connection], T]) -> T:
        with self._readers.reading() as conn:
            return do(conn)

    # -- arrivals ----------------------------------------------------------------------------------------------------

    def keep_arrivals(self, platform: str, account: str, arrivals: Sequence[Arrival], now: datetime) -> None:
        self._writer.run(lambda conn: waiting.keep(conn, platform, account, arrivals, now))

    def arrivals(self, platform: str, account: str) -> tuple[Arrival, ...]:
        return self._read(lambda conn: waiting.kept(conn, platform, account))

    def drop_arrivals(self, platform: str, account: str, keys: Sequence[str]) -> None:
        self._writer.run(lambda conn: waiting.drop(conn, platform, account, keys), durable=False)

    def fail_arrivals(self, platform: str, account: str, keys: Sequence[str], failure: str) -> None:
        self._writer.run(lambda conn: waiting.fail(conn, platform, account, keys, failure))

    # -- events ------------------------------------------------------------------------------------------------------

    def accept(self, event: Event, now: datetime, platform_ids: Sequence[str] = (), *, claim: bool = False) -> Accepted:
        return self._writer.run(lambda conn: inbox.accept(conn, event, self.owner, now, platform_ids, claim=claim))

    def claim_events(self, now: datetime, limit: int) -> tuple[Claimed, ...]:
        if limit < 1 or not self._read(lambda conn: inbox.claimable(conn, now, 1)):
            return ()
        return self._writer.run(lambda conn: inbox.claim(conn, self.owner, now, limit), durable=False)

    def view(self, event: Event) -> View:
        def look(conn: sqlite3.Connection) -> View:
            past = jobs.past_visits(conn, event.job, event.at) if isinstance(event, Due) else ()
            return View(jobs.desk(conn, event.conversation, event.person), messages.target(conn, event),
                        jobs.open_jobs(conn, event.person), past)

        return self._read(look)

    def job(self, job_id: str) -> Job | None:
        return self._read(lambda conn: jobs.job(conn, job_id))

    def commit(self, commit: Commit) -> Claimed | None:
        return self._writer.run(lambda conn: commits.write(conn, commit, self.owner))

    def fail(self, claimed: Claimed, failure: str, now: datetime, tell: Rendered | None = None) -> Claimed | None:
        def do(conn: sqlite3.Connection) -> Claimed | None:
            again = inbox.fail(conn, claimed, self.owner, failure, now)
            if again is None and tell is not None:
                outbox.send(conn, tell, claimed.event.id, now)
            return again

        return self._writer.run(do)

    def release_event(self, claimed: Claimed) -> None:
        self._writer.run(lambda conn: inbox.release(conn, claimed, self.owner), durable=False)

    def fire_timers(self, now: datetime, limit: int = 100) -> int:
        if not self._read(lambda conn: timers.any_due(conn, now)):
            return 0
        return self._writer.run(lambda conn: timers.fire(conn, now, limit))

    def free_dead(self) -> int:
        dead = self._owner.dead()
        if dead:
            self._writer.run(lambda conn: self._free(conn, dead), durable=False)
            self._owner.bury(dead)
        return len(dead)

    @staticmethod
    def _free(conn: sqlite3.Connection, owners: Sequence[str]) -> None:
        inbox.free(conn, owners)
        outbox.free(conn, owners)

    def at_work(self, conversation: str) -> bool:
        return self._read(lambda conn: inbox.waits(conn, conversation) or outbox.waits(conn, conversation))

    def in_hand(self, now: datetime) -> bool:
        return self._read(lambda conn: inbox.in_hand(conn, now))

    def parked(self) -> tuple[Parked, ...]:
        return self._read(inbox.parked)

    def requeue(self, event_id: str) -> bool:
        return self._writer.run(lambda conn: inbox.requeue(conn, event_id))

    def backlog(self) -> Backlog:
        def do(conn: sqlite3.Connection) -> Backlog:
            events, since = conn.execute("SELECT count(*), min(accepted) FROM inbox WHERE state = 'waiting'").fetchone()
            (parked,) = conn.execute("SELECT count(*) FROM inbox WHERE state = 'parked'").fetchone()
            (waiting,) = conn.execute("SELECT count(*) FROM timers").fetchone()
            return Backlog(events, instant_or_none(since), parked, *outbox.oldest(conn), waiting, timers.next_due(conn))

        return self._read(do)

    # -- outbox ------------------------------------------------------------------------------------------------------

    def claim_outgoing(self, outlet: Outlet, now: datetime, limit: int) -> tuple[Outgoing, ...]:
        if limit < 1 or not self._read(lambda conn: outbox.claimable(conn, outlet, now, 1)):
            return ()
        return self._writer.run(lambda conn: outbox.claim(conn, outlet, self.owner, now, limit), durable=False)

    def delivered(self, out: Outgoing, platform_ids: Sequence[str], now: datetime,
                  then: Outlet | None = None) -> Outgoing | None:
        def do(conn: sqlite3.Connection) -> Outgoing | None:
            outbox.delivered(conn, out, self.owner, platform_ids, now)
            following = outbox.claim(conn, then, self.owner, now, 1) if then is not None else ()
            return following[0] if following else None

        return self._writer.run(do)

    def later(self, out: Outgoing, not_before: datetime, *, failed: bool = False) -> None:
        self._writer.run(lambda conn: outbox.later(conn, out, self.owner, not_before, failed=failed))

    def never(self, out: Outgoing, reason: str, now: datetime) -> None:
        self._writer.run(lambda conn: outbox.never(conn, out, self.owner, reason, now))

    def tell(self, out: Rendered, now: datetime) -> bool:
        return self._writer.run(lambda conn: outbox.tell(conn, out, now))

    def our_id(self, conversation: str, platform_id: str) -> str | None:
        return self._read(lambda conn: messages.our_id(conn, conversation, platform_id))

    def platform_ids(self, message: str) -> tuple[str, ...]:
        return self._read(lambda conn: messages.platform_ids(conn, message))

    def choices_of(self, message: str) -> Choices | None:
        return self._read(lambda conn: messages.choices_of(conn, message))

    def open_questions(self, conversation: str) -> tuple[Open, ...]:
        return self._read(lambda conn: messages.open_questions(conn, conversation))

    # -- people ------------------------------------------------------------------------------------------------------

    def crew(self) -> Mapping[str, Person]:
        def do(conn: sqlite3.Connection) -> tuple[int, Mapping[str, Person]]:
            version = people.version(conn)
            kept = self._crew
            return kept if kept[0] == version else (version, MappingProxyType(people.crew(conn)))

        read = self._read(do)
        with self._crew_lock:
            if read[0] > self._crew[0]:
                self._crew = read
        return read[1]

    def members(self) -> tuple[Member, ...]:
        return self._read(people.members)

    def meet(self, platform: str, account: str, user: str, address: str, now: datetime) -> Met | None:
        found = self._read(lambda conn: people.known(conn, platform, account, user, address))
        if found is None:
            return None
        person, conversation = found
        if conversation is not None:
            return Met(person, conversation)
        return self._writer.run(lambda conn: people.converse(conn, platform, account, address, person, now))

    def readdress(self, platform: str, account: str, old: str, new: str) -> None:
        self._writer.run(lambda conn: people.readdress(conn, platform, account, old, new))

    def add_person(self, person: Person, now: datetime, audit: Audit) -> None:
        self._change_crew(lambda conn: people.add(conn, person, now), now, audit)

    def update_person(self, person: Person, now: datetime, audit: Audit) -> None:
        def do(conn: sqlite3.Connection) -> None:
            people.update(conn, person)
            outbox.unhold(conn, person.id)

        self._change_crew(do, now, audit)

    def set_duty(self, duty: SetDuty, now: datetime, audit: Audit) -> None:
        def do(conn: sqlite3.Connection) -> None:
            people.set_duty(conn, duty)
            outbox.unhold(conn, duty.person)

        self._change_crew(do, now, audit)

    def room(self, platform: str, account: str, address: str, now: datetime) -> str:
        return self._writer.run(lambda conn: people.room(conn, platform, account, address, now))

    def private(self, platform: str, account: str, user: str, room: str) -> Met | None:
        return self._read(lambda conn: people.private(conn, platform, account, user, room))

    def firm_notes(self) -> tuple[FirmNote, ...]:
        def do(conn: sqlite3.Connection) -> tuple[int, tuple[FirmNote, ...]]:
            version = firm_notes.version(conn)
            kept = self._notes
            return kept if kept[0] == version else (version, firm_notes.shown(conn))

        self._notes = read = self._read(do)
        return read[1]

    def remove_person(self, person: str, now: datetime, audit: Audit) -> None:
        self._change_crew(lambda conn: people.remove(conn, person, now), now, audit)

    def sign_off(self, person: str, what: Signoff, now: datetime, audit: Audit, *, revoke: bool = False) -> None:
        def do(conn: sqlite3.Connection) -> None:
            if person not in people.crew(conn):
                raise RefusedError(f"no person '{person}': `chargehand people list` shows the ids")
            people.sign_off(conn, person, what, now, revoke=revoke)

        self._change_crew(do, now, audit)

    def note_act(self, audit: Audit, person: str | None, now: datetime) -> None:
        self._writer.run(lambda conn: jobs.add_audit(conn, audit, person, now))

    def enrol(self, person: str, platform: str, account: str, user: str, now: datetime) -> None:
        self._writer.run(lambda conn: people.enrol(conn, person, platform, account, user, now))

    def invite(self, invitation: Invite, now: datetime, valid: timedelta, audit: Audit) -> str:
        return self._change_crew(lambda conn: people.invite(conn, invitation, now, valid), now, audit)

    def uninvite(self, name: str, now: datetime, audit: Audit) -> int:
        return self._change_crew(lambda conn: people.uninvite(conn, name, now), now, audit)

    def redeem(self, code_hash: str, person: Person, account: tuple[str, str, str], now: datetime) -> Person:
        def do(conn: sqlite3.Connection) -> Person:
            invite = people.take_invite(conn, code_hash, now)
            if invite.links is not None:
                return self._link(conn, invite, account, now)
            new = Person(person.id, invite.name or person.name, invite.role, person.language, person.timezone)
            people.add(conn, new, now)
            people.enrol(conn, new.id, *account, now)
            people.invited(conn, invite.id, new.id)
            done = Audit(what="invite_redeemed", data={"invite": invite.id, "role": new.role})
            jobs.add_audit(conn, done, new.id, now)
            return new

        return self._writer.run(do)

    @staticmethod
    def _link(conn: sqlite3.Connection, invite: Waiting, account: tuple[str, str, str], now: datetime) -> Person:
        """The account is one more of somebody's."""
        person = people.crew(conn)[invite.links or ""]  # codes of who left are used up when they leave
        people.enrol(conn, person.id, *account, now)
        people.invited(conn, invite.id, person.id)
        jobs.add_audit(conn, Audit(what="account_linked", data={"invite": invite.id, "platform": account[0]}),
                       person.id, now)
        return person

    def open_invites(self, now: datetime) -> tuple[Waiting, ...]:
        return self._read(lambda conn: people.open_invites(conn, now))

    def _change_crew(self, do: Callable[[sqlite3.Connection], T], now: datetime, audit: Audit) -> T:
        def both(conn: sqlite3.Connection) -> T:
            result = do(conn)
            jobs.add_audit(conn, audit, None, now)
            return result

        return self._writer.run(both)

    # -- photos, releases, words -------------------------------------------------------------------------------------

    def keep_photo(self, content: bytes, photo: PhotoSeen, now: datetime) -> None:
        photos.keep_file(self.folder / "photos", photo.sha256 or "", content, photo.mime)
        self._writer.run(lambda conn: photos.add(conn, photo, now))

    def photo(self, sha256: str) -> PhotoSeen | None:
        return self._read(lambda conn: photos.get(conn, sha256))

    def photo_file(self, sha256: str) -> Path:
        return photos.file_of(self.folder / "photos", sha256)

    def forget_unused_photos(self, before: datetime) -> int:
        gone = self._read(lambda conn: photos.unused(conn, before))
        if gone:
            self._writer.run(lambda conn: photos.forget(conn, gone))
            for sha256 in gone:
                self.photo_file(sha256).unlink(missing_ok=True)
        return len(gone)

    def note_release(self, release: str, families: Sequence[str], now: datetime) -> None:
        self._writer.run(lambda conn: conn.execute(
            "INSERT INTO releases (id, created, families) VALUES (?, ?, ?) ON CONFLICT (id) DO NOTHING",
            (release, stamp(now), " ".join(families))))

    def learned_in_force(self) -> int:
        return self._read(learned.in_force)

    def learned(self, number: int) -> str | None:
        return self._read(lambda conn: learned.text(conn, number))

    def search(self, words: str, limit: int = 50) -> tuple[Hit, ...]:
        return self._read(lambda conn: search.search(conn, words, limit))


def _up_to_date(file: Path) -> Database:
    db = connect(file)
    try:
        migrate(db)
    except sqlite3.DatabaseError as error:
        db.close()
        raise StoreUnusableError(f"{file} cannot be brought up to date: {error}") from error
    except BaseException:
        db.close()
        raise
    return db
