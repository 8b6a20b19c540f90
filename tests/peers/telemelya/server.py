"""Starting telemelya on loopback, and acting as a person on it."""

from __future__ import annotations

import asyncio
import socket
import subprocess
import time
from pathlib import Path
from typing import Any

import aiohttp

from tests.peers.needed import ROOT, missing

PYTHON = ROOT / ".peers" / "telemelya" / "bin" / "python"
INSTALL = ("python3 -m venv .peers/telemelya && .peers/telemelya/bin/python -m pip install -r "
           "tests/peers/telemelya/requirements.txt")
START_SECONDS = 30.0


class Telemelya:
    """The emulator as a process of its own."""

    def __init__(self, token: str) -> None:
        if not PYTHON.exists():
            missing("telemelya", INSTALL)
        self._token = token
        with socket.socket() as sock:
            sock.bind(("127.0.0.1", 0))
            self.port: int = sock.getsockname()[1]
        self.url = f"http://127.0.0.1:{self.port}"
        self._process: subprocess.Popen[bytes] | None = None
        self._session: aiohttp.ClientSession | None = None

    async def start(self) -> None:
        """Start it and wait until it answers."""
        self._process = subprocess.Popen([str(PYTHON), str(Path(__file__).with_name("serve.py")), str(self.port)],
                                         stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        self._session = aiohttp.ClientSession(headers={"Authorization": "Bearer none"})
        until = time.monotonic() + START_SECONDS
        while time.monotonic() < until:
            try:
                async with self._session.get(self.url):
                    return
            except aiohttp.ClientError:
                await asyncio.sleep(0.1)
        raise RuntimeError(f"telemelya did not answer in {START_SECONDS} s")

    async def stop(self) -> None:
        """End it."""
        if self._session is not None:
            await self._session.close()
        if self._process is not None:
            self._process.terminate()
            self._process.wait(10)

    async def send(self, user: int, **update: Any) -> None:
        """Have something sent by that user: text, callback_data, photo_file_id, photo_caption."""
        await self._control("post", "send_update", json={"chat_id": user, **update}, bot_token=self._token)

    async def upload(self, content: bytes) -> str:
        """A picture's id, to be sent."""
        form = aiohttp.FormData()
        form.add_field("file", content, filename="photo.jpg", content_type="image/jpeg")
        return str((await self._control("post", "upload_media", data=form))["file_id"])

    async def calls(self) -> list[dict[str, Any]]:
        """What the bot did, in order."""
        return list((await self._control("get", "responses"))["responses"])

    async def _control(self, verb: str, what: str, json: Any = None, data: Any = None, **query: str) -> dict[str, Any]:
        assert self._session is not None
        async with self._session.request(verb, f"{self.url}/api/v1/test/{what}", params=query, json=json,
                                         data=data) as response:
            response.raise_for_status()
            answer: dict[str, Any] = await response.json()
            return answer
