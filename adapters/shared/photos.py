"""Photos from a platform: fetched with patience, judged by size before and by content after, kept in the store."""

from __future__ import annotations

import asyncio
import logging
import time
from collections.abc import Awaitable, Callable
from datetime import datetime
from typing import Final

from bot.conversation.events import PhotoSeen
from bot.service.photos import MOST_BYTES, take_photo
from bot.store.protocol import Archive

log = logging.getLogger(__name__)

PATIENCE: Final = 60.0
"""Seconds that a photo is tried for: the chat waits behind it."""
AT_ONCE: Final = 4
"""Photos fetched at the same time: each may take up to its largest size in memory."""


class TryAgainError(Exception):
    """The photo could not be fetched now; later it may. `seconds`: how long the platform wants to be left alone."""

    def __init__(self, seconds: float = 0.0) -> None:
        super().__init__()
        self.seconds = seconds


class TooLargeError(Exception):
    """The platform does not hand out a file of that size."""


class GoneError(Exception):
    """The photo is not to be had any more."""


class Fetcher:
    """Fetches photos into the store, a few at a time."""

    def __init__(self, store: Archive, clock: Callable[[], datetime], *, patience: float = PATIENCE) -> None:
        self._store = store
        self._clock = clock
        self._patience = patience
        self._slots = asyncio.Semaphore(AT_ONCE)

    async def fetch(self, fetch: Callable[[], Awaitable[bytes]], declared: int | None,
                    take: Callable[[Archive, bytes, datetime], PhotoSeen] = take_photo) -> PhotoSeen:
        """The photo as kept, or why there is none. `declared`: its bytes as the platform states. Raises StoreError.

        `take`: what keeps it; for a voice note or a video, `take_recording`.
        """
        if declared is not None and declared > MOST_BYTES:
            return PhotoSeen(None, bytes=declared, refused="size")
        until = time.monotonic() + self._patience
        pause = 0.5
        while True:
            try:
                async with self._slots:
                    content = await fetch()
                    return await asyncio.to_thread(take, self._store, content, self._clock())
            except TooLargeError:
                return PhotoSeen(None, bytes=declared or 0, refused="size")
            except GoneError:
                return PhotoSeen(None, refused="missing")
            except TryAgainError as error:
                wait = max(pause, error.seconds)
            if time.monotonic() + wait > until:
                log.warning("a photo could not be fetched in %.0f s", self._patience)
                return PhotoSeen(None, refused="missing")
            await asyncio.sleep(wait)
            pause = min(2 * pause, 10.0)
