"""`chargehand serve` as a process: the real talk, the health page, a clean end, clear words when it cannot begin."""

from __future__ import annotations

import asyncio
import os
import signal
import socket
import subprocess
import time
from collections.abc import AsyncIterator
from pathlib import Path
from typing import Any

import aiohttp
import pytest

from bot.conversation.effects import Audit
from bot.conversation.firm import Person
from bot.service.clock import utc_now
from bot.store.sqlite import SqliteStore
from tests.adapters.command import COMMAND
from tests.peers.botapi.phone import Phone
from tests.peers.botapi.server import TOKEN, BotApiServer

RUI = 101


class Served:
    """A process of `chargehand serve` with settings of its own."""

    def __init__(self, folder: Path, server: BotApiServer, token: str | None = TOKEN) -> None:
        with socket.socket() as sock:
            sock.bind(("127.0.0.1", 0))
            self.port: int = sock.getsockname()[1]
        self.folder = folder
        self.settings = folder / "settings.toml"
        self.settings.write_text(f'[telegram]\nbase_url = "{server.url}"\n[pages]\nport = {self.port}\n'
                                 '[firm]\nname = "Hazel Lane Appliance Repair"\n')
        self.environment = {key: value for key, value in os.environ.items() if key != "CHARGEHAND_TELEGRAM_TOKEN"}
        if token is not None:
            self.environment["CHARGEHAND_TELEGRAM_TOKEN"] = token
        self.process: subprocess.Popen[str] | None = None

    def begin(self) -> None:
        """Start it."""
        self.process = subprocess.Popen([str(COMMAND), "serve", "--config", str(self.settings)], text=True,
                                        env=self.environment, stderr=subprocess.PIPE, stdout=subprocess.DEVNULL)

    async def health(self) -> tuple[int, dict[str, Any]]:
        """The health page, once it answers."""
        until = time.monotonic() + 30
        async with aiohttp.ClientSession() as session:
            while True:
                try:
                    async with session.get(f"http://127.0.0.1:{self.port}/healthz") as response:
                        return response.status, await response.json()
                except aiohttp.ClientError:
                    assert time.monotonic() < until and self.process is not None and self.process.poll() is None
                    await asyncio.sleep(0.1)

    async def end(self, how: signal.Signals | None = None) -> tuple[int, str]:
        """Its exit code and what it wrote to standard error, after that signal if one is given."""
        assert self.process is not None
        if how is not None:
            self.process.send_signal(how)
        _, said = await asyncio.to_thread(self.process.communicate, timeout=30)
        return self.process.returncode, said


@pytest.fixture
async def served(tmp_path: Path, telegram: BotApiServer) -> AsyncIterator[Served]:
    """Serving, with Rui in the crew."""
    made = Served(tmp_path, telegram)
    store = SqliteStore(tmp_path / "chargehand-data")
    store.add_person(Person("p101", "Rui"), utc_now(), Audit(what="seated"))
    store.enrol("p101", "telegram", TOKEN.partition(":")[0], str(RUI), utc_now())
    store.close()
    made.begin()
    yield made
    if made.process is not None and made.process.poll() is None:
        made.process.kill()
        made.process.communicate()


async def test_a_visit_begins_and_the_end_is_clean(served: Served, telegram: BotApiServer) -> None:
    """Rui's first message gets the opening with buttons; /healthz says 200; SIGTERM ends it with 0, nothing waiting."""
    rui = Phone(telegram, RUI, "Rui")
    await rui.say("toploader belt drive, washes ok but wont spin, belt looks glazed")
    question = await rui.reads("Top-load washer", seconds=40)
    status, health = await served.health()
    assert status == 200 and health["ok"] and health["adapters"]["telegram"]["last_success_seconds"] < 60
    await rui.until(lambda: any(message.labels for message in rui.screen))
    assert question.html is not None
    await rui.say("where")
    code, said = await served.end(signal.SIGTERM)
    assert code == 0 and TOKEN not in said
    store = SqliteStore(served.folder / "chargehand-data")
    assert (store.backlog().events, store.backlog().outgoing) == (0, 0)
    store.close()


async def test_a_killed_process_loses_nothing(served: Served, telegram: BotApiServer) -> None:
    """SIGKILL while Rui goes on writing: after the next start every message was handled once, every answer is there."""
    rui = Phone(telegram, RUI, "Rui")
    await rui.say("toploader belt drive, washes ok but wont spin, belt looks glazed")
    await rui.reads("Top-load washer", seconds=40)
    for word in ("how", "why", "where"):
        await rui.say(word)
    await rui.until(lambda: len(rui.screen) >= 2)
    await served.end(signal.SIGKILL)
    for word in ("skip", "sheet", "where"):
        await rui.say(word)
    served.begin()
    last = telegram.world.updates[-1]["update_id"]
    await rui.until(lambda: telegram.acknowledged >= last, 40)
    until = time.monotonic() + 20
    while (await served.health())[1]["events_waiting"]:
        assert time.monotonic() < until
        await asyncio.sleep(0.1)
    code, _ = await served.end(signal.SIGTERM)
    store = SqliteStore(served.folder / "chargehand-data")
    handled = store._read(lambda conn: conn.execute(
        "SELECT json_extract(event, '$.text') FROM inbox WHERE state = 'handled' AND kind = 'typed' ORDER BY seq"
    ).fetchall())
    store.close()
    assert code == 0
    assert [word for (word,) in handled[1:]] == ["how", "why", "where", "skip", "sheet", "where"]
    twice = sum(a.words == b.words for a, b in zip(rui.screen, rui.screen[1:], strict=False))
    assert twice <= 1


async def test_when_telegram_is_gone_the_health_page_says_so(tmp_path: Path, telegram: BotApiServer) -> None:
    """503 while nothing comes from Telegram, 200 once it does; the process goes on through both."""
    telegram.faults.by_chance(1.0, ["error"], seed=1)
    made = Served(tmp_path, telegram)
    made.begin()
    status, health = await made.health()
    assert status == 503 and health["adapters"]["telegram"]["alive"] is False
    telegram.faults.by_chance(0.0, ["error"], seed=1)
    until = time.monotonic() + 15
    while (await made.health())[0] != 200:
        assert time.monotonic() < until
        await asyncio.sleep(0.1)
    code, _ = await made.end(signal.SIGTERM)
    assert code == 0


@pytest.mark.parametrize(("token", "code", "words"), [
    (None, 2, "CHARGEHAND_TELEGRAM_TOKEN"), ("no token at all", 2, "does not hold a bot token"),
    ("700700:AAanother-token_altogether", 1, "refuses the bot's token")])
async def test_a_token_that_is_no_good(tmp_path: Path, telegram: BotApiServer, token: str | None, code: int,
                                       words: str) -> None:
    """One clear line that does not hold the token, and an exit code that says so."""
    made = Served(tmp_path, telegram, token)
    made.begin()
    ended, said = await made.end()
    last = said.strip().splitlines()[-1]
    assert ended == code and last.startswith("chargehand: ") and words in last
    assert "Traceback" not in said and (token is None or token not in said)


async def test_a_port_in_use(tmp_path: Path, telegram: BotApiServer) -> None:
    """Said with the address and what to change."""
    made = Served(tmp_path, telegram)
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", made.port))
        taken.listen()
        made.begin()
        code, said = await made.end()
    assert code == 1 and f"cannot listen on 127.0.0.1:{made.port}" in said and "Traceback" not in said


def test_settings_without_a_platform(tmp_path: Path) -> None:
    """There is nothing to serve."""
    (tmp_path / "settings.toml").write_text("[firm]\n")
    done = subprocess.run([str(COMMAND), "serve", "--config", str(tmp_path / "settings.toml")], capture_output=True,
                          text=True, check=False, timeout=60)
    assert done.returncode == 2 and "add a section [telegram]" in done.stderr


async def test_an_invitation_comes_as_a_link(tmp_path: Path, telegram: BotApiServer) -> None:
    """With the bot's name and the code in it; where Telegram is out of reach, with the words to send."""
    made = Served(tmp_path, telegram)
    command = [str(COMMAND), "people", "invite", "--role", "junior", "--config", str(made.settings)]

    async def invited() -> str:
        done = await asyncio.to_thread(subprocess.run, command, capture_output=True, text=True, check=True,
                                       env=made.environment, timeout=60)
        return str(done.stdout)

    first, second = (await invited()).splitlines()
    assert second == f"Link: https://t.me/lead_hand_bot?start={first.rpartition(': ')[2]}"
    await telegram.stop()
    said = await invited()
    assert "they write to the bot: /start " in said and "No link: Telegram did not tell" in said
