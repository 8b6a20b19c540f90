"""The webhook: Telegram posts to us, and is told 200 only when the update is on disk."""

from __future__ import annotations

import socket
import sqlite3
from typing import Any

import aiohttp
import pytest

from bot.service.config import ConfigError, read_config
from bot.store.sqlite import FILE
from tests.adapters.telegram.stage import RUI, Stage
from tests.peers.botapi.phone import Phone

SECRET = "a-secret_of_the_hook"
HEADER = "X-Telegram-Bot-Api-Secret-Token"


@pytest.fixture
async def hooked(stage: Stage, monkeypatch: pytest.MonkeyPatch) -> Phone:
    """Rui's phone; the bot listens behind a path prefix, as it would behind a proxy."""
    monkeypatch.setenv("HOOK_SECRET", SECRET)
    port = free_port()
    stage.settings = {"webhook_url": f"http://127.0.0.1:{port}/bots/chargehand", "webhook_listen": f"127.0.0.1:{port}",
                      "webhook_secret_env": "HOOK_SECRET"}
    phone = stage.join(RUI, "Rui")
    await stage.begin()
    await phone.until(lambda: bool(stage.server.webhook))
    return phone


def free_port() -> int:
    """A port of this machine that nobody listens on."""
    with socket.socket() as sock:
        sock.bind(("127.0.0.1", 0))
        port: int = sock.getsockname()[1]
        return port


async def test_a_talk_over_the_webhook(stage: Stage, hooked: Phone) -> None:
    """The same talk as by polling, without a single poll."""
    await hooked.say("ask")
    await hooked.reads("1: ask")
    await hooked.press("Yes")
    await hooked.reads("2: pressed 1")
    assert stage.server.polls == 0 and stage.server.webhook["secret_token"] == SECRET
    assert stage.bot is not None and stage.bot.adapter.health().alive


@pytest.mark.parametrize("headers", [{}, {HEADER: "a guess"}, {HEADER: "ünï"}])
async def test_only_telegram_may_post(stage: Stage, hooked: Phone, headers: dict[str, str]) -> None:
    """Without the secret nothing is read."""
    message = {"message_id": 99, "date": 1, "text": "forged", "chat": {"id": RUI, "type": "private"}}
    forged = {"update_id": 1, "message": {**message, "from": stage.server.world.users[RUI]}}
    assert await post(stage, forged, headers) == 403
    await hooked.say("real")
    await hooked.reads("1: real")


async def test_what_the_store_refuses_is_posted_again(stage: Stage, hooked: Phone) -> None:
    """503 until it is on disk, then once."""
    db = sqlite3.connect(stage.folder / FILE, isolation_level=None)
    db.execute("CREATE TRIGGER refuse BEFORE INSERT ON inbox BEGIN SELECT RAISE(ABORT, 'refused'); END")
    await hooked.say("m0")
    await hooked.until(lambda: stage.server.webhook_answers.count(503) >= 2)
    db.execute("DROP TRIGGER refuse")
    db.close()
    await hooked.say("m1")
    await hooked.reads("2: m1")
    assert hooked.lines == ["1: m0", "2: m1"]


async def test_the_same_post_twice_is_one_message(stage: Stage, hooked: Phone) -> None:
    """Telegram did not hear our 200 and posts again."""
    sent = await hooked.say("m0")
    await hooked.reads("1: m0")
    again = {"update_id": 1001, "message": stage.server.world.as_json(sent)}
    assert await post(stage, again, {HEADER: SECRET}) == 200
    await hooked.say("m1")
    await hooked.reads("2: m1")
    assert len(hooked.lines) == 2


@pytest.mark.parametrize(("body", "status"), [(b"not json", 400), (b'{"update_id": 5, "message": {"text": 1}}', 200)])
async def test_rubbish_does_no_harm(stage: Stage, hooked: Phone, body: bytes, status: int) -> None:
    """What is no JSON is refused; an update that cannot be read is not asked for again."""
    assert await post(stage, body, {HEADER: SECRET}) == status
    await hooked.say("m0")
    await hooked.reads("1: m0")


def test_a_webhook_without_a_secret_is_refused() -> None:
    """Anyone could post to it."""
    with pytest.raises(ConfigError, match="webhook_secret_env"):
        read_config({"telegram": {"webhook_url": "https://example.org/hook"}})


async def post(stage: Stage, body: Any, headers: dict[str, str]) -> int:
    """Post as somebody would; the status of the answer."""
    async with aiohttp.ClientSession() as session:
        data = {"data": body} if isinstance(body, bytes) else {"json": body}
        async with session.post(stage.settings["webhook_url"], headers=headers, **data) as response:
            return response.status
