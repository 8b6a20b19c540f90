"""The sign that an answer is being worked on, shown when it takes more than a second."""

from __future__ import annotations

import asyncio
import logging
import time
from collections.abc import Awaitable, Callable
from typing import Final

log = logging.getLogger(__name__)

AFTER: Final = 1.0
AGAIN: Final = 4.0
"""Platforms take the sign away by themselves after about five seconds."""
LONGEST: Final = 60.0


class Presence:
    """`busy(chat, conversation)`: whether an answer is still to come; `show(chat)`: show the sign once."""

    def __init__(self, busy: Callable[[str, str], Awaitable[bool]], show: Callable[[str], Awaitable[None]]) -> None:
        self._busy = busy
        self._show = show
        self._tasks: dict[str, asyncio.Task[None]] = {}

    def began(self, chat: str, conversation: str) -> None:
        """Something came from that chat: show the sign in a second if it is still being worked on then."""
        if chat not in self._tasks:
            task = asyncio.create_task(self._watch(chat, conversation))
            self._tasks[chat] = task
            task.add_done_callback(lambda done: self._ended(chat, done))

    async def close(self) -> None:
        """Show nothing more."""
        tasks = list(self._tasks.values())
        for task in tasks:
            task.cancel()
        await asyncio.gather(*tasks, return_exceptions=True)

    async def _watch(self, chat: str, conversation: str) -> None:
        until = time.monotonic() + LONGEST
        pause = AFTER
        while time.monotonic() < until:
            await asyncio.sleep(pause)
            if not await self._busy(chat, conversation):
                return
            await self._show(chat)
            pause = AGAIN

    def _ended(self, chat: str, task: asyncio.Task[None]) -> None:
        self._tasks.pop(chat, None)
        if not task.cancelled() and (error := task.exception()) is not None:
            log.info("the typing sign could not be shown: %s", type(error).__name__)
