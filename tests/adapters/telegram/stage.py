"""A whole bot on Telegram for a story: the server, the service with the small core, the adapter, phones of the crew."""

from __future__ import annotations

import asyncio
import io
import os
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from PIL import Image, ImageDraw

from adapters.telegram.adapter import TelegramAdapter
from bot.conversation.effects import Audit
from bot.conversation.firm import Firm, Person
from bot.conversation.release import Release
from bot.service.clock import utc_now
from bot.service.config import TelegramConfig
from bot.service.core import Core
from bot.service.people import invite
from bot.service.releases import Releases
from bot.service.service import Service
from bot.store.sqlite import SqliteStore
from knowledge.schema import Knowledge
from tests.peers.botapi.phone import Phone
from tests.peers.botapi.server import TOKEN, BotApiServer
from tests.service.small import SMALL, compiled, prepared

RUI, DANA, MARTA, STRANGER = 101, 102, 201, 999


@dataclass
class Bot:
    """A running bot: one process's life."""

    service: Service
    adapter: TelegramAdapter
    store: SqliteStore
    tasks: list[asyncio.Task[None]] = field(default_factory=list)

    async def stop(self) -> None:
        """End it as SIGTERM does."""
        self.adapter.stop()
        await self.tasks[1]
        self.service.stop()
        await self.tasks[0]
        await self._let_go()

    async def die(self) -> None:
        """End it as a power cut does, as far as one process can: nothing is finished, no claim is given back."""
        for task in self.tasks:
            task.cancel()
        await asyncio.gather(*self.tasks, return_exceptions=True)
        await self.adapter.close()
        self.service.close()
        if self.store._owner._file is not None:
            self.store._owner._file.close()  # as the system does when a process ends: its claims stay, its lock goes
        self.store._writer._closed = True
        self.store._writer._queue.put(None)
        self.store._writer._thread.join()
        self.store._readers.close()

    async def _let_go(self) -> None:
        await self.adapter.close()
        self.service.close()
        self.store.close()


@dataclass
class Stage:
    """The server and the data folder, which outlive the bot."""

    server: BotApiServer
    folder: Path
    core: Core = SMALL
    settings: dict[str, Any] = field(default_factory=dict)
    read: float = 1.0
    release: Release | None = None
    """Knowledge for a talk with the real core."""
    bot: Bot | None = None

    async def begin(self) -> Bot:
        """Start the bot."""
        os.environ["CHARGEHAND_TELEGRAM_TOKEN"] = TOKEN
        store = SqliteStore(self.folder)
        releases = Releases(self.folder / "releases", prepared(), compiled=self._compiled)
        service = Service(store, releases, Firm(), core=self.core)
        config = TelegramConfig(base_url=self.server.url, **self.settings)
        adapter = TelegramAdapter(config, service, read=self.read, poll=2, photo_patience=3.0)
        service.add(adapter.delivery)
        self.bot = Bot(service, adapter, store)
        self.bot.tasks = [asyncio.create_task(service.run()), asyncio.create_task(adapter.run())]
        return self.bot

    def _compiled(self, release: str, known: Knowledge) -> Release:
        return compiled(release, known) if self.release is None else replace(self.release, id=release)

    async def restart(self) -> Bot:
        """Stop the bot and start it again."""
        assert self.bot is not None
        await self.bot.stop()
        return await self.begin()

    def join(self, user: int, name: str, role: str = "junior") -> Phone:
        """Someone of the crew, with a phone."""
        store = SqliteStore(self.folder)
        try:
            person = Person(f"p{user}", name, role)  # type: ignore[arg-type]
            store.add_person(person, utc_now(), Audit(what="seated"))
            store.enrol(person.id, "telegram", TOKEN.partition(":")[0], str(user), utc_now())
        finally:
            store.close()
        return Phone(self.server, user, name)

    def invited(self, role: str = "junior", name: str = "") -> str:
        """A code for someone new."""
        assert self.bot is not None
        return invite(self.bot.store, role, name, utc_now())


@asynccontextmanager
async def staged(folder: Path, **options: Any) -> AsyncIterator[Stage]:
    """The server, and at the end nothing left running."""
    server = BotApiServer()
    await server.start()
    stage = Stage(server, folder, **options)
    try:
        yield stage
    finally:
        if stage.bot is not None and not stage.bot.tasks[0].done():
            await stage.bot.die()
        await server.stop()


def picture(text: str = "plate", kind: str = "JPEG", size: tuple[int, int] = (640, 480)) -> bytes:
    """A picture with something on it."""
    image = Image.new("RGB", size, "white")
    ImageDraw.Draw(image).text((20, 20), text, fill="black")
    content = io.BytesIO()
    image.save(content, kind)
    return content.getvalue()
