"""Messages that cannot be decrypted (yet): the key is asked for, the sender is told, and when it comes they are heard.

They are kept encrypted in the data folder until then, so that a restart in between loses none.
"""

from __future__ import annotations

import asyncio
import json
import logging
from collections.abc import Callable, Iterable, Mapping
from dataclasses import asdict, dataclass, replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, Final

from nio import AsyncClient, EncryptionError, MegolmEvent

from adapters.matrix.session import write_private

log = logging.getLogger(__name__)

FILE: Final = "unread.json"
KEPT: Final = timedelta(days=14)


@dataclass(frozen=True, slots=True)
class Waiting:
    """A message whose key is missing."""

    room: str
    source: Mapping[str, Any]
    since: str
    told: bool = False

    @property
    def id(self) -> str:
        """Its event id."""
        return str(self.source["event_id"])

    @property
    def session(self) -> str:
        """The key that is missing."""
        return str(self.source["content"].get("session_id", ""))


class Unread:
    """What waits for keys, of one account."""

    def __init__(self, folder: Path, clock: Callable[[], datetime], grace: float) -> None:
        self._file = folder / FILE
        self._clock = clock
        self._grace = timedelta(seconds=grace)
        self._waiting: dict[str, Waiting] = {}

    def __len__(self) -> int:
        return len(self._waiting)

    def load(self) -> None:
        """Read what waited when the process ended."""
        try:
            kept = [Waiting(**each) for each in json.loads(self._file.read_text(encoding="utf-8"))]
        except FileNotFoundError:
            return
        except (OSError, ValueError, TypeError) as error:
            log.error("%s cannot be read (%s): messages in it have to be sent again", self._file, type(error).__name__)
            return
        oldest = self._clock() - KEPT
        self._waiting = {each.id: each for each in kept if datetime.fromisoformat(each.since) > oldest}

    async def keep(self, client: AsyncClient, room: str, events: Iterable[MegolmEvent]) -> None:
        """Keep these, and ask the devices that sent them for the keys. On disk when this returns."""
        new = [event for event in events if event.event_id not in self._waiting]
        for event in new:
            self._waiting[event.event_id] = Waiting(room, event.source, self._clock().isoformat())
            _ask_for_key(client, room, event)
        if new:
            await self._write()

    def readable(self, client: AsyncClient) -> list[tuple[Waiting, Any]]:
        """Those whose key is there now, with the event. They stay kept until `done`."""
        found = []
        for waiting in self._waiting.values():
            event = _megolm(waiting)
            try:
                found.append((waiting, client.decrypt_event(event)))
            except EncryptionError:
                continue
        return found

    async def done(self, waiting: Iterable[Waiting]) -> None:
        """These were heard, or are not wanted any more."""
        for each in waiting:
            self._waiting.pop(each.id, None)
        await self._write()

    def overdue(self) -> list[Waiting]:
        """Those whose senders have to be told by now."""
        before = self._clock() - self._grace
        return [each for each in self._waiting.values()
                if not each.told and datetime.fromisoformat(each.since) <= before]

    async def told(self, waiting: Waiting) -> None:
        """The sender knows."""
        if waiting.id in self._waiting:
            self._waiting[waiting.id] = replace(waiting, told=True)
            await self._write()

    async def _write(self) -> None:
        text = json.dumps([asdict(each) for each in self._waiting.values()])
        await asyncio.to_thread(write_private, self._file, text)


def _ask_for_key(client: AsyncClient, room: str, event: MegolmEvent) -> None:
    """Queue the question; it goes out with the next round of the sync."""
    event.room_id = room
    asked = {getattr(message, "request_id", None) for message in client.outgoing_to_device_messages}
    if event.session_id in client.outgoing_key_requests or event.session_id in asked:
        return
    request = event.as_key_request(event.sender, client.device_id, event.session_id, event.device_id)
    client.outgoing_to_device_messages.append(request)


def _megolm(waiting: Waiting) -> MegolmEvent:
    event = MegolmEvent.from_dict(dict(waiting.source))
    event.room_id = waiting.room
    return event
