"""After a long absence the server sends only the latest events of a room: those before them, from its history."""

from __future__ import annotations

import logging
from typing import Any, Final

from nio import AsyncClient, MessageDirection

from adapters.matrix.homeserver import RefusedError, ask

log = logging.getLogger(__name__)

PAGE: Final = 100
PAGES: Final = 50
"""Pages of one gap: 5,000 events. More than that is no absence but another room."""


async def missed(client: AsyncClient, room: str, since: str, until: str) -> list[Any]:
    """The room's events after `since` and before `until` (tokens of the server), oldest first, decrypted if possible.

    Raises UnreachableError, LimitedError, SignedOutError. A history that we may not read is logged and left out.
    """
    events: list[Any] = []
    start: str | None = until
    for _ in range(PAGES):
        if start is None:
            break
        try:
            page = await ask(client.room_messages(room, start, end=since, direction=MessageDirection.back, limit=PAGE))
        except RefusedError as error:
            log.warning("the history of a room could not be read: %s", error)
            break
        events.extend(page.chunk)
        start = page.end if page.chunk else None
    else:
        log.warning("a gap of more than %d events in a room: the older ones are left out", PAGE * PAGES)
    return events[::-1]
