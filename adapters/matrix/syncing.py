"""The loop that takes what the homeserver has: ask, have everything kept, note how far we are, and ask again.

It ends only when it is stopped, or when the session is no longer accepted, and then it says so. Everything else (no
connection, a server that starts anew, an answer that never comes, too many requests, a full disk) is waited out; the
health page shows since when.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Awaitable, Callable, Coroutine
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final, TypeVar

from nio import AsyncClient, SyncResponse

from adapters.matrix.devices import Devices
from adapters.matrix.homeserver import (
    PATIENCE,
    KeysOutOfStepError,
    LimitedError,
    RefusedError,
    SignedOutError,
    UnreachableError,
    ask,
)
from adapters.matrix.line import Line
from adapters.matrix.position import Position
from adapters.shared.adapter import AdapterStoppedError
from adapters.shared.sending import Patience
from adapters.shared.stopping import pause, unless_stopped
from bot.store.errors import StoreError

log = logging.getLogger(__name__)

T = TypeVar("T")
LATEST: Final = 50
"""Events of a room that one sync holds; what is before them is fetched from its history."""
FILTER: Final = {"presence": {"not_types": ["*"]}, "account_data": {"not_types": ["*"]},
                 "room": {"timeline": {"limit": LATEST}, "ephemeral": {"not_types": ["*"]},
                          "account_data": {"not_types": ["*"]}}}
FIRST_SYNC: Final = 120.0
"""Seconds for a sync that brings the state of all rooms."""


@dataclass(frozen=True, slots=True)
class Pace:
    """How long things may take, in seconds. `poll`: how long the server holds a sync in which nothing happens;
    `slack`: how much longer we wait for the answer before we count the connection as dead; `request`: any other one;
    `key`: how far behind its message a key may be before the sender is told.
    """

    poll: float = 30.0
    slack: float = 15.0
    request: float = PATIENCE
    key: float = 8.0
    first_wait: float = 0.5
    longest_wait: float = 15.0


class Syncing:
    """The loop. `keep(response, since)` has everything in a response kept.

    It may raise as `ask` does, and StoreError.
    """

    def __init__(self, line: Line, position: Position, devices: Devices, keep: Callable[[SyncResponse, str | None],
                 Awaitable[None]], clock: Callable[[], datetime], pace: Pace) -> None:
        self.last: datetime | None = None
        """When a sync last succeeded."""
        self.problem = ""
        self._line = line
        self._position = position
        self._devices = devices
        self._keep = keep
        self._clock = clock
        self._pace = pace
        self._patience = Patience(pace.first_wait, pace.longest_wait)
        self._stopping = asyncio.Event()

    def stop(self) -> None:
        """Take no more."""
        self._stopping.set()

    @property
    def stopping(self) -> bool:
        """Whether `stop` was called."""
        return self._stopping.is_set()

    async def run(self) -> None:
        """Until `stop`. Raises SignedOutError or KeysOutOfStepError."""
        while not self.stopping:
            await self.tried(self._round)

    async def tried(self, once: Callable[[], Coroutine[Any, Any, T]]) -> T | None:
        """Do it; on a failure note why and wait. Returns at once if we are stopped meanwhile.

        Raises SignedOutError and KeysOutOfStepError, for which waiting is no help, and what the adapter stops for.
        """
        try:
            done = await unless_stopped(self._stopping, once())
        except (SignedOutError, KeysOutOfStepError, AdapterStoppedError):
            raise
        except LimitedError as error:
            await self._failed(error, error.seconds)
        except (UnreachableError, RefusedError, StoreError) as error:
            await self._failed(error, self._patience.failed())
        except Exception as error:
            log.exception("the sync failed, trying again")
            await self._failed(error, self._patience.failed())
        else:
            self.problem = ""
            self._patience.succeeded()
            return done
        return None

    async def _round(self) -> None:
        """One sync: kept, noted, and whatever else it makes necessary."""
        client, since = self._line.client, self._position.at
        response = await self._poll(client, since, first=not self._line.ready)
        await self._kept(response, since)
        await asyncio.to_thread(self._position.reached, response.next_batch)
        self._line.ready = True
        self.last = self._clock()
        await self._housekeeping(client)

    async def _poll(self, client: AsyncClient, since: str | None, *, first: bool) -> SyncResponse:
        """Of rooms without news the client knows nothing after a start: the first sync brings the state of all."""
        client.next_batch = since or ""  # it skips an answer that it believes to have had
        if first:
            return await ask(client.sync(timeout=0, sync_filter=FILTER, since=since, full_state=True), FIRST_SYNC)
        poll = self._pace.poll
        return await ask(client.sync(timeout=int(poll * 1000), sync_filter=FILTER, since=since),
                         poll + self._pace.slack)

    async def _kept(self, response: SyncResponse, since: str | None) -> None:
        """The client has decrypted this answer once: so it is this one that is kept, however often that is tried."""
        while True:
            try:
                await self._keep(response, since)
                return
            except LimitedError as error:
                await self._failed(error, error.seconds)
            except (UnreachableError, RefusedError, StoreError) as error:
                await self._failed(error, self._patience.failed())

    async def _housekeeping(self, client: AsyncClient) -> None:
        """Keys of our own, devices of others, messages from device to device."""
        if client.should_upload_keys:
            await self.upload_keys(client)
        if client.should_query_keys:
            await self._devices.query(client)
        if client.should_claim_keys:
            await ask(client.keys_claim(client.get_users_for_key_claiming()))
        await self._to_devices(client)

    @staticmethod
    async def upload_keys(client: AsyncClient) -> None:
        """Publish keys of our own. Raises KeysOutOfStepError if the server has others under their names."""
        try:
            await ask(client.keys_upload())
        except RefusedError as error:
            if "already exists" in str(error):
                raise KeysOutOfStepError(str(error)) from error
            raise

    @staticmethod
    async def _to_devices(client: AsyncClient) -> None:
        for message in list(client.outgoing_to_device_messages):
            await ask(client.to_device(message))

    async def _failed(self, error: Exception, wait: float) -> None:
        if not self.problem:
            log.warning("the sync waits: %s", error)
        self.problem = str(error) or type(error).__name__
        await pause(self._stopping, wait)
