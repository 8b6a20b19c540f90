"""What the owner's pages and commands ask of the data folder, beside a service that may be running on it.

Its own readers and its own writer: nothing here waits for, or is waited for by, the work on messages, apart from
SQLite's one write lock. All instants are UTC. Errors are those of `bot.store.errors`.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import TypeVar

from bot.conversation.effects import Audit
from bot.conversation.events import PhotoSeen
from bot.conversation.firm import FirmNote, Person
from bot.store import erasing, firm_notes, jobs, learned, logbook, logins, people, photos, remarks, talks
from bot.store import visits as figures
from bot.store.connection import Readers, connect, translated
from bot.store.errors import StoreUnusableError
from bot.store.inbox import parked
from bot.store.migrations import migrate
from bot.store.review_rows import (
    Asked,
    Customer,
    EndedVisit,
    Erased,
    Filter,
    Found,
    LearnedRow,
    Line,
    Listed,
    Mark,
    Note,
    Remark,
    Step,
    Unheard,
    VisitRow,
    Waiting,
    Wording,
)
from bot.store.rows import Parked
from bot.store.sqlite import FILE
from bot.store.stamps import stamp
from bot.store.visits import Belief
from bot.store.writer import Writer

T = TypeVar("T")


class ReviewStore:
    """The data folder as its owner looks at it."""

    def __init__(self, folder: Path) -> None:
        """Open the folder. Raises StoreUnusableError if there is no data in it, or it cannot be used."""
        if not (folder / FILE).exists():
            raise StoreUnusableError(f"no data in {folder}: name the folder that `chargehand try --data` or the "
                                     "settings file uses")
        self.folder = folder
        db = connect(folder / FILE)
        try:
            migrate(db)
        except sqlite3.DatabaseError as error:
            db.close()
            raise StoreUnusableError(f"{folder / FILE} cannot be brought up to date: {error}") from error
        self._writer = Writer(db)
        self._readers = Readers(folder / FILE)

    def close(self) -> None:
        """Let go of the file."""
        self._writer.close()
        self._readers.close()

    def _read(self, do: Callable[[sqlite3.Connection], T]) -> T:
        with self._readers.reading() as conn:
            return do(conn)

    def _write(self, do: Callable[[sqlite3.Connection], T]) -> T:
        return self._writer.run(do)

    # -- people and logins -------------------------------------------------------------------------------------------

    def crew(self) -> Mapping[str, Person]:
        """Everyone of the crew, by id."""
        return self._read(people.crew)

    def names(self) -> Mapping[str, str]:
        """Everyone's name by id, also of those who left."""
        return self._read(logbook.names)

    def add_login(self, key_hash: str, person: str | None, now: datetime, expires: datetime) -> None:
        """Keep a one-time login by its key's hash. `person` None: whoever can open the folder, as owner."""
        self._write(lambda conn: logins.add_login(conn, key_hash, person, now, expires))

    def use_login(self, key_hash: str, session_hash: str, now: datetime, expires: datetime) -> bool:
        """Use a login up and begin a session with it; False if there is none that still holds."""
        return self._write(lambda conn: logins.use_login(conn, key_hash, session_hash, now, expires))

    def session(self, session_hash: str, now: datetime) -> logins.Session | None:
        """The session of that hash, if it still holds."""
        return self._read(lambda conn: logins.session(conn, session_hash, now))

    def end_session(self, session_hash: str) -> None:
        """Log out."""
        self._write(lambda conn: logins.end_session(conn, session_hash))

    def note_act(self, audit: Audit, person: str | None, now: datetime) -> None:
        """Put a privileged act into the audit log."""
        self._write(lambda conn: jobs.add_audit(conn, audit, person, now))

    # -- the log -----------------------------------------------------------------------------------------------------

    def visits(self, chosen: Filter, limit: int, before: str | None = None) -> tuple[Listed, ...]:
        """Visits of the log, newest first; `before`: the place of the last one of the page before."""
        return self._read(lambda conn: logbook.visits(conn, chosen, limit, before))

    def count(self, chosen: Filter, most: int) -> int:
        """How many visits there are, counted up to `most`."""
        return self._read(lambda conn: logbook.count(conn, chosen, most))

    def search(self, query: str, chosen: Filter, limit: int, before: int | None = None,
               saying: Sequence[str] | None = None) -> tuple[Found, ...]:
        """Messages that match an FTS5 query, newest first. `before`: the place of the last one of the page before.

        `saying`: of our own messages only those with a paragraph of one of these keys.
        """
        return self._read(lambda conn: logbook.search(conn, query, chosen, limit, before, saying))

    def any_match(self, query: str) -> bool:
        """Whether anything at all matches."""
        return self._read(lambda conn: logbook.any_match(conn, query))

    def words(self) -> tuple[tuple[str, int], ...]:
        """Every word of all messages with the number of messages that hold it."""
        return self._read(logbook.words)

    def words_since(self, place: int) -> tuple[int, tuple[str, ...]]:
        """The newest message's place, and what was said after `place`."""
        return self._read(lambda conn: logbook.said_since(conn, place))

    # -- one visit ---------------------------------------------------------------------------------------------------

    def listed(self, job: str) -> Listed | None:
        """One visit as the log lists it."""
        return self._read(lambda conn: logbook.one(conn, job))

    def may_see(self, person: str, job: str) -> bool:
        """Whether a senior had that visit in hand."""
        return self._read(lambda conn: logbook.had(conn, person, job))

    def job(self, job: str) -> talks.Stored | None:
        """A visit's state as last committed."""
        return self._read(lambda conn: talks.stored(conn, job))

    def lines(self, job: str) -> tuple[Line, ...]:
        """What was said and pressed about a visit, in order."""
        return self._read(lambda conn: talks.lines(conn, job))

    def steps(self, job: str) -> tuple[Step, ...]:
        """What was understood, believed and weighed, in order."""
        return self._read(lambda conn: talks.steps(conn, job))

    def remarks(self, job: str) -> tuple[Remark, ...]:
        """The labels kept of a visit, in order."""
        return self._read(lambda conn: talks.remarks(conn, job))

    def photo(self, sha256: str, person: str | None) -> PhotoSeen | None:
        """A photo that some message uses; for a senior (`person`) only one of a visit of theirs."""
        def do(conn: sqlite3.Connection) -> PhotoSeen | None:
            return photos.get(conn, sha256) if talks.photo_seen(conn, sha256, person) else None

        return self._read(do)

    def photo_file(self, sha256: str) -> Path:
        """Where its file lies."""
        return photos.file_of(self.folder / "photos", sha256)

    # -- marks, notes, wordings --------------------------------------------------------------------------------------

    def marks(self, job: str) -> tuple[Mark, ...]:
        """The owner's marks of a visit and its messages."""
        return self._read(lambda conn: remarks.marks(conn, job))

    def set_mark(self, mark: Mark, now: datetime, *, off: bool = False) -> None:
        """Set a mark, or take it off."""
        self._write(lambda conn: remarks.set_mark(conn, mark, now, off=off))

    def notes(self, job: str) -> tuple[Note, ...]:
        """The owner's notes to a visit, oldest first."""
        return self._read(lambda conn: remarks.notes(conn, job))

    def add_note(self, job: str, message: str | None, text: str, person: str | None, now: datetime) -> None:
        """Keep a note."""
        self._write(lambda conn: remarks.add_note(conn, job, message, text, person, now))

    def drop_note(self, note: str, job: str) -> None:
        """Forget a note."""
        self._write(lambda conn: remarks.drop_note(conn, note, job))

    def wordings(self, *, undone: bool = False) -> tuple[Wording, ...]:
        """Wordings that were added and stand (with `undone`: also the others), newest first."""
        return self._read(lambda conn: remarks.wordings(conn, undone=undone))

    def add_wording(self, wording: Wording) -> None:
        """Keep a wording."""
        self._write(lambda conn: remarks.add_wording(conn, wording))

    def undo_wording(self, wording: str, now: datetime) -> bool:
        """Take a wording back; False if it is gone already."""
        return self._write(lambda conn: remarks.undo_wording(conn, wording, now))

    def unheard(self, limit: int) -> tuple[Unheard, ...]:
        """Typed messages that were not understood, newest first."""
        return self._read(lambda conn: talks.unheard(conn, limit))

    def typed(self, family: str | None, limit: int) -> tuple[Asked, ...]:
        """The newest typed messages (of one family's visits, if one is named), with what was open when they came."""
        return self._read(lambda conn: talks.typed(conn, family, limit))

    # -- figures -----------------------------------------------------------------------------------------------------

    def visit_rows(self, since: datetime | None, until: datetime | None) -> tuple[VisitRow, ...]:
        """What figures are made of: a row a visit opened in that time."""
        return self._read(lambda conn: figures.rows(conn, since, until))

    def beliefs(self, jobs: Sequence[str]) -> tuple[Belief, ...]:
        """The traced beliefs of these visits, in order."""
        return self._read(lambda conn: figures.beliefs(conn, jobs))

    def waiting(self) -> tuple[Waiting, ...]:
        """Visits that are open, or ended in a way that somebody has to look after."""
        return self._read(figures.waiting)

    def parked(self) -> tuple[Parked, ...]:
        """Events that failed too often and wait for the owner."""
        return self._read(parked)

    # -- learning ----------------------------------------------------------------------------------------------------

    def ended(self, family: str) -> tuple[EndedVisit, ...]:
        """The newest ended visits of a family with a proof or a senior's verdict, oldest first."""
        return self._read(lambda conn: learned.ended(conn, family))

    def learned(self) -> tuple[LearnedRow, ...]:
        """Every application of what was learned, newest first; the first that was not undone is in force."""
        return self._read(learned.history)

    def keep_learned(self, data: str, audit: Audit, person: str | None, now: datetime) -> int:
        """Put what was learned in force, with a line in the audit log; its number."""
        def do(conn: sqlite3.Connection) -> int:
            jobs.add_audit(conn, audit, person, now)
            return learned.keep(conn, data, person, now)

        return self._write(do)

    def undo_learned(self, number: int, audit: Audit, person: str | None, now: datetime) -> bool:
        """Take back what is in force; False if that is another by now."""
        def do(conn: sqlite3.Connection) -> bool:
            if not learned.undo(conn, number, now):
                return False
            jobs.add_audit(conn, audit, person, now)
            return True

        return self._write(do)

    # -- retention and erasure ---------------------------------------------------------------------------------------

    def setting(self, key: str) -> str | None:
        """A setting that is kept in the store."""
        return self._read(lambda conn: erasing.setting(conn, key))

    def set_setting(self, key: str, value: str) -> None:
        """Keep a setting."""
        self._write(lambda conn: erasing.set_setting(conn, key, value))

    def customers(self, words: str, limit: int) -> tuple[Customer, ...]:
        """Addresses and work orders whose name holds these words, with how much is kept of each."""
        return self._read(lambda conn: erasing.customers(conn, words, limit))

    def customer(self, site: str) -> Customer | None:
        """One of them."""
        return self._read(lambda conn: erasing.customer(conn, site))

    def ended_before(self, before: datetime, limit: int) -> tuple[str, ...]:
        """Visits that were last touched before that time."""
        return self._read(lambda conn: tuple(row[0] for row in conn.execute(
            "SELECT id FROM jobs WHERE touched < ? ORDER BY touched LIMIT ?", (stamp(before), limit))))

    def firm_notes(self) -> tuple[FirmNote, ...]:
        """The firm's notes that are shown, newest first."""
        return self._read(firm_notes.shown)

    def retire_note(self, number: int, audit: Audit, person: str | None, now: datetime) -> bool:
        """Show a note no more, with a line in the audit log; false if it is not shown."""
        def do(conn: sqlite3.Connection) -> bool:
            if not firm_notes.retire(conn, number, now):
                return False
            jobs.add_audit(conn, audit, person, now)
            return True

        return self._write(do)

    def erase_jobs(self, jobs: Sequence[str], names: Sequence[str] = (), *, customer: bool = True) -> Erased:
        """Remove visits with all that hangs on them, and the `names` (of a customer) wherever else they stand.

        The rows and photo files are gone when this returns; `scour` removes what is left in free space and logs.
        """
        erased = self._write(lambda conn: erasing.erase(conn, jobs, names, customer=customer))
        for sha256 in erased.photos:
            self.photo_file(sha256).unlink(missing_ok=True)
        return erased

    def loose_talk_before(self, before: datetime) -> int:
        """Remove old messages and events that belong to no visit; how many messages."""
        return self._write(lambda conn: erasing.erase_loose(conn, before))

    def scour(self) -> bool:
        """Rewrite the word index and the whole file, so that nothing deleted can be read in it any more.

        Takes as long as writing the file does. False if another connection kept the write-ahead log from being
        emptied: try again in a moment.
        """
        self._write(erasing.rewrite_index)
        db = connect(self.folder / FILE)
        try:
            return erasing.rewrite_file(db.conn)
        except sqlite3.Error as error:
            raise translated(error) from error
        finally:
            db.close()


__all__ = ["Asked", "ReviewStore"]
