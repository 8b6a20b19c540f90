"""Arrivals: at once or in the background, in order, on disk before the platform is told, whatever fails."""

from __future__ import annotations

import asyncio
import time
from collections.abc import AsyncIterator, Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from adapters.shared.arrivals import Arrivals
from bot.service.clock import utc_now
from bot.store.errors import StoreBusyError
from bot.store.rows import Arrival
from bot.store.sqlite import SqliteStore


@dataclass
class Desk:
    """A reader that remembers what it read. `slow` ones wait for `fetched`, `bad` never work, `busy` not at first."""

    heard: list[tuple[str, ...]] = field(default_factory=list)
    busy: int = 0
    fetched: asyncio.Event = field(default_factory=asyncio.Event)

    def at_once(self, arrival: Arrival) -> bool:
        """All but slow ones and albums."""
        return arrival.payload != "slow" and arrival.batch is None

    async def read(self, arrivals: Sequence[Arrival]) -> None:
        """Read, or fail as the payload says."""
        if arrivals[0].payload == "slow":
            await self.fetched.wait()
        if arrivals[0].payload == "bad":
            raise ValueError("cannot be read")
        if arrivals[0].payload == "busy" and self.busy:
            self.busy -= 1
            raise StoreBusyError("locked")
        self.heard.append(tuple(arrival.key for arrival in arrivals))


@dataclass
class Hall:
    """Arrivals on a store, with the desk that reads them."""

    store: SqliteStore
    desk: Desk
    arrivals: Arrivals

    async def until(self, seen: Callable[[], bool]) -> None:
        """Wait for that."""
        end = time.monotonic() + 30
        while not seen():
            assert time.monotonic() < end, self.desk.heard
            await asyncio.sleep(0.005)

    def kept(self) -> list[tuple[str, str | None]]:
        """What is on disk: key and kind of the failure."""
        return [(each.key, each.failure) for each in self.store.arrivals("p", "a")]


def hall_on(store: SqliteStore) -> Hall:
    """A process's beginning on that store."""
    desk = Desk()
    return Hall(store, desk, Arrivals(store, "p", "a", desk, utc_now, quiet=1.0, longest=1.5, pause=0.01))


@pytest.fixture
async def hall(tmp_path: Path) -> AsyncIterator[Hall]:
    """On a fresh store."""
    store = SqliteStore(tmp_path)
    made = hall_on(store)
    yield made
    await made.arrivals.close()
    store.close()


def arrival(key: str, lane: str = "chat", payload: str = "quick", batch: str | None = None) -> Arrival:
    """One of them."""
    return Arrival(key, lane, payload, batch)


async def test_quick_ones_are_read_before_the_platform_is_told(hall: Hall) -> None:
    """And never touch the disk on the way."""
    await hall.arrivals.take([arrival("1"), arrival("2")])
    assert hall.desk.heard == [("1",), ("2",)] and hall.kept() == []


async def test_what_follows_a_slow_one_waits_behind_it_in_its_chat_alone(hall: Hall) -> None:
    """All of it is on disk when `take` returns; another chat goes ahead."""
    await hall.arrivals.take([arrival("1", payload="slow"), arrival("2"), arrival("3", lane="other")])
    assert hall.desk.heard == [("3",)]
    assert hall.kept() == [("1", None), ("2", None)]
    await hall.arrivals.take([arrival("4")])
    hall.desk.fetched.set()
    await hall.until(lambda: len(hall.desk.heard) == 4)
    assert hall.desk.heard == [("3",), ("1",), ("2",), ("4",)]
    await hall.until(lambda: hall.kept() == [] and not hall.arrivals.waiting("chat"))
    assert hall.arrivals.backlog() == (0, 0.0)


async def test_an_album_is_read_together(hall: Hall) -> None:
    """Parts that come within a moment are one reading, however they were handed over."""
    await hall.arrivals.take([arrival("1", batch="x"), arrival("2", batch="x")])
    await asyncio.sleep(0.1)
    await hall.arrivals.take([arrival("3", batch="x"), arrival("4")])
    await hall.until(lambda: len(hall.desk.heard) == 2)
    assert hall.desk.heard == [("1", "2", "3"), ("4",)]


async def test_an_album_does_not_wait_for_ever(hall: Hall) -> None:
    """Parts that trickle in hold it up only so long."""
    for number in range(8):
        await hall.arrivals.take([arrival(str(number), batch="x")])
        await asyncio.sleep(0.3)
    await hall.until(lambda: sum(map(len, hall.desk.heard)) == 8)
    assert len(hall.desk.heard) >= 2
    assert [key for keys in hall.desk.heard for key in keys] == [str(number) for number in range(8)]


async def test_a_store_that_refuses_is_told_to_the_platform(hall: Hall) -> None:
    """Nothing behind it in its chat is read before; handed over again, all is read in order."""
    hall.desk.busy = 1
    with pytest.raises(StoreBusyError):
        await hall.arrivals.take([arrival("1", payload="busy"), arrival("2")])
    assert hall.desk.heard == []
    await hall.arrivals.take([arrival("1", payload="busy"), arrival("2")])
    assert hall.desk.heard == [("1",), ("2",)]


async def test_one_that_cannot_be_read_is_put_aside_and_holds_up_nobody(hall: Hall) -> None:
    """It stays on disk with the kind of the failure, and is counted."""
    await hall.arrivals.take([arrival("1", payload="bad"), arrival("2")])
    await hall.until(lambda: hall.desk.heard == [("2",)] and len(hall.kept()) == 1)
    assert hall.kept() == [("1", "ValueError")]
    assert hall.arrivals.failed == 1


async def test_a_new_process_goes_on_with_what_is_on_disk(hall: Hall) -> None:
    """In order, the ones put aside tried once more; a repeat of what waits is not read twice."""
    kept = [arrival("1", payload="slow"), arrival("2", payload="bad"), arrival("3")]
    hall.store.keep_arrivals("p", "a", kept, utc_now())
    hall.store.keep_arrivals("p", "a", [arrival("3")], utc_now())
    hall.store.fail_arrivals("p", "a", ["2"], "ValueError")
    await hall.arrivals.resume()
    await hall.arrivals.take([arrival("3"), arrival("4")])
    hall.desk.fetched.set()
    await hall.until(lambda: hall.kept() == [("2", "ValueError")])
    assert hall.desk.heard == [("1",), ("3",), ("4",)]
