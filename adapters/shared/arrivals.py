"""What a platform hands over, made events of: in order within a chat, chats beside each other.

Most arrivals become events at once. One that needs time (a photo to fetch, an album whose parts still come), and
whatever follows it in its chat, is kept on disk and read in the background. Either way, when `take` returns nothing
can be lost any more and the platform may be told. A repeat does no harm: the event's id is the same.
"""

from __future__ import annotations

import asyncio
import logging
import time
from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Final, Protocol

from bot.store.errors import StoreError
from bot.store.protocol import Arrivals as ArrivalStore
from bot.store.rows import Arrival

log = logging.getLogger(__name__)

ATTEMPTS: Final = 3
"""Failures of reading one arrival before it is put aside."""
PAUSE: Final = 1.0
"""Seconds until it is tried again."""
QUIET: Final = 1.0
"""Seconds without another part after which an album counts as complete (how many parts it has cannot be known)."""
LONGEST: Final = 5.0
"""Seconds after which it is taken as it is; parts that come later are added to the same message."""


class Reader(Protocol):
    """Makes events of arrivals and has them accepted."""

    def at_once(self, arrival: Arrival) -> bool:
        """Whether it can be read without waiting for anything."""

    async def read(self, arrivals: Sequence[Arrival]) -> None:
        """Read one arrival, or those of one batch. Raises StoreError if the store refused: nothing happened then."""


@dataclass(slots=True)
class _Lane:
    lock: asyncio.Lock = field(default_factory=asyncio.Lock)
    waiting: deque[Arrival] = field(default_factory=deque)
    more: asyncio.Event = field(default_factory=asyncio.Event)
    since: float = 0.0
    users: int = 0
    task: asyncio.Task[None] | None = None


class Arrivals:
    """The arrivals of one account. All methods belong to one event loop."""

    def __init__(self, store: ArrivalStore, platform: str, account: str, reader: Reader,
                 clock: Callable[[], datetime], *, quiet: float = QUIET, longest: float = LONGEST,
                 pause: float = PAUSE) -> None:
        self._store = store
        self._of = (platform, account)
        self._reader = reader
        self._clock = clock
        self._quiet = quiet
        self._longest = longest
        self._pause = pause
        self._lanes: dict[str, _Lane] = {}
        self.failed = 0
        """Arrivals put aside since the start."""

    async def resume(self) -> None:
        """Go on with what was kept when the process ended. Those put aside are tried once more."""
        for arrival in await asyncio.to_thread(self._store.arrivals, *self._of):
            lane = self._lanes.setdefault(arrival.lane, _Lane())
            lane.waiting.append(arrival)
        for name in list(self._lanes):
            self._begin(name)

    async def take(self, arrivals: Sequence[Arrival]) -> None:
        """Have each be an event or on disk. Raises StoreError if one is neither: hand them over again."""
        lanes: dict[str, list[Arrival]] = {}
        for arrival in arrivals:
            lanes.setdefault(arrival.lane, []).append(arrival)
        done = await asyncio.gather(*(self._take(name, those) for name, those in lanes.items()),
                                    return_exceptions=True)
        for error in done:
            if error is not None:
                raise error

    def waiting(self, lane: str) -> bool:
        """Whether something of that chat is still to be read."""
        return lane in self._lanes and bool(self._lanes[lane].waiting)

    def backlog(self) -> tuple[int, float]:
        """How many wait in the background, and for how many seconds the oldest does."""
        held = [lane for lane in self._lanes.values() if lane.waiting]
        oldest = max((time.monotonic() - lane.since for lane in held), default=0.0)
        return sum(len(lane.waiting) for lane in held), oldest

    async def close(self) -> None:
        """Leave what is being read: it is on disk."""
        tasks = [lane.task for lane in self._lanes.values() if lane.task is not None]
        for task in tasks:
            task.cancel()
        await asyncio.gather(*tasks, return_exceptions=True)

    async def _take(self, name: str, arrivals: list[Arrival]) -> None:
        lane = self._lanes.setdefault(name, _Lane())
        lane.users += 1
        try:
            async with lane.lock:
                for number, arrival in enumerate(arrivals):
                    if lane.waiting or not self._reader.at_once(arrival) or not await self._read_now(arrival):
                        await self._keep(name, lane, arrivals[number:])
                        return
        finally:
            lane.users -= 1
            self._forget(name)

    async def _read_now(self, arrival: Arrival) -> bool:
        try:
            await self._reader.read([arrival])
        except StoreError:
            raise
        except Exception:
            log.exception("arrival %s could not be read, trying again", arrival.key)
            return False
        return True

    async def _keep(self, name: str, lane: _Lane, arrivals: list[Arrival]) -> None:
        await asyncio.to_thread(self._store.keep_arrivals, *self._of, arrivals, self._clock())
        known = {arrival.key for arrival in lane.waiting}
        lane.waiting.extend(arrival for arrival in arrivals if arrival.key not in known)
        lane.more.set()
        self._begin(name)

    # -- in the background -------------------------------------------------------------------------------------------

    def _begin(self, name: str) -> None:
        lane = self._lanes[name]
        if lane.task is None and lane.waiting:
            lane.since = time.monotonic()
            lane.task = asyncio.create_task(self._work_off(name, lane))

    async def _work_off(self, name: str, lane: _Lane) -> None:
        try:
            while lane.waiting:
                together = await self._complete(lane)
                await self._read(together)
                for arrival in together:
                    lane.waiting.remove(arrival)
                lane.since = time.monotonic()
        finally:
            lane.task = None
            self._forget(name)

    async def _complete(self, lane: _Lane) -> list[Arrival]:
        """The first that waits, with its batch once no more of that has come for a moment."""
        first = lane.waiting[0]
        if first.batch is None:
            return [first]
        until = time.monotonic() + self._longest
        while (left := until - time.monotonic()) > 0:
            lane.more.clear()
            try:
                async with asyncio.timeout(min(self._quiet, left)):
                    await lane.more.wait()
            except TimeoutError:
                break
        return [arrival for arrival in lane.waiting if arrival.batch == first.batch]

    async def _read(self, together: list[Arrival]) -> None:
        """Until it is done, or has failed too often. While the store refuses it is tried on and on."""
        keys = [arrival.key for arrival in together]
        failures = 0
        while True:
            try:
                await self._reader.read(together)
                await asyncio.to_thread(self._store.drop_arrivals, *self._of, keys)
                return
            except StoreError as error:
                log.warning("arrival %s waits: %s", keys[0], error)
            except Exception as error:
                log.exception("arrival %s could not be read", keys[0])
                failures += 1
                if failures >= ATTEMPTS and await self._put_aside(keys, error):
                    return
            await asyncio.sleep(self._pause)

    async def _put_aside(self, keys: list[str], error: Exception) -> bool:
        try:
            await asyncio.to_thread(self._store.fail_arrivals, *self._of, keys, type(error).__name__)
        except StoreError as refused:
            log.warning("arrival %s waits: %s", keys[0], refused)
            return False
        self.failed += len(keys)
        return True

    def _forget(self, name: str) -> None:
        lane = self._lanes.get(name)
        if lane is not None and not lane.users and not lane.waiting and lane.task is None:
            del self._lanes[name]
