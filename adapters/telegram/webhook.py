"""The webhook: Telegram posts updates to us. It is answered 200 only once the update is on disk.

The server behind a proxy accepts any path, since proxies differ in whether they pass a prefix on; what lets a caller
in is the secret that Telegram sends in a header.
"""

from __future__ import annotations

import hmac
import json
import logging
from typing import Final

from aiohttp import web
from telegram import Bot

from adapters.telegram.updates import parsed
from adapters.telegram.watch import Take, Watch
from bot.store.errors import StoreError

log = logging.getLogger(__name__)

HEADER: Final = "X-Telegram-Bot-Api-Secret-Token"
MOST_BYTES: Final = 1 << 20


def webhook(bot: Bot, secret: str, take: Take, watch: Watch) -> web.Application:
    """The application that takes Telegram's posts."""
    async def receive(request: web.Request) -> web.Response:
        if not hmac.compare_digest(request.headers.get(HEADER, "").encode(), secret.encode()):
            return web.Response(status=403, text="wrong secret\n")
        try:
            raw = json.loads(await request.read())
        except (ValueError, UnicodeDecodeError):
            return web.Response(status=400, text="not JSON\n")
        try:
            update = parsed(raw, bot)
        except Exception:  # posted again and again, it would not become readable
            log.exception("an update is in a form that cannot be read: left out")
            watch.unreadable += 1
            return web.Response(text="not read\n")
        try:
            await take([update])
        except StoreError as error:
            watch.failed(str(error), 0.0)
            return web.Response(status=503, text="not kept, post it again\n")
        watch.succeeded()
        return web.Response(text="kept\n")

    app = web.Application(client_max_size=MOST_BYTES)
    app.router.add_post("/{path:.*}", receive)
    return app
