"""Opening the SQLite file: one connection that writes, and a small pool of readers."""

from __future__ import annotations

import sqlite3
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from sqlite_utils import Database

from bot.store.errors import MalformedError, StoreBusyError, StoreError, StoreFailedError, StoreUnusableError

BUSY_SECONDS: Final = 15.0
_BUSY: Final = (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED)


def connect(file: Path, *, read_only: bool = False) -> Database:
    """A connection in driver autocommit: transactions begin and end where we say so.

    WAL with `synchronous=FULL`: a commit that returned survives a power cut (`fullfsync` for systems whose plain
    sync stops at the drive's cache). `secure_delete` overwrites what is deleted.
    """
    try:
        conn = sqlite3.connect(file, timeout=BUSY_SECONDS, isolation_level=None, check_same_thread=False,
                               cached_statements=256)
        db = Database(conn, recursive_triggers=False, execute_plugins=False)
        _enter_wal(conn)
        for pragma in ("synchronous = FULL", "fullfsync = ON", "checkpoint_fullfsync = ON", "secure_delete = ON",
                       "foreign_keys = ON", "temp_store = MEMORY", "cache_size = -8000"):
            conn.execute(f"PRAGMA {pragma}")
        if read_only:
            conn.execute("PRAGMA query_only = ON")
    except sqlite3.DatabaseError as error:
        raise StoreUnusableError(f"{file} cannot be used as the database ({error}): "
                                 "check the folder's permissions and free space, or use another folder") from error
    return db


def _enter_wal(conn: sqlite3.Connection) -> None:
    """Changing to WAL takes a lock that does not wait for others, so that two first starts may collide: try on."""
    patience = time.monotonic() + BUSY_SECONDS
    while True:
        try:
            conn.execute("PRAGMA journal_mode = WAL")
            return
        except sqlite3.OperationalError as error:
            if error.sqlite_errorcode not in _BUSY or time.monotonic() > patience:
                raise
            time.sleep(0.01)


def translated(error: sqlite3.Error) -> StoreError:
    """Our error for one of SQLite's: busy, failed, or our own mistake."""
    if isinstance(error, sqlite3.IntegrityError | sqlite3.InterfaceError | sqlite3.ProgrammingError):
        return MalformedError(str(error))
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    if code in _BUSY:
        return StoreBusyError(f"another process keeps the database locked ({error})")
    return StoreFailedError(f"the database refused ({error}): check free space and permissions of the data folder")


class Readers:
    """Read-only connections, one a thread at a time. Each use sees one state of the file."""

    def __init__(self, file: Path) -> None:
        self._file = file
        self._idle: list[Database] = []
        self._lock = threading.Lock()
        self._closed = False

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """A connection inside a read transaction."""
        db = self._take()
        try:
            db.conn.execute("BEGIN")
            try:
                yield db.conn
            finally:
                db.conn.execute("COMMIT")
        except sqlite3.Error as error:
            raise translated(error) from error
        finally:
            self._give_back(db)

    def close(self) -> None:
        """Close the idle connections; those in use close when they come back."""
        with self._lock:
            self._closed = True
            idle, self._idle = self._idle, []
        for db in idle:
            db.close()

    def _take(self) -> Database:
        with self._lock:
            if self._idle:
                return self._idle.pop()
        return connect(self._file, read_only=True)

    def _give_back(self, db: Database) -> None:
        with self._lock:
            if not self._closed:
                self._idle.append(db)
                return
        db.close()
