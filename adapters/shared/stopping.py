"""Waiting that ends when the program is to stop."""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from contextlib import suppress
from typing import Any, TypeVar

T = TypeVar("T")


async def unless_stopped(stopping: asyncio.Event, work: Coroutine[Any, Any, T]) -> T | None:
    """The result of `work`, or None if the program is to stop first: then the work is dropped."""
    doing = asyncio.ensure_future(work)
    stop = asyncio.create_task(stopping.wait())
    try:
        await asyncio.wait({doing, stop}, return_when=asyncio.FIRST_COMPLETED)
        return doing.result() if doing.done() else None
    finally:
        for task in (doing, stop):
            task.cancel()
        await asyncio.gather(doing, stop, return_exceptions=True)


async def pause(stopping: asyncio.Event, seconds: float) -> None:
    """Wait so long, or until the program is to stop."""
    with suppress(TimeoutError):
        async with asyncio.timeout(seconds):
            await stopping.wait()
