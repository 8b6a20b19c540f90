"""From a typed line to an event: a message, a photo by its path, or a change of the last message."""

from __future__ import annotations

import asyncio
import re
import secrets
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from random import Random
from typing import Final
from urllib.parse import unquote, urlparse

from adapters.terminal.seats import Seat
from bot.conversation.events import Edited, Event, PhotoSent, Typed
from bot.conversation.ids import derive
from bot.service.clock import utc_now
from bot.service.photos import take_photo_file
from bot.service.service import Service
from bot.store.protocol import Archive

EDIT: Final = re.compile(r"edit\s+(?=\S)", re.IGNORECASE)
NOTHING_TO_CHANGE: Final = "there is no message to change yet"
_IMAGE: Final = re.compile(r"\.(jpe?g|png|webp|gif|bmp|tiff?|hei[cf]|avif)$", re.IGNORECASE)
_QUOTED: Final = re.compile(r"""^(['"])(.+)\1$""")


def ids(seed: int | None) -> Iterator[str]:
    """Event ids without end: by chance, or the same ones again for a seed."""
    chance = Random(seed)
    while True:
        yield secrets.token_hex(10) if seed is None else f"{chance.getrandbits(80):020x}"


@dataclass(slots=True)
class Keyboard:
    """Makes events of what one seat types. `last` is our id of the last message, which `edit` changes."""

    seat: Seat
    archive: Archive
    last: str | None = None

    async def hand_in(self, service: Service, line: str, event_ids: Iterator[str]) -> bool:
        """Have a line accepted; false if it was an `edit` and there is nothing to change. Raises StoreError.

        With a seed the first ids may be used up on this data folder: then the next one is taken.
        """
        for event_id in event_ids:
            event = await asyncio.to_thread(self.event, line, event_id, utc_now())
            if event is None:
                return False
            if await service.accept(event):
                break
        return True

    def event(self, line: str, event_id: str, now: datetime) -> Event | None:
        """The event that a line is; None for an `edit` when there is nothing to change."""
        who, where = self.seat.person.id, self.seat.conversation
        change = EDIT.match(line)
        if change is not None:
            if self.last is None:
                return None
            return Edited(id=event_id, at=now, person=who, conversation=where, message=self.last, target=self.last,
                          text=line[change.end():])
        self.last = message = derive(event_id, "message")
        photo = photo_path(line)
        if photo is not None:
            seen = take_photo_file(self.archive, photo, now)
            return PhotoSent(id=event_id, at=now, person=who, conversation=where, message=message, photos=(seen,))
        return Typed(id=event_id, at=now, person=who, conversation=where, message=message, text=line)


def photo_path(line: str) -> Path | None:
    """The file that a line names, if it names an image and nothing else: typed, quoted or dropped on the window.

    A sentence that ends in a file's name is a sentence, unless a file of just that name is there.
    """
    text = line.strip()
    quoted = _QUOTED.match(text)
    bare = quoted[2] if quoted else text
    if not _IMAGE.search(bare) or "\x00" in bare or len(bare) > 4000:
        return None
    if bare.startswith("file://"):
        return Path(unquote(urlparse(bare).path))
    named = Path(bare if quoted else re.sub(r"\\(.)", r"\1", bare))
    one_word = quoted is not None or not re.search(r"(?<!\\)\s", bare)
    try:
        path = named.expanduser()
        return path if one_word or path.is_file() else None
    except (OSError, ValueError, RuntimeError):  # too long for a name, half a character, ~ of nobody
        return named if one_word else None
