"""What an adapter implements to hand messages over, and the courier that empties the outbox through it.

Within a conversation rows go out in order, one after the other. A row that was handed over but not yet noted as
such when the process dies goes out again: so many rows as an adapter has in flight at once can repeat after a crash.
`parallel` is therefore 1 unless the platform drops repeats by `Outgoing.key`.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final, Protocol

from bot.service.activity import Activity
from bot.store.errors import LeaseLostError
from bot.store.protocol import Store
from bot.store.rows import Outgoing, Outlet

log = logging.getLogger(__name__)

FAILURES: Final = 8
"""Errors of the adapter itself on one row before it is given up."""
IN_A_ROW: Final = 50
LONGEST_WAIT: Final = 300.0


@dataclass(frozen=True, slots=True)
class Delivered:
    """It is there; the platform's ids of the message, in order, if it has any."""

    platform_ids: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Later:
    """Not now: the network, the platform or its limits. Tried again after so many seconds, however often it takes."""

    seconds: float


@dataclass(frozen=True, slots=True)
class Never:
    """It cannot be delivered: blocked, left, too old to change. The job is told."""

    reason: str


class Delivery(Protocol):
    """One adapter's way out. `outlet`: whose rows it takes. `parallel`: how many at once (see the module's top)."""

    outlet: Outlet
    parallel: int

    async def deliver(self, out: Outgoing) -> Delivered | Later | Never:
        """Hand one row over. An exception counts as a fault of the adapter: tried again, then given up."""


class Courier:
    """Empties the outbox of one outlet."""

    def __init__(self, store: Store, delivery: Delivery, clock: Callable[[], datetime], activity: Activity) -> None:
        self._store = store
        self._delivery = delivery
        self._clock = clock
        self._activity = activity
        self.parallel = max(1, delivery.parallel)
        self.wake = asyncio.Event()
        self._slots = asyncio.Semaphore(self.parallel)

    async def deliver_some(self) -> bool:
        """Deliver rows that can be delivered now, one after the other; whether there was one."""
        async with self._slots:
            rows = await asyncio.to_thread(self._store.claim_outgoing, self._delivery.outlet, self._clock(), 1)
            out = rows[0] if rows else None
            for more in range(IN_A_ROW - 1, -1, -1):
                if out is None:
                    break
                out = await self._hand_over(out, go_on=more > 0)
            return bool(rows)

    async def deliver_all(self) -> bool:
        """Deliver all that can be delivered now; whether there was anything."""
        found = False
        while any(await asyncio.gather(*(self.deliver_some() for _ in range(self.parallel)))):
            found = True
        return found

    async def _hand_over(self, out: Outgoing, *, go_on: bool) -> Outgoing | None:
        """Deliver a row and note how that went; the next row, if it was claimed in the same breath."""
        with self._activity.doing("deliver"):
            try:
                done = await self._delivery.deliver(out)
            except Exception:
                log.exception("delivery of row %d failed", out.row)
                return await asyncio.to_thread(self._note, self._after_failure, out)
            return await asyncio.to_thread(self._note, self._after, out, done, go_on)

    def _note(self, what: Callable[..., Outgoing | None], *args: object) -> Outgoing | None:
        try:
            return what(*args)
        except LeaseLostError as error:
            log.warning("%s", error)
            return None

    def _after(self, out: Outgoing, done: Delivered | Later | Never, go_on: bool) -> Outgoing | None:
        now = self._clock()
        match done:
            case Delivered():
                return self._store.delivered(out, done.platform_ids, now, self._delivery.outlet if go_on else None)
            case Later():
                self._store.later(out, now + timedelta(seconds=max(0.0, done.seconds)))
            case Never():
                log.warning("row %d cannot be delivered: %s", out.row, done.reason)
                self._store.never(out, done.reason, now)
        return None

    def _after_failure(self, out: Outgoing) -> None:
        now = self._clock()
        wait = min(LONGEST_WAIT, 2.0 ** out.failures)
        if out.failures + 1 >= FAILURES:
            self._store.never(out, f"the adapter failed on it {FAILURES} times", now)
        else:
            self._store.later(out, now + timedelta(seconds=wait), failed=True)
