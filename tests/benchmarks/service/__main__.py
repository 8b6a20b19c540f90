"""See the package's docstring."""

from __future__ import annotations

import argparse
import asyncio
import contextlib
import json
import os
import sqlite3
import statistics
import tempfile
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

import psutil

from bot.conversation.firm import Firm
from bot.service import people
from bot.service.clock import utc_now
from bot.service.delivery import Delivered, Later, Never
from bot.service.opening import opened
from bot.service.service import Service
from bot.store.connection import connect
from bot.store.rows import Met, Outgoing, Outlet
from tests.benchmarks.crash.cores import REAL_TALK
from tests.benchmarks.crash.platform import Chat
from tests.service.crew import house

ONE_BY_ONE = 400
CHATS = 20
A_JOB = 20


class Sink:
    """A way out that is there at once and tells when. A platform with a key may have several rows in flight."""

    def __init__(self, parallel: int = 1) -> None:
        self.outlet = Outlet("pretend", "bench")
        self.parallel = parallel
        self.shown = 0
        self.reached = asyncio.Event()

    async def deliver(self, out: Outgoing) -> Delivered | Later | Never:
        """It is there."""
        self.shown += 1
        self.reached.set()
        return Delivered()

    async def until(self, count: int) -> None:
        """Wait until so many rows were shown."""
        while self.shown < count:
            self.reached.clear()
            await self.reached.wait()


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.service")
    parser.add_argument("--messages", type=int, default=3000, help="messages of the throughput run")
    parser.add_argument("--real", action="store_true", help="time a visit through the real core as well")
    options = parser.parse_args()
    figures = {"cores": os.cpu_count(), "load": os.getloadavg()[0], "bare_commit_p50_ms": bare_commit()}
    with _small() as service:
        figures |= asyncio.run(one_by_one(service))
    for parallel, name in ((1, "without_a_key"), (8, "with_a_key")):
        with _one_core(), _small() as service:
            figures |= asyncio.run(flood(service, options.messages, parallel, name))
    if options.real:
        figures |= asyncio.run(visit())
    figures["resident_mb"] = round(psutil.Process().memory_info().rss / 1e6)
    print(json.dumps(figures, indent=2))


def bare_commit() -> float:
    """One small durable commit on this disk, median of 200 after the log has reached its usual size."""
    with tempfile.TemporaryDirectory() as folder:
        conn = connect(Path(folder) / "probe.db").conn
        conn.execute("CREATE TABLE t (x TEXT)")
        return _median([_timed(conn) for _ in range(1200)][-200:])


def _timed(conn: sqlite3.Connection) -> float:
    begun = time.perf_counter()
    conn.execute("BEGIN IMMEDIATE")
    conn.execute("INSERT INTO t VALUES (?)", ("x" * 500,))
    conn.execute("COMMIT")
    return (time.perf_counter() - begun) * 1000


async def one_by_one(service: Service) -> dict[str, float]:
    """One chat, each message after the answer to the one before."""
    sink = Sink()
    chat = _chat(service, sink, 0)
    running = asyncio.create_task(service.run())
    accepted: list[float] = []
    answered: list[float] = []
    for n in range(ONE_BY_ONE):
        begun = time.perf_counter()
        await service.accept(chat.message(n))
        accepted.append((time.perf_counter() - begun) * 1000)
        await sink.until(n + 1)
        answered.append((time.perf_counter() - begun) * 1000)
    service.stop()
    await running
    return {"accept_p50_ms": _median(accepted), "accept_p99_ms": _p99(accepted),
            "typed_to_delivered_p50_ms": _median(answered), "typed_to_delivered_p99_ms": _p99(answered)}


async def flood(service: Service, messages: int, parallel: int, name: str) -> dict[str, float]:
    """Twenty chats write as fast as they are acknowledged; until the last answer is delivered."""
    sink = Sink(parallel)
    chats = [_chat(service, sink, number) for number in range(CHATS)]
    running = asyncio.create_task(service.run())
    each = messages // CHATS
    begun, burnt = time.perf_counter(), time.process_time()

    async def write(chat: Chat) -> None:
        for n in range(each):
            await service.accept(chat.message(n))

    await asyncio.gather(*(write(chat) for chat in chats))
    await sink.until(each * CHATS)
    took, burnt = time.perf_counter() - begun, time.process_time() - burnt
    service.stop()
    await running
    return {f"one_core_messages_a_second_{name}": round(each * CHATS / took),
            f"cpu_ms_a_message_{name}": round(burnt / each / CHATS * 1000, 2)}


async def visit() -> dict[str, float]:
    """A junior's messages through the real core, each after the answer to the one before, on two warm rounds."""
    times: list[float] = []
    with tempfile.TemporaryDirectory() as folder, opened(Path(folder) / "real", Firm()) as service:
        sink = Sink()
        chat = _chat(service, sink, 0)
        for n in range(3 * len(REAL_TALK)):
            begun = time.perf_counter()
            await service.accept(chat.message(n))
            await service.drain()
            if n >= len(REAL_TALK):
                times.append((time.perf_counter() - begun) * 1000)
    return {"real_p50_ms": _median(times), "real_p99_ms": _p99(times), "real_max_ms": round(max(times), 1)}


def _chat(service: Service, sink: Sink, number: int) -> Chat:
    met: Met = people.seat(service.store, "pretend", "bench", f"tech{number}", "junior", f"Tech {number}", utc_now())
    if number == 0:
        service.add(sink)
    real = service.store.folder.name == "real"
    return Chat(service.store.folder, number, met,
                lambda n: REAL_TALK[n % len(REAL_TALK)] if real else "end" if n % A_JOB == A_JOB - 1 else f"m{n}")


@contextlib.contextmanager
def _small() -> Iterator[Service]:
    with tempfile.TemporaryDirectory() as folder, house(Path(folder), utc_now) as service:  # type: ignore[arg-type]
        yield service


@contextlib.contextmanager
def _one_core() -> Iterator[None]:
    """Nothing but one core for this process, where the system can do that."""
    if not hasattr(os, "sched_setaffinity"):
        yield
        return
    before = os.sched_getaffinity(0)
    os.sched_setaffinity(0, {max(before)})
    try:
        yield
    finally:
        os.sched_setaffinity(0, before)


def _median(times: Sequence[float]) -> float:
    return round(statistics.median(times), 2)


def _p99(times: Sequence[float]) -> float:
    return round(sorted(times)[max(0, int(len(times) * 0.99) - 1)], 2)


if __name__ == "__main__":
    main()
