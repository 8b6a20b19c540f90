"""The same bot against an emulator that nobody here wrote: webhook behind a proxy, buttons, a photo."""

from __future__ import annotations

import asyncio
import time
from collections.abc import AsyncIterator, Callable
from pathlib import Path
from typing import Any

import aiohttp
import pytest
from aiohttp import web

from tests.adapters.telegram.stage import RUI, Stage, picture
from tests.adapters.telegram.test_webhook import HEADER, SECRET, free_port
from tests.peers.botapi.server import TOKEN, BotApiServer
from tests.peers.telemelya.server import Telemelya


@pytest.fixture
async def emulator() -> AsyncIterator[Telemelya]:
    """The emulator, running."""
    server = Telemelya(TOKEN)
    await server.start()
    yield server
    await server.stop()


@pytest.fixture
async def proxy() -> AsyncIterator[tuple[str, int]]:
    """A proxy before the bot: it takes the prefix off, and puts the secret in, which the emulator does not send.

    (its address, the port that the bot is to listen on)
    """
    behind = free_port()

    async def forward(request: web.Request) -> web.Response:
        async with aiohttp.ClientSession() as session, session.post(
                f"http://127.0.0.1:{behind}/", data=await request.read(),
                headers={HEADER: SECRET, "Content-Type": "application/json"}) as response:
            return web.Response(status=response.status, text=await response.text())

    app = web.Application()
    app.router.add_post("/bots/chargehand", forward)
    runner = web.AppRunner(app, access_log=None, handle_signals=False)
    await runner.setup()
    await web.TCPSite(runner, "127.0.0.1", 0).start()
    yield f"http://127.0.0.1:{runner.addresses[0][1]}/bots/chargehand", behind
    await runner.cleanup()


async def until(emulator: Telemelya, seen: Callable[[dict[str, Any]], bool]) -> dict[str, Any]:
    """Wait for a call of the bot's."""
    end = time.monotonic() + 8
    calls: list[dict[str, Any]] = []
    while time.monotonic() < end:
        calls = await emulator.calls()
        found = next((call for call in calls if seen(call)), None)
        if found is not None:
            return found
        await asyncio.sleep(0.05)
    raise AssertionError(f"not seen: {calls}")


async def test_a_talk_on_the_emulator(emulator: Telemelya, proxy: tuple[str, int], tmp_path: Path,
                                      monkeypatch: pytest.MonkeyPatch) -> None:
    """Text, a question that is pressed and closed, a photo whose bytes arrive as they were sent."""
    monkeypatch.setenv("HOOK_SECRET", SECRET)
    own = BotApiServer()
    stage = Stage(own, tmp_path, settings={
        "webhook_url": proxy[0], "webhook_listen": f"127.0.0.1:{proxy[1]}", "webhook_secret_env": "HOOK_SECRET"})
    stage.join(RUI, "Rui")
    own.url = emulator.url  # the bot talks with the emulator, not with our own server
    bot = await stage.begin()
    try:
        while not bot.adapter.health().alive:
            await asyncio.sleep(0.05)
        await emulator.send(RUI, text="ask <b>")
        question = await until(emulator, lambda call: call["method"] == "sendMessage")
        assert question["text"] == "1: ask &lt;b&gt;"  # it keeps what came over the wire
        data = question["reply_markup"]["inline_keyboard"][0][0]["callback_data"]
        await asyncio.sleep(0.01)
        await emulator.send(RUI, callback_data=data, callback_message_id=question["message_id"])
        edit = await until(emulator, lambda call: call["method"] == "editMessageText")
        assert edit["text"].endswith("→ <b>1</b>") and edit["message_id"] == question["message_id"]
        await until(emulator, lambda call: call.get("text") == "2: pressed 1")
        await until(emulator, lambda call: call["method"] == "answerCallbackQuery")
        content = picture()
        await asyncio.sleep(0.01)
        await emulator.send(RUI, photo_file_id=await emulator.upload(content), photo_caption="the plate")
        await until(emulator, lambda call: call.get("text") == "3: photo 1")
        (kept,) = bot.store._read(lambda conn: conn.execute("SELECT sha256 FROM photos").fetchone())
        assert bot.store.photo_file(kept).read_bytes() == content
    finally:
        await bot.stop()
