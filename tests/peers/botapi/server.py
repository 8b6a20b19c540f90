"""The server: calls over HTTP, long polling, a webhook, files, and faults on the way."""

from __future__ import annotations

import asyncio
import json
import time
from typing import Any

import aiohttp
from aiohttp import web

from tests.peers.botapi.faults import DONE, Faults
from tests.peers.botapi.methods import METHODS
from tests.peers.botapi.world import RefusedError, World

TOKEN = "700700:AAtest-token_of_no_bot_at_all"


class BotApiServer:
    """A Bot API server on loopback for one bot. `url` goes into the bot's settings."""

    def __init__(self, token: str = TOKEN) -> None:
        self.token = token
        self.world = World(int(token.partition(":")[0]))
        self.faults = Faults()
        self.url = ""
        self.polls = 0
        self.acknowledged = 0
        """Updates up to this one the bot has fetched and acknowledged."""
        self.webhook: dict[str, Any] = {}
        self.webhook_answers: list[int] = []
        self.hang_seconds = 30.0
        self._poller: asyncio.Event | None = None
        self._pushing: asyncio.Task[None] | None = None
        self._runner: web.AppRunner | None = None
        self._port = 0

    async def start(self) -> None:
        """Listen, on the same port as before if there was one."""
        app = web.Application(client_max_size=64 << 20)
        app.router.add_route("*", "/bot{token}/{method}", self._call)
        app.router.add_get("/file/bot{token}/{path:.*}", self._file)
        self._runner = web.AppRunner(app, access_log=None, handle_signals=False, shutdown_timeout=0.1)
        await self._runner.setup()
        await web.TCPSite(self._runner, "127.0.0.1", self._port, reuse_address=True).start()
        self._port = self._runner.addresses[0][1]
        self.url = f"http://127.0.0.1:{self._port}"

    async def stop(self) -> None:
        """Be gone; what is known stays for another `start`."""
        if self._pushing is not None:
            self._pushing.cancel()
            await asyncio.gather(self._pushing, return_exceptions=True)
        if self._poller is not None:
            self._poller.set()
        if self._runner is not None:
            await self._runner.cleanup()

    # -- calls -------------------------------------------------------------------------------------------------------

    async def _call(self, request: web.Request) -> web.StreamResponse:
        method = request.match_info["method"]
        if request.match_info["token"] != self.token:
            return _refused(RefusedError(401, "Unauthorized"))
        call = await _values(request)
        if method != "getUpdates":
            self.world.calls.append((time.monotonic(), method, call))
        fault = self.faults.next(method, call)
        if fault is not None and fault[0] not in DONE:
            return await self._failed(request, *fault)
        try:
            result = await self._do(method, call)
        except RefusedError as refusal:
            return _refused(refusal)
        if fault is not None:
            self.faults.done[method] += 1
            return await self._failed(request, *fault)
        return web.json_response({"ok": True, "result": result})

    async def _do(self, method: str, call: dict[str, Any]) -> Any:
        if method == "getUpdates":
            return await self._get_updates(call)
        if method == "setWebhook":
            return self._set_webhook(call)
        if method == "deleteWebhook":
            return self._set_webhook({})
        if method == "getWebhookInfo":
            return {"url": self.webhook.get("url", ""), "has_custom_certificate": False,
                    "pending_update_count": len(self.world.updates)}
        if method not in METHODS:
            raise RefusedError(404, "Not Found")
        return await METHODS[method](self.world, call)

    async def _failed(self, request: web.Request, kind: str, retry_after: int) -> web.StreamResponse:
        match kind:
            case "flood":
                words = f"Too Many Requests: retry after {retry_after}"
                return _refused(RefusedError(429, words, retry_after=retry_after))
            case "markup":
                return _refused(RefusedError(400, "Bad Request: can't parse entities: unsupported start tag"))
            case "error":
                return _refused(RefusedError(500, "Internal Server Error"))
            case "gateway":
                return web.Response(status=502, text="<html><h1>502 Bad Gateway</h1></html>", content_type="text/html")
            case "torn":
                response = web.StreamResponse(headers={"Content-Length": "400"})
                await response.prepare(request)
                await response.write(b'{"ok":true,"resu')
            case "hang" | "late":
                await asyncio.sleep(self.hang_seconds)
        if request.transport is not None:
            request.transport.close()
        return web.Response()

    async def _get_updates(self, call: dict[str, Any]) -> list[dict[str, Any]]:
        """Long polling: what is below `offset` is forgotten; a second poller ends the first one's poll."""
        if self.webhook:
            raise RefusedError(409, "Conflict: can't use getUpdates method while webhook is active; use"
                                    " deleteWebhook to delete the webhook first")
        if self._poller is not None:
            self._poller.set()
        mine = self._poller = asyncio.Event()
        self.polls += 1
        offset, limit = int(call.get("offset") or 0), int(call.get("limit") or 100)
        self.world.updates[:] = [u for u in self.world.updates if u["update_id"] >= offset]
        self.acknowledged = max(self.acknowledged, offset - 1)
        allowed = set(json.loads(call.get("allowed_updates", "[]")))
        until = time.monotonic() + float(call.get("timeout") or 0)
        try:
            while True:
                found = [u for u in self.world.updates if not allowed or allowed & set(u)][:limit]
                left = until - time.monotonic()
                if found or left <= 0:
                    return found
                await self._something_new(mine, left)
                if mine.is_set():
                    raise RefusedError(409, "Conflict: terminated by other getUpdates request; make sure that only"
                                            " one bot instance is running")
        finally:
            if self._poller is mine:
                self._poller = None

    async def _something_new(self, mine: asyncio.Event, seconds: float) -> None:
        async def changed() -> None:
            async with self.world.changed:
                await self.world.changed.wait()

        waits = [asyncio.create_task(changed()), asyncio.create_task(mine.wait())]
        await asyncio.wait(waits, timeout=min(seconds, 1.0), return_when=asyncio.FIRST_COMPLETED)
        for task in waits:
            task.cancel()
        await asyncio.gather(*waits, return_exceptions=True)

    # -- the webhook -------------------------------------------------------------------------------------------------

    def _set_webhook(self, call: dict[str, Any]) -> bool:
        self.webhook = dict(call) if call.get("url") else {}
        if self.webhook and (self._pushing is None or self._pushing.done()):
            self._pushing = asyncio.create_task(self._push())
        return True

    async def _push(self) -> None:
        """Post update after update; one that is not answered 200 is posted again."""
        async with aiohttp.ClientSession() as session:
            while self.webhook:
                if not self.world.updates:
                    async with self.world.changed:
                        await self.world.changed.wait()
                    continue
                update = self.world.updates[0]
                headers = {"X-Telegram-Bot-Api-Secret-Token": self.webhook.get("secret_token", "")}
                try:
                    async with session.post(self.webhook["url"], json=update, headers=headers) as response:
                        self.webhook_answers.append(response.status)
                        if response.status == 200:
                            self.world.updates.remove(update)
                            continue
                except aiohttp.ClientError:
                    self.webhook_answers.append(0)
                await asyncio.sleep(0.05)

    # -- files -------------------------------------------------------------------------------------------------------

    async def _file(self, request: web.Request) -> web.StreamResponse:
        file_id = request.match_info["path"].removeprefix("photos/").removesuffix(".jpg")
        fault = self.faults.next("file", {"file_id": file_id})
        if fault is not None:
            return await self._failed(request, *fault)
        if request.match_info["token"] != self.token or file_id not in self.world.files:
            return _refused(RefusedError(404, "Not Found"))
        return web.Response(body=self.world.files[file_id][0])


async def _values(request: web.Request) -> dict[str, Any]:
    """A call's values: form, multipart, JSON or query; files as bytes."""
    values: dict[str, Any] = dict(request.query)
    if request.content_type == "application/json":
        values |= await request.json()
    elif request.content_type.startswith("multipart/"):
        reader = await request.multipart()
        while (part := await reader.next()) is not None:
            assert isinstance(part, aiohttp.BodyPartReader) and part.name is not None
            content = bytes(await part.read())
            values[part.name] = content if part.filename is not None else content.decode()
        for name, value in list(values.items()):
            if isinstance(value, str) and value.startswith("attach://"):
                values[name] = values[value.removeprefix("attach://")]
    else:
        values |= await request.post()
    return values


def _refused(refusal: RefusedError) -> web.Response:
    body: dict[str, Any] = {"ok": False, "error_code": refusal.code, "description": refusal.description}
    if refusal.parameters:
        body["parameters"] = refusal.parameters
    return web.json_response(body, status=refusal.code)
