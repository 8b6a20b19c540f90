"""A line to a homeserver that can be spoilt: it goes dead, is cut, answers 429 or rubbish."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import Literal

from aiohttp import ClientSession, ClientTimeout, web

Spoilt = Literal["dead", "cut", "limited", "rubbish"]
_HOP = {"host", "content-length", "transfer-encoding", "connection", "content-encoding"}


class FrailLine:
    """Passes requests on. `spoil(how, which)`: from now on, those whose path holds `which` are spoilt."""

    def __init__(self, target: str) -> None:
        self.url = ""
        self.seen: list[str] = []
        self._target = target
        self._spoil: Callable[[str], Spoilt | None] = lambda path: None
        self._runner: web.AppRunner | None = None
        self._session: ClientSession | None = None

    async def open(self) -> None:
        """Listen on loopback."""
        app = web.Application(client_max_size=1 << 26)
        app.router.add_route("*", "/{path:.*}", self._pass_on)
        self._session = ClientSession(timeout=ClientTimeout(total=60), auto_decompress=False)
        self._runner = web.AppRunner(app, access_log=None, handle_signals=False, shutdown_timeout=0.1)
        await self._runner.setup()
        site = web.TCPSite(self._runner, "127.0.0.1", 0)
        await site.start()
        self.url = f"http://127.0.0.1:{self._runner.addresses[0][1]}"

    async def close(self) -> None:
        """Listen no more."""
        if self._runner is not None:
            await self._runner.cleanup()
        if self._session is not None:
            await self._session.close()

    def spoil(self, how: Spoilt, which: str = "") -> None:
        """Spoil requests whose path holds `which`."""
        self._spoil = lambda path: how if which in path else None

    def mend(self) -> None:
        """All is well again."""
        self._spoil = lambda path: None

    def count(self, which: str) -> int:
        """Requests so far whose path holds `which`."""
        return sum(which in path for path in self.seen)

    async def _pass_on(self, request: web.Request) -> web.StreamResponse:
        self.seen.append(request.path)
        match self._spoil(request.path):
            case "dead":
                await asyncio.sleep(3600)
            case "cut":
                assert request.transport is not None
                request.transport.close()
                return web.Response()
            case "limited":
                return web.json_response({"errcode": "M_LIMIT_EXCEEDED", "error": "Too Many Requests",
                                          "retry_after_ms": 400}, status=429)
            case "rubbish":
                return web.Response(status=502, text="<html>Bad Gateway</html>", content_type="text/html")
            case _:
                pass
        headers = {name: value for name, value in request.headers.items() if name.lower() not in _HOP}
        assert self._session is not None
        async with self._session.request(request.method, f"{self._target}{request.path_qs}", headers=headers,
                                         data=await request.read()) as answer:
            kept = {name: value for name, value in answer.headers.items() if name.lower() not in _HOP}
            return web.Response(status=answer.status, body=await answer.read(), headers=kept)
