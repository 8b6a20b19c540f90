"""The bot on a homeserver of the tests: in this process, or by `chargehand serve` in one that can be killed."""

from __future__ import annotations

import asyncio
import json
import os
import shutil
import signal
import socket
import sys
import time
import urllib.error
import urllib.request
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from secrets import token_hex
from typing import Any

from adapters.matrix.adapter import MatrixAdapter
from adapters.matrix.syncing import Pace
from adapters.shared.adapter import AdapterStoppedError
from adapters.shared.stopping import unless_stopped
from bot.conversation.effects import Audit
from bot.conversation.firm import Person, Role
from bot.conversation.job import Job
from bot.conversation.release import Release, compile_release
from bot.service.clock import utc_now
from bot.service.config import read_config
from bot.service.people import invite, remove
from bot.service.releases import Prepared, Releases, prepare
from bot.service.service import Service
from bot.store.sqlite import SqliteStore
from knowledge.schema import Knowledge
from tests.peers.synapse.server import Account, Synapse

PASSWORD = "CHARGEHAND_TEST_MATRIX_PASSWORD"
QUICK = Pace(poll=2.0, slack=1.0, request=4.0, key=3.0, first_wait=0.1, longest_wait=0.5)
READY = 30.0


@dataclass
class House:
    """A firm with a bot: its settings and data folder, and what runs of it."""

    folder: Path
    account: Account
    homeserver: str
    today: Prepared
    extra: dict[str, Any] = field(default_factory=dict)
    pace: Pace = QUICK
    password: str = ""
    """Another one than the account's."""
    adapter: MatrixAdapter | None = None
    running: asyncio.Task[None] | None = None
    child: asyncio.subprocess.Process | None = None
    _stopping: asyncio.Event | None = None

    def __post_init__(self) -> None:
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            self.port = probe.getsockname()[1]

    @property
    def data(self) -> Path:
        """The data folder."""
        return self.folder / "data"

    def settings(self) -> dict[str, Any]:
        """The settings file's content."""
        return {"store": {"path": str(self.data)}, "pages": {"port": self.port},
                "matrix": {"homeserver": self.homeserver, "user": self.account.user, "password_env": PASSWORD,
                           **self.extra},
                "firm": {"name": "Hazel Lane Appliance Repair", "timezone": "UTC"}}

    def code(self, role: str = "junior", name: str = "Rui") -> str:
        """A code for someone new, as `chargehand people invite` makes it."""
        store = SqliteStore(self.data)
        try:
            return invite(store, role, name, utc_now())
        finally:
            store.close()

    def employ(self, user: str, role: Role = "junior", name: str = "Rui") -> Person:
        """Someone of the crew, as if they had sent their code."""
        store, person = SqliteStore(self.data), Person(token_hex(10), name, role)
        try:
            store.add_person(person, utc_now(), Audit(what="joined"))
            store.enrol(person.id, "matrix", self.account.user, user, utc_now())
        finally:
            store.close()
        return person

    def dismiss(self, name: str) -> None:
        """Someone is of the crew no more."""
        store = SqliteStore(self.data)
        try:
            [person] = [each.id for each in store.crew().values() if each.name == name]
            remove(store, person, utc_now())
        finally:
            store.close()

    def audit(self) -> list[tuple[str, dict[str, Any]]]:
        """What is in the audit log."""
        return [(what, json.loads(data)) for what, data in self.rows("SELECT what, data FROM audit ORDER BY seq")]

    def rows(self, sql: str) -> list[tuple[Any, ...]]:
        """Rows of the store."""
        store = SqliteStore(self.data)
        try:
            return store._read(lambda conn: conn.execute(sql).fetchall())
        finally:
            store.close()

    def job(self) -> Job:
        """The only job."""
        store = SqliteStore(self.data)
        try:
            [(key,)] = store._read(lambda conn: conn.execute("SELECT id FROM jobs").fetchall())
            found = store.job(key)
        finally:
            store.close()
        assert found is not None
        return found

    def result(self, check: str) -> str | None:
        """What stands as that check's result."""
        return next((fact.value for fact in reversed(self.job().standing("result")) if fact.subject == check), None)

    async def start(self) -> None:
        """Serve in this process, and wait for the first sync."""
        os.environ[PASSWORD] = self.password or self.account.password
        self._stopping = asyncio.Event()
        self.running = asyncio.create_task(self._serve(self._stopping))
        until = time.monotonic() + READY
        while time.monotonic() < until and not self.running.done():
            if self.adapter is not None and self.adapter.health().details["last_sync"] is not None:
                return
            await asyncio.sleep(0.05)
        if self.running.done():
            await self.running
        raise TimeoutError(f"no first sync within {READY} s: {self.adapter and self.adapter.health()}")

    async def stop(self) -> None:
        """Stop in order. Raises what the serving ended with."""
        if self.running is not None and self._stopping is not None:
            self._stopping.set()
            running, self.running, self.adapter = self.running, None, None
            await running
        if self.child is not None:
            self.kill()
            await self.child.wait()
            self.child = None

    async def stop_quietly(self) -> None:
        """Stop, whatever it ended with: that was looked at before."""
        with suppress(AdapterStoppedError):
            await self.stop()

    @asynccontextmanager
    async def ended(self, seconds: float = 15.0) -> AsyncIterator[None]:
        """Wait at the end for serving to end by itself. Raises what it ended with."""
        yield
        assert self.running is not None
        running, self.running, self.adapter = self.running, None, None
        async with asyncio.timeout(seconds):
            await running

    async def start_child(self, patience: float = READY) -> None:
        """Serve in a process of its own, and wait until it is alive."""
        file = self.folder / "settings.json.toml"
        file.write_text(_toml(self.settings()))
        with (self.folder / "output").open("ab") as output:
            self.child = await asyncio.create_subprocess_exec(
                sys.executable, "-m", "adapters.cli", "serve", "--config", str(file),
                env={**os.environ, PASSWORD: self.password or self.account.password},
                stdout=output, stderr=output)
        until = time.monotonic() + patience
        while time.monotonic() < until and self.child.returncode is None:
            if await asyncio.to_thread(self._alive):
                return
            await asyncio.sleep(0.05)
        raise RuntimeError(f"the bot did not come up: {(self.folder / 'output').read_text()[-2000:]}")

    def kill(self) -> None:
        """End the child at once, as a power cut does."""
        if self.child is not None and self.child.returncode is None:
            self.child.send_signal(signal.SIGKILL)

    def _alive(self) -> bool:
        try:
            with urllib.request.urlopen(f"http://127.0.0.1:{self.port}/healthz", timeout=1) as answer:
                return bool(json.load(answer)["ok"])
        except (urllib.error.URLError, OSError):
            return False

    async def _serve(self, stopping: asyncio.Event) -> None:
        """What `chargehand serve` does, on knowledge that was compiled before."""
        config = read_config(self.settings())
        store = SqliteStore(self.data)
        service = Service(store, Releases(self.data / "releases", self.today, compiled=compiled), config.firm.firm())
        try:
            assert config.matrix is not None
            self.adapter = adapter = MatrixAdapter(config.matrix, service, pace=self.pace)
            service.add(adapter.delivery)
            working, taking = asyncio.create_task(service.run()), asyncio.create_task(adapter.run())
            await unless_stopped(stopping, _first_end(working, taking))
            adapter.stop()
            await asyncio.wait({taking})
            service.stop()
            await working
            await adapter.close()
            await taking
        finally:
            service.close()
            store.close()


@cache
def today(folder: Path) -> Prepared:
    """The packs, read once for all stories."""
    return prepare(folder)


_compiled: dict[str, Release] = {}


def compiled(key: str, known: Knowledge) -> Release:
    """Compiled once for all stories."""
    if key not in _compiled:
        _compiled[key] = compile_release(key, known)
    return _compiled[key]


async def _first_end(*tasks: asyncio.Task[None]) -> None:
    await asyncio.wait(tasks, return_when=asyncio.FIRST_COMPLETED)


def house_of(folder: Path, server: Synapse, name: str, knowledge: Path, *, url: str = "", **extra: Any) -> House:
    """A firm with an account of its own on the server. `knowledge`: the packs, read before."""
    made = House(folder, server.register(name), url or server.url, today(knowledge), extra)
    shutil.copytree(knowledge, made.data / "releases")
    return made


def _toml(settings: dict[str, Any]) -> str:
    sections = ([f"[{name}]", *(f"{key} = {json.dumps(value)}" for key, value in values.items())]
                for name, values in settings.items())
    return "\n".join(line for section in sections for line in section) + "\n"
