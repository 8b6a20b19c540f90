"""A phone of someone of the crew: the matrix-js-sdk client in `driver.mjs`, as a child process."""

from __future__ import annotations

import asyncio
import base64
import itertools
import json
import shutil
from pathlib import Path
from typing import Any

from tests.peers.needed import missing
from tests.peers.phone import Heard, Phone

HERE = Path(__file__).parent
INSTALL = "npm ci --prefix tests/peers/matrix_js (Node 20 or newer)"


def required() -> None:
    """Skip the test if Node or the SDK is not installed."""
    if shutil.which("node") is None:
        missing("Node", "install Node 20 or newer")
    if not (HERE / "node_modules" / "matrix-js-sdk").exists():
        missing("matrix-js-sdk", INSTALL)


class JsPhone(Phone):
    """matrix-js-sdk."""

    def __init__(self) -> None:
        super().__init__()
        self._numbers = itertools.count(1)
        self._answers: dict[int, asyncio.Future[dict[str, Any]]] = {}
        self._process: asyncio.subprocess.Process | None = None
        self._reading: asyncio.Task[None] | None = None

    async def start(self, base: str, user: str, password: str) -> None:
        """Log in as a new device, and sync."""
        self._process = await asyncio.create_subprocess_exec(
            "node", str(HERE / "driver.mjs"), stdin=asyncio.subprocess.PIPE, stdout=asyncio.subprocess.PIPE,
            stderr=asyncio.subprocess.DEVNULL, limit=1 << 24)
        self._reading = asyncio.create_task(self._read())
        made = await self._call("start", base=base, user=user, password=password)
        self.user, self.device, self.fingerprint = made["user"], made["device"], made["fingerprint"]

    async def close(self) -> None:
        """Switch it off."""
        if self._process is not None and self._process.returncode is None:
            self._process.kill()
            await self._process.wait()
        if self._reading is not None:
            self._reading.cancel()

    async def open(self, user: str, *, encrypted: bool = True) -> str:
        """A direct chat."""
        return str((await self._call("open", user=user, encrypted=encrypted))["room"])

    async def send(self, room: str, content: dict[str, Any]) -> str:
        """A message."""
        return str((await self._call("say", room=room, content=content))["id"])

    async def react(self, room: str, target: str, key: str) -> str:
        """A reaction."""
        return str((await self._call("react", room=room, target=target, key=key))["id"])

    async def redact(self, room: str, target: str) -> None:
        """Take a message back."""
        await self._call("redact", room=room, target=target)

    async def photo(self, room: str, content: bytes, mime: str, caption: str = "", *, tampered: bool = False,
                    kind: str = "m.image") -> str:
        """An encrypted photo."""
        data = base64.b64encode(content).decode()
        made = await self._call("photo", room=room, data=data, mime=mime, caption=caption, tampered=tampered,
                                kind=kind)
        return str(made["id"])

    async def fetch(self, content: dict[str, Any]) -> bytes:
        """The photo of a message, decrypted."""
        return base64.b64decode((await self._call("fetch", content=content))["data"])

    async def leave(self, room: str) -> None:
        """Leave a room."""
        await self._call("leave", room=room)

    async def membership(self, room: str, user: str) -> str | None:
        """How someone stands to a room."""
        found = (await self._call("joined", room=room, user=user))["membership"]
        return None if found is None else str(found)

    async def _call(self, name: str, **values: Any) -> dict[str, Any]:
        assert self._process is not None
        assert self._process.stdin is not None
        number = next(self._numbers)
        answer = self._answers[number] = asyncio.get_running_loop().create_future()
        self._process.stdin.write(json.dumps({"call": number, "name": name, **values}).encode() + b"\n")
        async with asyncio.timeout(30):
            return await answer

    async def _read(self) -> None:
        assert self._process is not None
        assert self._process.stdout is not None
        while line := await self._process.stdout.readline():
            if line.startswith(b'{"ev"'):
                self._take(json.loads(line))

    def _take(self, told: dict[str, Any]) -> None:
        match told["ev"]:
            case "done" if "error" in told:
                self._answers.pop(told["call"]).set_exception(RuntimeError(told["error"]))
            case "done":
                self._answers.pop(told["call"]).set_result(told["result"])
            case "event":
                self.hear(Heard(told["room"], told["id"], told["sender"], told["type"], told["raw"],
                                encrypted=told["encrypted"], failed=told["failed"]))
            case "typing" if told["typing"]:
                self.typed.add(told["user"])
            case "receipt":
                self.read.update(event for event, kinds in told["content"].items() if "m.read" in kinds)
            case _:
                pass
