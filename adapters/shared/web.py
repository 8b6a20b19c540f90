"""Small web servers inside the one process: the health page, the owner's pages, a webhook.

They run on aiohttp: the Matrix client needs it anyway, it lives inside our event loop without taking over signals,
and it lets requests in hand finish at the end. Pages are rendered by templates of their own, and sessions belong in
the store, where they can be ended; neither asks for more of a web library.
"""

from __future__ import annotations

import os

from aiohttp import web

from adapters.shared.adapter import AdapterStoppedError


class Site:
    """One application on one address of this machine."""

    def __init__(self, app: web.Application, host: str, port: int, where: str = "port in the settings file") -> None:
        self._runner = web.AppRunner(app, access_log=None, handle_signals=False, shutdown_timeout=5.0)
        self._host = host
        self._port = port
        self._where = where

    async def open(self) -> int:
        """Listen; the port (of interest if it was 0). Raises AdapterStoppedError if the address cannot be had."""
        await self._runner.setup()
        try:
            await web.TCPSite(self._runner, self._host, self._port).start()
        except OSError as error:
            await self._runner.cleanup()
            raise AdapterStoppedError(f"cannot listen on {self._host}:{self._port} ({os.strerror(error.errno or 0)}): "
                                      f"is it in use? Choose another {self._where}") from error
        port: int = self._runner.addresses[0][1]
        return port

    async def close(self) -> None:
        """Finish requests in hand and stop listening."""
        await self._runner.cleanup()
