"""Runs telemelya with its stores in memory (it wants Redis and an object store). Usage: serve.py PORT.

Run by the emulator's own Python; nothing of ours is imported, and nothing of its own behaviour is changed.
"""

import sys
from typing import Any

import fakeredis
import redis.asyncio
import uvicorn

redis.asyncio.from_url = lambda *_, **__: fakeredis.FakeAsyncRedis(decode_responses=True)

from telemelya.server.media import MediaManager  # noqa: E402

_KEPT: dict[str, bytes] = {}


async def _nothing(self: Any) -> None:
    pass


async def _ping(self: Any) -> bool:
    return True


async def _upload(self: Any, session: str, file_id: str, filename: str, data: bytes, content_type: str = "") -> str:
    key = f"{session}/{file_id}/{filename}"
    _KEPT[key] = data
    return key


async def _download(self: Any, session: str, file_id: str, filename: str) -> bytes | None:
    return _KEPT.get(f"{session}/{file_id}/{filename}")


async def _download_by_key(self: Any, key: str) -> bytes | None:
    return _KEPT.get(key)


MediaManager.connect = MediaManager.close = _nothing
MediaManager.ping = _ping
MediaManager.upload = _upload
MediaManager.download = _download
MediaManager.download_by_key = _download_by_key

from telemelya.server.app import app  # noqa: E402

uvicorn.run(app, host="127.0.0.1", port=int(sys.argv[1]), log_level="warning")
