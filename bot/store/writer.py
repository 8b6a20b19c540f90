"""The one thread that writes. What several threads hand in at once goes to disk in one commit.

Each piece of work runs under a savepoint of its own: one that raises is undone alone, the others stand. A caller
gets its result only after the commit that holds it.

Commits are on disk when they return (`synchronous=FULL`), except those that hold nothing but claims: a claim that a
power cut takes back is simply free again, so nobody waits for the disk on its account.
"""

from __future__ import annotations

import queue
import sqlite3
import threading
from collections.abc import Callable
from concurrent.futures import Future
from dataclasses import dataclass
from typing import Any, Final, TypeVar

from sqlite_utils import Database

from bot.store.connection import translated
from bot.store.errors import StoreFailedError

T = TypeVar("T")
MOST_TOGETHER: Final = 64


@dataclass(slots=True)
class _Work:
    do: Callable[[sqlite3.Connection], Any]
    future: Future[Any]
    durable: bool
    result: Any = None
    error: BaseException | None = None


class Writer:
    """Owns the writing connection. `run` may be called from any thread."""

    def __init__(self, db: Database) -> None:
        self._db = db
        self._queue: queue.SimpleQueue[_Work | None] = queue.SimpleQueue()
        self._door = threading.Lock()  # nothing is handed in after the end was
        self._closed = False
        self._full = True
        self._thread = threading.Thread(target=self._work, name="store-writer", daemon=True)
        self._thread.start()

    def run(self, do: Callable[[sqlite3.Connection], T], *, durable: bool = True) -> T:
        """`do(connection)` inside a write transaction; returns when it is committed, raises what `do` raised."""
        future: Future[T] = Future()
        with self._door:
            if self._closed:
                raise StoreFailedError("the store is closed")
            self._queue.put(_Work(do, future, durable))
        return future.result()

    def close(self) -> None:
        """Finish what was handed in, then close the connection."""
        with self._door:
            if self._closed:
                return
            self._closed = True
            self._queue.put(None)
        self._thread.join()
        self._db.close()

    def _work(self) -> None:
        last = False
        while not last:
            batch: list[_Work] = []
            first = self._queue.get()
            last = first is None
            if first is not None:
                batch.append(first)
            while not last and len(batch) < MOST_TOGETHER and not self._queue.empty():
                work = self._queue.get_nowait()
                last = work is None
                if work is not None:
                    batch.append(work)
            if batch:
                self._commit(batch)

    def _commit(self, batch: list[_Work]) -> None:
        conn = self._db.conn
        try:
            self._sync(any(work.durable for work in batch))
            conn.execute("BEGIN IMMEDIATE")
            for work in batch:
                _attempt(conn, work)
            conn.execute("COMMIT")
        except sqlite3.Error as error:
            self._db.rollback()
            for work in batch:
                work.error = work.error or translated(error)
        for work in batch:
            if work.error is not None:
                work.future.set_exception(work.error)
            else:
                work.future.set_result(work.result)

    def _sync(self, full: bool) -> None:
        if full != self._full:
            self._db.conn.execute(f"PRAGMA synchronous = {'FULL' if full else 'NORMAL'}")
            self._full = full


def _attempt(conn: sqlite3.Connection, work: _Work) -> None:
    conn.execute("SAVEPOINT work")
    try:
        work.result = work.do(conn)
    except sqlite3.Error as error:
        if not conn.in_transaction:
            raise  # the whole transaction is gone: the batch fails together
        work.error = translated(error)
    except BaseException as error:
        work.error = error
    if work.error is not None:
        conn.execute("ROLLBACK TO work")
    conn.execute("RELEASE work")
