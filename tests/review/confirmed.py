"""Confirmed visits put straight into a data folder: told one by one, enough of them would take minutes."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Sequence
from datetime import datetime, timedelta
from pathlib import Path

from bot.conversation.job import Fact, Job, Outcome, Phase, Position, dump_job
from bot.store.jobs import dump_data
from bot.store.review import ReviewStore
from bot.store.stamps import stamp
from knowledge.schema import Pack


def confirm(folder: Path, pack: Pack, faults: Sequence[str], last: datetime, tech: str, release: str) -> None:
    """A proved repair of each fault, an hour apart, the last of them ended at `last`; each at an address of its own."""
    def do(conn: sqlite3.Connection) -> None:
        for number, fault in enumerate(reversed(faults)):
            job, at = f"c0{number:06x}", last - timedelta(hours=number)
            facts = tuple(Fact("t", "complaint", c) for c in list(pack.faults[fault].shows)[:1])
            state = Job(job, tech, "c", release, at, pack.family.id, Position(Phase.ENDED, fault=fault), facts,
                        outcome=Outcome.FIXED)
            conn.execute("INSERT INTO sites (id, key, name) VALUES (?, ?, ?)", (f"5{number:x}", f"{number} x", "x"))
            conn.execute(
                "INSERT INTO jobs (id, version, release, family, phase, label, tech, conversation, outcome, site,"
                " opened, touched, ended, state) VALUES (?, 1, ?, ?, 'ended', 'x', ?, 'c', 'fixed', ?, ?, ?, ?, ?)",
                (job, release, pack.family.id, tech, f"5{number:x}", stamp(at), stamp(at), stamp(at), dump_job(state)))
            proof = {"held": True, "fault": fault, "repair": pack.repair_of(fault)[0]}
            record(conn, job, "proof", proof, tech, at)

    write(folder, do)


def handed_off(folder: Path, pack: Pack, words: Sequence[str], at: datetime, senior: str, release: str) -> None:
    """Visits that ended in a senior's hands, each with the senior's words of what it was."""
    def do(conn: sqlite3.Connection) -> None:
        for number, said in enumerate(words):
            job = f"d0{number:06x}"
            state = Job(job, senior, "c", release, at, pack.family.id, Position(Phase.ENDED),
                        outcome=Outcome.HANDED_OFF)
            conn.execute(
                "INSERT INTO jobs (id, version, release, family, phase, label, tech, conversation, outcome, opened,"
                " touched, ended, state) VALUES (?, 1, ?, ?, 'ended', 'x', ?, 'c', 'handed_off', ?, ?, ?, ?)",
                (job, release, pack.family.id, senior, *[stamp(at)] * 3, dump_job(state)))
            record(conn, job, "verdict", {"words": said, "by": senior}, senior, at)

    write(folder, do)


def record(conn: sqlite3.Connection, job: str, what: str, data: dict[str, object], person: str, at: datetime) -> None:
    """Keep a label of a visit."""
    conn.execute("INSERT INTO records (id, job, person, what, data, at, event) VALUES (?, ?, ?, ?, ?, ?, ?)",
                 (f"{job}-{what}", job, person, what, dump_data(json.loads(json.dumps(data))), stamp(at), f"e-{job}"))


def write(folder: Path, do) -> None:  # type: ignore[no-untyped-def]
    """One transaction on the folder's store."""
    store = ReviewStore(folder)
    try:
        store._write(do)
    finally:
        store.close()
