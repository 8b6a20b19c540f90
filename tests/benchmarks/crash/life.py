"""One process's life: a service under load until it is killed, or until everything is done."""

from __future__ import annotations

import asyncio
import logging
import random
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from bot.conversation.firm import Firm
from bot.service import people
from bot.service.clock import utc_now
from bot.service.delivery import Delivered, Later, Never
from bot.service.service import Service
from bot.store.rows import Met, Outgoing, Outlet
from bot.store.sqlite import SqliteStore
from tests.benchmarks.crash.cores import Play, play
from tests.benchmarks.crash.marks import MarkedActivity, Marks
from tests.benchmarks.crash.platform import Chat, deliver

NETWORK_SECONDS: Final = 0.0005


@dataclass(frozen=True, slots=True)
class Scene:
    """Where a harness plays, and what."""

    folder: Path
    core: str
    chats: int
    processes: int

    @property
    def data(self) -> Path:
        """The data folder."""
        return self.folder / "data"

    def marks(self, process: int) -> Path:
        """The marks of a process."""
        return self.folder / f"marks-{process}"


@dataclass(slots=True)
class Line:
    """The way out of one process: its own account's chats, one row at a time."""

    folder: Path
    life: int
    outlet: Outlet
    parallel: int = 1

    async def deliver(self, out: Outgoing) -> Delivered | Later | Never:
        """The network takes a moment before the message is there, and another until that is known."""
        await asyncio.sleep(NETWORK_SECONDS)
        deliver(self.folder, self.life, out)
        await asyncio.sleep(NETWORK_SECONDS)
        return Delivered((str(out.row),))


def crew(scene: Scene, store: SqliteStore) -> list[Met]:
    """The people, one a chat; each process has an account of its own."""
    return [people.seat(store, "pretend", f"account{number % scene.processes}", f"tech{number}", "junior",
                        f"Tech {number}", utc_now()) for number in range(scene.chats)]


def live(scene: Scene, process: int, life: int) -> None:
    """Be under load until killed."""
    logging.disable(logging.CRITICAL)
    asyncio.run(_live(scene, process, life))


async def _live(scene: Scene, process: int, life: int) -> None:
    what = play(scene.core)
    store = SqliteStore(scene.data)
    chats = _chats(scene, what, store, process)
    service = _service(scene, what, store, process, life)
    await asyncio.gather(service.run(), *(_send(service, chat, what.pause) for chat in chats))


async def _send(service: Service, chat: Chat, pause: float) -> None:
    chance = random.Random()
    n = chat.resume(again=chance.random() < 0.5)
    while True:
        await service.accept(chat.message(n))
        chat.acknowledge(n)
        n += 1
        await asyncio.sleep(chance.uniform(0, 2 * pause))


def finish(scene: Scene, life: int) -> None:
    """Do everything that is left, for every account, and end well."""
    asyncio.run(_finish(scene, life))


async def _finish(scene: Scene, life: int) -> None:
    what = play(scene.core)
    store = SqliteStore(scene.data)
    services = [_service(scene, what, store, process, life) for process in range(scene.processes)]
    for _ in range(3):  # timers that are set meanwhile come due, too
        for service in services:
            await service.drain()
        await asyncio.sleep(0.2)
    for service in services:
        service.close()
    store.close()


def _service(scene: Scene, what: Play, store: SqliteStore, process: int, life: int) -> Service:
    line = Line(scene.folder, life, Outlet("pretend", f"account{process}"))
    return Service(store, what.releases(scene.data), Firm(), core=what.core, deliveries=[line],
                   activity=MarkedActivity(Marks(scene.marks(process))))


def _chats(scene: Scene, what: Play, store: SqliteStore, process: int) -> Sequence[Chat]:
    return [Chat(scene.folder, number, met, lambda n, number=number: what.says(number, n))  # type: ignore[misc]
            for number, met in enumerate(crew(scene, store)) if number % scene.processes == process]
