"""What must hold after the last life: nothing lost, nothing doubled, order kept, at most one repeat a kill."""

from __future__ import annotations

import sqlite3
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from bot.conversation.job import load_job
from bot.store.sqlite import FILE
from tests.benchmarks.crash.cores import A_VISIT, small_says
from tests.benchmarks.crash.life import Scene
from tests.benchmarks.crash.platform import SENT_AGAIN, delivered


@dataclass(frozen=True, slots=True)
class Verdict:
    """What was counted, and every promise that was broken, in words."""

    messages: int
    timers: int
    rows: int
    repeats: int
    most_repeats_a_kill: int
    broken: tuple[str, ...]


def judge(scene: Scene, kills: int) -> Verdict:
    """Look at everything that is left."""
    conn = sqlite3.connect(scene.data / FILE)
    try:
        rows = conn.execute("SELECT seq, conversation FROM outbox").fetchall()
        caused = _repeats(scene)
        broken = [*_inbox(conn, scene), *_states(conn), *_deliveries(conn, scene)]
        broken += [f"the kill of life {life} made {count} repeats" for life, count in caused.items() if count > 1]
        if caused.total() > kills:
            broken.append(f"{caused.total()} repeats for {kills} kills")
        if scene.core == "small":
            broken += [*_heard(conn, scene), *_timers(conn)]
        (messages,) = conn.execute("SELECT count(*) FROM inbox WHERE kind = 'typed'").fetchone()
        (timers,) = conn.execute("SELECT count(*) FROM inbox WHERE kind = 'due'").fetchone()
    finally:
        conn.close()
    return Verdict(messages, timers, len(rows), caused.total(), max(caused.values(), default=0), tuple(broken))


def _repeats(scene: Scene) -> Counter[int]:
    """Life -> how many rows that it had delivered were delivered again later, because its kill left them unnoted."""
    last: dict[str, int] = {}
    caused: Counter[int] = Counter()
    for life, _, _, key in delivered(scene.folder):
        if key in last:
            caused[last[key]] += 1
        last[key] = life
    return caused


def _inbox(conn: sqlite3.Connection, scene: Scene) -> Iterator[str]:
    """All that was acknowledged is there and was handled, in order; nothing waits, nothing is parked."""
    if (ok := conn.execute("PRAGMA integrity_check").fetchone()[0]) != "ok":
        yield f"integrity: {ok}"
    for state, why, count in conn.execute("SELECT state, failure, count(*) FROM inbox WHERE state <> 'handled'"
                                          " GROUP BY state, failure"):
        yield f"{count} events are {state}: {why}"
    for number in range(scene.chats):
        lines = (scene.folder / f"acknowledged-{number}").read_text().splitlines()
        wanted = [f"{number}-{n}" for n in range(len(set(lines)))]
        stored = [row[0] for row in conn.execute(
            "SELECT id FROM inbox WHERE kind = 'typed' AND id LIKE ? ORDER BY seq", (f"{number}-%",))]
        if stored[:len(wanted)] != wanted:
            yield f"chat {number}: acknowledged messages are missing or out of order"
        if len(stored) > len(wanted) + SENT_AGAIN:
            yield f"chat {number}: more messages than were sent"
    for conversation, first, second in conn.execute(
            "SELECT a.conversation, a.id, b.id FROM inbox a JOIN inbox b ON b.conversation = a.conversation"
            " AND b.seq = (SELECT min(seq) FROM inbox c WHERE c.conversation = a.conversation AND c.seq > a.seq)"
            " WHERE a.handled > b.handled"):
        yield f"conversation {conversation}: {second} was handled before {first}"


def _states(conn: sqlite3.Connection) -> Iterator[str]:
    """A job has as many versions as events were applied to it, and no event's facts stand in it twice."""
    for job, version, applied in conn.execute(
            "SELECT j.id, j.version, (SELECT count(*) FROM inbox i WHERE i.job = j.id) FROM jobs j"
            " WHERE j.version <> (SELECT count(*) FROM inbox i WHERE i.job = j.id)"):
        yield f"job {job} is at version {version} after {applied} events"
    for job, state in conn.execute("SELECT id, state FROM jobs"):
        twice = [fact for fact, count in Counter(load_job(state).facts).items() if count > 1]
        if twice:
            yield f"job {job} holds {twice[0].subject} of {twice[0].turn} twice"


def _deliveries(conn: sqlite3.Connection, scene: Scene) -> Iterator[str]:
    """Every row went out; within a conversation in order, and again only before anything later."""
    for state, count in conn.execute("SELECT state, count(*) FROM outbox WHERE state <> 'delivered' GROUP BY state"):
        yield f"{count} rows of the outbox are {state}"
    went: dict[str, list[int]] = defaultdict(list)
    keys: dict[tuple[int, str], int] = Counter()
    for life, conversation, row, key in delivered(scene.folder):
        went[conversation].append(row)
        keys[life, key] += 1
    if any(count > 1 for count in keys.values()):
        yield "one life delivered the same row twice"
    wanted: dict[str, list[int]] = defaultdict(list)
    for conversation, row in conn.execute("SELECT conversation, seq FROM outbox ORDER BY seq"):
        wanted[conversation].append(row)
    for conversation, rows in wanted.items():
        if sorted(went[conversation]) != went[conversation]:
            yield f"conversation {conversation}: delivered out of order"
        if sorted(set(went[conversation])) != rows:
            yield f"conversation {conversation}: {len(set(rows) - set(went[conversation]))} rows never delivered"


def _heard(conn: sqlite3.Connection, scene: Scene) -> Iterator[str]:
    """The jobs of a chat, one after the other, heard each of its messages once and in order; each has its echo."""
    for number in range(scene.chats):
        heard: list[str] = []
        for (state,) in conn.execute("SELECT state FROM jobs WHERE id IN (SELECT job FROM inbox WHERE id LIKE ?)"
                                     " ORDER BY opened, rowid", (f"{number}-%",)):
            heard += [fact.value for fact in load_job(state).facts if not fact.value.startswith("due")]
        (count,) = conn.execute("SELECT count(*) FROM inbox WHERE id LIKE ?", (f"{number}-%",)).fetchone()
        if heard != [small_says(number, n) for n in range(count)]:
            yield f"chat {number}: its jobs (of {A_VISIT} messages) did not hear exactly what was sent, in order"
    (events,) = conn.execute("SELECT count(*) FROM inbox").fetchone()
    (says,) = conn.execute("SELECT count(*) FROM messages WHERE direction = 'out'").fetchone()
    if events != says:
        yield f"{says} answers to {events} events"


def _timers(conn: sqlite3.Connection) -> Iterator[str]:
    """Every timer that was set came due exactly once."""
    (asked,) = conn.execute("SELECT count(*) FROM inbox WHERE kind = 'typed'"
                            " AND json_extract(event, '$.text') LIKE 'timer%'").fetchone()
    (due,) = conn.execute("SELECT count(*) FROM inbox WHERE kind = 'due'").fetchone()
    (left,) = conn.execute("SELECT count(*) FROM timers").fetchone()
    if (due, left) != (asked, 0):
        yield f"{asked} timers were set, {due} came due, {left} are left"
