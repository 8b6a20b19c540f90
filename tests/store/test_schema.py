"""The schema: built step by step, whole or not at all, and every column accounted for."""

from __future__ import annotations

import sqlite3
import threading
from pathlib import Path

import pytest
from sqlite_utils import Database, Migrations

from bot.store.connection import connect
from bot.store.errors import StoreUnusableError
from bot.store.migrations import migrate, migrations
from bot.store.personal import IMPERSONAL, PERSONAL
from bot.store.sqlite import FILE, SqliteStore


def columns(db: Database) -> dict[str, set[str]]:
    """Table -> its columns, without SQLite's own tables and the index's inner ones."""
    return {table.name: set(table.columns_dict) for table in db.tables
            if not table.name.startswith(("sqlite_", "_sqlite", "messages_fts_"))}


def test_every_column_is_personal_or_not(tmp_path: Path) -> None:
    """The list that erasure will work through names every column of every table exactly once."""
    SqliteStore(tmp_path).close()
    stated = {table: [*PERSONAL.get(table, ()), *IMPERSONAL.get(table, ())] for table in {*PERSONAL, *IMPERSONAL}}
    assert {table: sorted(names) for table, names in stated.items()} == {
        table: sorted(names) for table, names in columns(connect(tmp_path / FILE)).items()}


def test_the_settings_of_every_connection(tmp_path: Path) -> None:
    """WAL, full sync, overwriting deletes, foreign keys: for the writer and for readers."""
    for read_only in (False, True):
        conn = connect(tmp_path / FILE, read_only=read_only).conn
        values = {name: conn.execute(f"PRAGMA {name}").fetchone()[0]
                  for name in ("journal_mode", "synchronous", "secure_delete", "foreign_keys", "query_only")}
        assert values == {"journal_mode": "wal", "synchronous": 2, "secure_delete": 1, "foreign_keys": 1,
                          "query_only": int(read_only)}


def test_steps_can_be_taken_one_by_one(tmp_path: Path) -> None:
    """A file of each earlier schema is brought up to date, and its rows are still there."""
    steps = [step.name for step in migrations.pending(Database(memory=True))]
    whole = connect(tmp_path / "whole.db")
    migrate(whole)
    for number in range(1, len(steps)):
        db = connect(tmp_path / f"after-{number}.db")
        migrations.apply(db, stop_before=steps[number])
        db.execute("INSERT INTO persons (id, name, role, language, timezone, created)"
                   " VALUES ('p', 'Rui', 'junior', 'en', 'UTC', '2031')")
        migrate(db)
        assert db.schema == whole.schema
        assert db.execute("SELECT name FROM persons").fetchall() == [("Rui",)]


def test_a_step_that_fails_leaves_nothing(tmp_path: Path) -> None:
    """Half a migration is no migration: neither its tables nor its record stay."""
    steps = Migrations("chargehand")

    @steps()
    def half(db: Database) -> None:
        db.execute("CREATE TABLE one (id INTEGER)")
        raise RuntimeError("power cut")

    db = connect(tmp_path / FILE)
    with pytest.raises(RuntimeError):
        migrate(db, steps)
    assert "one" not in db.table_names()
    assert steps.applied(db) == []


def test_two_processes_open_a_new_folder_at_once(tmp_path: Path) -> None:
    """Both bring the same file up to date; each step is applied once."""
    failed: list[BaseException] = []

    def open_it() -> None:
        try:
            migrate(connect(tmp_path / FILE))
        except BaseException as error:
            failed.append(error)

    threads = [threading.Thread(target=open_it) for _ in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failed == []
    applied = [step.name for step in migrations.applied(connect(tmp_path / FILE))]
    assert applied == [step.name for step in migrations.pending(Database(memory=True))]


def test_a_file_of_a_newer_version_is_refused(tmp_path: Path) -> None:
    """A downgrade is told what happened, and nothing is touched."""
    SqliteStore(tmp_path).close()
    db = connect(tmp_path / FILE)
    db["_sqlite_migrations"].insert({"migration_set": "chargehand", "name": "from_the_future", "applied_at": "2040"})
    with pytest.raises(StoreUnusableError, match=r"newer version.*from_the_future.*another folder"):
        SqliteStore(tmp_path)


def test_a_folder_that_cannot_be_used(tmp_path: Path) -> None:
    """No traceback: what is wrong and what to do."""
    (tmp_path / "file").write_text("no folder")
    with pytest.raises(StoreUnusableError, match="choose one that you may write to"):
        SqliteStore(tmp_path / "file")
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / FILE).write_bytes(b"this is not a database at all, but quite some text " * 40)
    with pytest.raises(StoreUnusableError, match="cannot be used as the database"):
        SqliteStore(tmp_path / "other")


def test_deleted_text_is_gone_from_the_file(tmp_path: Path) -> None:
    """What is deleted is overwritten, in the tables and, once it is optimised, in the index of words."""
    db = connect(tmp_path / FILE)
    migrate(db)
    db.execute("INSERT INTO messages (id, conversation, person, direction, event, at, plain)"
               " VALUES ('m', 'c', 'p', 'in', 'e', '2031', 'fourteen hazellane zebra')")
    db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    assert b"hazellane" in (tmp_path / FILE).read_bytes()
    db.execute("DELETE FROM messages")
    db.execute("INSERT INTO messages_fts (messages_fts) VALUES ('optimize')")
    db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    assert b"hazellane" not in (tmp_path / FILE).read_bytes()
    with sqlite3.connect(tmp_path / FILE) as conn:
        assert conn.execute("SELECT count(*) FROM messages_fts WHERE messages_fts MATCH 'zebra'").fetchone() == (0,)
