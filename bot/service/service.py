"""The service: the only part with a loop. It accepts events, has them worked on, lets timers come due, delivers.

Everything that matters is in the store; what is here can vanish at any moment and be started again, also in
another process on the same data folder.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable, Coroutine, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import partial
from typing import Any, Final

from bot.conversation.effects import Text
from bot.conversation.events import Edited, Event, Other, PhotoSent, Typed
from bot.conversation.firm import Firm
from bot.conversation.markup import Paragraph
from bot.service.activity import Activity, Section
from bot.service.clock import utc_now
from bot.service.core import Core, real_core
from bot.service.delivery import Courier, Delivery
from bot.service.lanes import Lanes
from bot.service.releases import Releases
from bot.store.errors import StoreError
from bot.store.protocol import Store
from bot.store.rows import Backlog, Claimed, Met, Open, Rendered

log = logging.getLogger(__name__)

WORKERS: Final = 4
"""Events worked on at once. More would only wait for each other: the core is computing, not waiting."""
IN_A_ROW: Final = 20
"""Events of one conversation worked on in a row before others get their turn."""
LOOK_SECONDS: Final = 0.2
"""How often to look for work that another process or a timer made."""
DEAD_SECONDS: Final = 5.0
"""How often to look for processes that died with work in hand."""
RESTORED: Final = "desk.restored"
RETRY_SECONDS: Final = 0.5
"""Pause after the store refused."""


@dataclass(frozen=True, slots=True)
class Health:
    """What the health page shows. Ages in seconds; `problems`: task -> its error, while it fails."""

    backlog: Backlog
    in_hand: dict[Section, float]
    done: dict[Section, int]
    problems: dict[str, str]


@dataclass(frozen=True, slots=True)
class Restored:
    """Questions from before, with the word that they are still open."""

    heading: Paragraph
    questions: tuple[Open, ...]


class Service:
    """One process's part in keeping a firm's conversations going.

    `accept` events, and either `run` until `stop`, or `drain` (do all there is to do, then return).
    """

    def __init__(self, store: Store, releases: Releases, firm: Firm, *, core: Core | None = None,
                 deliveries: Sequence[Delivery] = (), clock: Callable[[], datetime] = utc_now,
                 activity: Activity | None = None, workers: int = WORKERS) -> None:
        self.store = store
        self.activity = activity or Activity()
        self._clock = clock
        self._core = core or real_core()
        self._firm = firm
        self._releases = releases
        self._lanes = Lanes(store, self._core, releases, firm, clock, self.activity)
        self._couriers = [Courier(store, delivery, clock, self.activity) for delivery in deliveries]
        self._workers = workers
        self._pool = ThreadPoolExecutor(workers, thread_name_prefix="lane")
        self._tasks: set[asyncio.Task[None]] = set()
        self._work = asyncio.Event()
        self._taking = True
        self._running = False
        self._problems: dict[str, str] = {}
        self._refused: StoreError | None = None
        self.aside: Callable[[Event], Rendered | None] | None = None
        """Asked first about each event: a message that answers it at once, apart from any visit; None for no."""

    def add(self, delivery: Delivery) -> None:
        """One more way out. Before `run`."""
        self._couriers.append(Courier(self.store, delivery, self._clock, self.activity))

    def invite_by(self, platform: str, link: str) -> None:
        """This link opens a chat with us there; `{code}` in it stands for the code of whoever was invited."""
        self._lanes.links[platform] = link

    def open_room(self, platform: str, account: str, address: str) -> str:
        """Post offers to this room of seniors, too. Its conversation. Before `run`; raises StoreError."""
        room = self.store.room(platform, account, address, self._clock())
        self._lanes.rooms[f"{platform} {address}"] = room
        return room

    async def meet(self, platform: str, account: str, user: str, address: str) -> Met | None:
        """Who writes from this account, and their conversation at this address; None for a stranger."""
        return await asyncio.to_thread(self.store.meet, platform, account, user, address, self._clock())

    async def accept(self, event: Event, platform_ids: Sequence[str] = ()) -> bool:
        """Keep an event. When this returns it is on disk, and the platform may be told so.

        `platform_ids`: what the platform calls the person's message. Returns False if the event was seen before.
        Raises StoreError if it could not be kept: then the platform must not be told.
        """
        if self.aside is not None and (told := await asyncio.to_thread(self.aside, event)) is not None:
            return await self.tell(told)
        claim = self._running and self._taking and len(self._tasks) < self._workers
        with self.activity.doing("accept"):
            accepted = await asyncio.to_thread(self.store.accept, tidied(event), self._clock(), platform_ids,
                                               claim=claim)
        if accepted.claimed is not None:
            self._start(accepted.claimed)
        return accepted.new

    async def tell(self, message: Rendered) -> bool:
        """Send somebody a message that belongs to no visit; false if it was sent before, or they have no chat."""
        told = await asyncio.to_thread(self.store.tell, message, self._clock())
        self._tell_couriers()
        return told

    async def restored(self, person: str, conversation: str) -> Restored | None:
        """What a screen that forgets (a terminal) shows again when it is opened: the questions that still wait."""
        questions = await asyncio.to_thread(self.store.open_questions, conversation)
        if not questions:
            return None
        known = self.store.crew().get(person)
        heading = self._core.render(Text(RESTORED), self._firm, known.language if known is not None else "en")
        return Restored(heading, questions)

    async def make_ready(self) -> None:
        """Make beforehand what the first message to each machine would wait for, beside whatever else is done."""
        from bot.service.readiness import make_ready  # noqa: PLC0415  (not everything that uses the service needs it)

        try:
            await asyncio.to_thread(make_ready, self._releases.current)
        except Exception:
            log.exception("nothing was made ready beforehand: the first message to each machine waits for it")

    async def run(self) -> None:
        """Work until `stop`, then finish what is in hand."""
        self._running = True
        tasks = [self._supervised("work", self._look_for_work), self._supervised("the dead", self._free_the_dead),
                 *(self._supervised(f"outbox {number}", self._deliver_for(courier))
                   for number, courier in enumerate(self._couriers) for _ in range(courier.parallel))]
        running = [asyncio.create_task(task) for task in tasks]
        try:
            await asyncio.gather(*running)
            while self._tasks:
                await asyncio.wait(set(self._tasks))
            for courier in self._couriers:
                await courier.deliver_all()
        finally:
            self._running = False
            for task in running:
                task.cancel()

    def stop(self) -> None:
        """Take no more work; `run` returns when what is in hand is done."""
        self._taking = False
        self._work.set()
        self._tell_couriers()

    async def drain(self) -> None:
        """Do everything that can be done now: events, due timers, deliveries; then return.

        Waits for whoever else has an event in hand (`run`, another process). Raises StoreError if the store refuses.
        """
        self._refused = None
        while True:
            found = await self._take_work()
            while self._tasks:
                await asyncio.wait(set(self._tasks))
                found = True
            if self._refused is not None:
                raise self._refused
            for courier in self._couriers:
                found |= await courier.deliver_all()
            if found:
                continue
            if not await asyncio.to_thread(self.store.in_hand, self._clock()):
                return
            await asyncio.sleep(0.02)
            await asyncio.to_thread(self.store.free_dead)

    async def health(self) -> Health:
        """How things stand."""
        backlog = await asyncio.to_thread(self.store.backlog)
        return Health(backlog, self.activity.ages(), self.activity.done(), dict(self._problems))

    def close(self) -> None:
        """Let go of the threads. The store is its opener's to close."""
        self._pool.shutdown()

    # -- the loop ----------------------------------------------------------------------------------------------------

    async def _supervised(self, name: str, once: Callable[[], Coroutine[Any, Any, None]]) -> None:
        """Again and again until `stop`; an error is shown on the health page, and never ends the loop."""
        while self._taking:
            try:
                await once()
                self._problems.pop(name, None)
            except Exception as error:
                log.exception("%s: failed, trying again in %s s", name, RETRY_SECONDS)
                self._problems[name] = str(error)
                await asyncio.sleep(RETRY_SECONDS)

    async def _look_for_work(self) -> None:
        self._work.clear()
        if not await self._take_work():
            with suppress(TimeoutError):
                await asyncio.wait_for(self._work.wait(), LOOK_SECONDS)

    async def _take_work(self) -> bool:
        now = self._clock()
        fired = await asyncio.to_thread(self.store.fire_timers, now)
        claims = await asyncio.to_thread(self.store.claim_events, now, self._workers - len(self._tasks))
        for claimed in claims:
            self._start(claimed)
        return bool(fired or claims)

    async def _free_the_dead(self) -> None:
        if await asyncio.to_thread(self.store.free_dead):
            self._work.set()
            self._tell_couriers()
        until = self._clock() + timedelta(seconds=DEAD_SECONDS)
        while self._taking and self._clock() < until:
            await asyncio.sleep(LOOK_SECONDS)

    def _deliver_for(self, courier: Courier) -> Callable[[], Coroutine[Any, Any, None]]:
        async def once() -> None:
            courier.wake.clear()
            if not await courier.deliver_some():
                with suppress(TimeoutError):
                    await asyncio.wait_for(courier.wake.wait(), LOOK_SECONDS)

        return once

    def _start(self, claimed: Claimed) -> None:
        task = asyncio.create_task(self._work_off(claimed))
        self._tasks.add(task)
        task.add_done_callback(self._ended)

    def _ended(self, task: asyncio.Task[None]) -> None:
        self._tasks.discard(task)
        self._work.set()
        if not task.cancelled() and (error := task.exception()) is not None:
            log.error("working on an event: %s", error, exc_info=error)
            self._problems["events"] = str(error)

    async def _work_off(self, first: Claimed) -> None:
        """Work on an event and those of its conversation that wait behind it."""
        loop = asyncio.get_running_loop()
        claimed: Claimed | None = first
        for behind in range(IN_A_ROW - 1, -1, -1):
            if claimed is None:
                return
            work = partial(self._lanes.work_on, claimed, claim_next=self._taking and behind > 0)
            try:
                following = await loop.run_in_executor(self._pool, work)
            except StoreError as error:
                await self._put_back(claimed, error)
                return
            claimed = following
            self._problems.pop("events", None)
            self._tell_couriers()
        if claimed is not None:  # one that failed and is to be tried again
            await asyncio.to_thread(self.store.release_event, claimed)

    async def _put_back(self, claimed: Claimed, error: StoreError) -> None:
        """The store refused: nothing was stored, the event is still to do."""
        log.warning("event %s is put back for a moment: %s", claimed.event.id, error)
        self._problems["events"] = str(error)
        self._refused = error
        await asyncio.sleep(RETRY_SECONDS)
        await asyncio.to_thread(self.store.release_event, claimed)

    def _tell_couriers(self) -> None:
        for courier in self._couriers:
            courier.wake.set()


def tidied(event: Event) -> Event:
    """The event with text that every part of the store can hold: no half characters, no NUL."""
    match event:
        case Typed() | Edited():
            return replace(event, text=_storable(event.text))
        case PhotoSent() | Other():
            return replace(event, caption=_storable(event.caption))
        case _:
            return event


def _storable(text: str) -> str:
    return text.replace("\x00", "\N{REPLACEMENT CHARACTER}").encode("utf-8", "replace").decode()
