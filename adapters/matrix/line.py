"""What is there once we are signed in: the client, the way to send, and the small signs beside a talk."""

from __future__ import annotations

import logging
from collections.abc import Callable
from typing import Final

from nio import AsyncClient, MatrixRoom

from adapters.matrix import rendering
from adapters.matrix.devices import Devices
from adapters.matrix.encrypting import Sender
from adapters.matrix.homeserver import MatrixError, ask
from bot.conversation.ids import derive
from bot.conversation.markup import Span

log = logging.getLogger(__name__)

TYPING_MS: Final = 6000


class Line:
    """One account's line to its homeserver. `ready` once the first sync told who is in which room."""

    def __init__(self) -> None:
        self.ready = False
        self._client: AsyncClient | None = None
        self._sender: Sender | None = None
        self._typing: set[str] = set()

    def connected(self, client: AsyncClient, devices: Devices) -> None:
        """We are signed in."""
        self._client = client
        self._sender = Sender(client, devices)

    @property
    def connected_once(self) -> bool:
        """Whether there is a client."""
        return self._client is not None

    @property
    def client(self) -> AsyncClient:
        """The client. Only once signed in."""
        assert self._client is not None
        return self._client

    @property
    def sender(self) -> Sender:
        """The way to send. Only once signed in."""
        assert self._sender is not None
        return self._sender

    async def say(self, room: str, words: str, key: str) -> None:
        """A line of the adapter's own. It is no part of a talk: when it cannot be sent, that is logged."""
        found = self.client.rooms.get(room)
        if found is None:
            log.warning("a message is meant for a room that we are not in")
            return
        try:
            await self.sender.send(found, "m.room.message", rendering.message(((Span(words),),), ()),
                                   derive("matrix", room, key))
        except MatrixError as error:
            log.warning("a message could not be sent: %s", error)

    async def typing(self, room: str) -> None:
        """Show for a moment that we are at it."""
        if room in self.client.rooms:
            self._typing.add(room)
            await self._sign(lambda: self.client.room_typing(room, typing_state=True, timeout=TYPING_MS))

    async def quiet(self, room: MatrixRoom) -> None:
        """The answer is there."""
        if room.room_id in self._typing:
            self._typing.discard(room.room_id)
            await self._sign(lambda: self.client.room_typing(room.room_id, typing_state=False))

    async def read(self, room: str, event: str) -> None:
        """Show that everything up to this event was kept."""
        if self.ready and room in self.client.rooms:
            await self._sign(lambda: self.client.room_read_markers(room, event, event))

    async def _sign(self, request: Callable[[], object]) -> None:
        try:
            await ask(request(), seconds=5.0)  # type: ignore[arg-type]
        except MatrixError as error:
            log.info("a sign could not be shown: %s", error)
