"""The writing thread: what is handed in together is committed together, and each piece stands or falls alone."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from bot.store.connection import Readers, connect
from bot.store.errors import ConflictError, MalformedError, StoreFailedError
from bot.store.owners import Owner
from bot.store.writer import Writer

DIE = """
import os, sys
from pathlib import Path
from bot.store.owners import Owner
print(Owner(Path(sys.argv[1])).name, flush=True)
os._exit(9)
"""


def counter(file: Path) -> Writer:
    """A writer on a table of numbers."""
    db = connect(file)
    db.execute("CREATE TABLE numbers (n INTEGER PRIMARY KEY)")
    return Writer(db)


def put(number: int) -> Callable[[sqlite3.Connection], int]:
    """Work that inserts a number."""
    def do(conn: sqlite3.Connection) -> int:
        conn.execute("INSERT INTO numbers VALUES (?)", (number,))
        return number

    return do


def numbers(file: Path) -> list[int]:
    """What is in the file."""
    with Readers(file).reading() as conn:
        return [n for (n,) in conn.execute("SELECT n FROM numbers ORDER BY n")]


def test_one_failure_leaves_the_others_alone(tmp_path: Path) -> None:
    """While the writer is held up many threads hand work in; the bad ones fail, the rest is there."""
    writer = counter(tmp_path / "f")
    hold = threading.Event()

    def bad(conn: sqlite3.Connection) -> None:
        conn.execute("INSERT INTO numbers VALUES (1000)")
        raise ConflictError("moved on")

    with ThreadPoolExecutor(21) as pool:
        pool.submit(writer.run, lambda conn: hold.wait(5))
        good = [pool.submit(writer.run, put(n)) for n in range(10)]
        wrong = [pool.submit(writer.run, bad) for _ in range(5)]
        twice = [pool.submit(writer.run, put(n)) for n in range(3)]
        hold.set()
        assert [future.result() for future in good] == list(range(10))
        assert all(isinstance(future.exception(), ConflictError) for future in wrong)
        assert all(isinstance(future.exception(), MalformedError) for future in twice)
    assert numbers(tmp_path / "f") == list(range(10))
    writer.close()


def test_a_closed_writer_refuses(tmp_path: Path) -> None:
    """After closing, handing work in is an error and not a wait for ever."""
    writer = counter(tmp_path / "f")
    writer.run(put(1))
    writer.close()
    writer.close()
    with pytest.raises(StoreFailedError):
        writer.run(put(2))
    assert numbers(tmp_path / "f") == [1]


def test_readers_see_one_state(tmp_path: Path) -> None:
    """What is written during a read is not seen by it."""
    writer = counter(tmp_path / "f")
    readers = Readers(tmp_path / "f")
    with readers.reading() as conn:
        before = conn.execute("SELECT count(*) FROM numbers").fetchone()
        writer.run(put(1))
        assert conn.execute("SELECT count(*) FROM numbers").fetchone() == before
    with readers.reading() as conn:
        assert conn.execute("SELECT count(*) FROM numbers").fetchone() == (1,)
    writer.close()


def test_readers_cannot_write(tmp_path: Path) -> None:
    """A reader that tries to write is refused."""
    counter(tmp_path / "f").close()
    with pytest.raises(StoreFailedError), Readers(tmp_path / "f").reading() as conn:
        conn.execute("INSERT INTO numbers VALUES (1)")


def test_two_writers_take_turns(tmp_path: Path) -> None:
    """Two processes' writers read and write back the same number a hundred times each: no update is lost."""
    one = counter(tmp_path / "f")
    one.run(put(0))
    two = Writer(connect(tmp_path / "f"))

    def grow(conn: sqlite3.Connection) -> None:
        (n,) = conn.execute("SELECT max(n) FROM numbers").fetchone()
        conn.execute("INSERT INTO numbers VALUES (?)", (n + 1,))

    with ThreadPoolExecutor(8) as pool:
        done = [pool.submit(writer.run, grow) for _ in range(100) for writer in (one, two)]
        assert [future.exception() for future in done] == [None] * 200
    assert numbers(tmp_path / "f") == list(range(201))
    one.close()
    two.close()


def test_only_claims_skip_the_sync(tmp_path: Path) -> None:
    """A batch waits for the disk if any piece of it must be durable."""
    writer = counter(tmp_path / "f")

    def level(conn: sqlite3.Connection) -> int:
        return int(conn.execute("PRAGMA synchronous").fetchone()[0])

    assert [writer.run(level), writer.run(level, durable=False), writer.run(level)] == [2, 1, 2]
    writer.close()


def test_the_dead_are_told_from_the_living(tmp_path: Path) -> None:
    """Another live owner is left alone; one whose process ended is dead until it is buried."""
    me, other = Owner(tmp_path), Owner(tmp_path)
    assert me.dead() == ()
    ended = subprocess.run([sys.executable, "-c", DIE, str(tmp_path)], capture_output=True, text=True, check=False)
    name = ended.stdout.strip()
    assert me.dead() == (name,)
    assert other.dead() == (name,)
    me.bury((name,))
    assert other.dead() == ()
    other.close()
    assert me.dead() == ()
