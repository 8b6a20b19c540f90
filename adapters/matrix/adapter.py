"""The adapter: signs in, takes what the homeserver has, hands it to the service, delivers what comes back."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from typing import Any, Final

from nio import ForwardedRoomKeyEvent, MegolmEvent, RoomKeyEvent, SyncResponse

from adapters.matrix import files, gaps
from adapters.matrix.delivery import PLATFORM, MatrixDelivery
from adapters.matrix.devices import Devices
from adapters.matrix.homeserver import KeysOutOfStepError, RefusedError, SignedOutError, ask
from adapters.matrix.line import Line
from adapters.matrix.position import Position
from adapters.matrix.reading import Reader, arrival
from adapters.matrix.relations import Content
from adapters.matrix.rooms import Rooms
from adapters.matrix.session import keys_out_of_step, sign_in, signed_out
from adapters.matrix.syncing import Pace, Syncing
from adapters.matrix.unread import Unread, Waiting
from adapters.shared.adapter import AdapterHealth, AdapterStoppedError
from adapters.shared.arrivals import Arrivals
from adapters.shared.linking import Door, Knock
from adapters.shared.photos import Fetcher
from adapters.shared.presence import Presence
from adapters.shared.words import word
from bot.conversation.events import PhotoSeen
from bot.service.clock import utc_now
from bot.service.config import MatrixConfig
from bot.service.photos import take_photo, take_recording
from bot.service.service import Service
from bot.store.rows import Met

log = logging.getLogger(__name__)

FOLDER: Final = "matrix"
"""Of the data folder."""
QUIET_FOR: Final = 3.0
"""Long polls without a successful sync after which we count as not alive."""
LOOK_AGAIN: Final = 1.0
"""Seconds between looks at messages whose keys are late."""
PEOPLE_TALK: Final = {"m.room.message", "m.room.redaction", "m.reaction", "m.sticker"}


class MatrixAdapter:
    """One account on one homeserver."""

    name = PLATFORM

    def __init__(self, settings: MatrixConfig, service: Service, *, timezone: str = "UTC",
                 environment: Mapping[str, str] | None = None, clock: Callable[[], datetime] = utc_now,
                 pace: Pace | None = None) -> None:
        self._service = service
        self._settings = settings
        self._folder = service.store.folder / FOLDER
        self._environment = environment
        self._clock = clock
        self._pace = pace or Pace()
        me, store = settings.user, service.store
        self._line = Line()
        self.delivery = MatrixDelivery(self._line, me, store)
        self._devices = Devices(store, self._folder, me, clock, verified_only=settings.devices == "verified",
                                fingerprints=settings.verified_devices)
        self._door = Door(service, PLATFORM, me, clock, timezone)
        self._rooms = Rooms(self._line, store, me, clock, settings.seniors_room)
        self._fetcher = Fetcher(store, clock)
        room = settings.seniors_room
        self._reader = Reader(service, self._door, self, me,
                              {room: service.open_room(PLATFORM, me, room)} if room is not None else {})
        self._arrivals = Arrivals(store, PLATFORM, me, self._reader, clock)
        service.invite_by(PLATFORM, f"https://matrix.to/#/{me}")
        self._unread = Unread(self._folder, clock, self._pace.key)
        self._presence = Presence(self._busy, self._line.typing)
        self._position = Position(self._folder)
        self._syncing = Syncing(self._line, self._position, self._devices, self._keep, clock, self._pace)
        self._fresh = False
        self._signs: set[asyncio.Task[None]] = set()

    # -- for `chargehand serve` --------------------------------------------------------------------------------------

    async def run(self) -> None:
        """Take what the homeserver sends until `stop`. Raises AdapterStoppedError."""
        late = asyncio.create_task(self._tell_of_missing_keys())
        try:
            while not self._syncing.stopping and not await self._syncing.tried(self._sign_in):
                pass
            await self._syncing.run()
        except SignedOutError as error:
            raise AdapterStoppedError(f"[matrix]: {signed_out(self._folder, self._settings, error)}") from error
        except KeysOutOfStepError as error:
            raise AdapterStoppedError(f"[matrix]: {keys_out_of_step(self._folder)}") from error
        finally:
            late.cancel()
            await asyncio.gather(late, return_exceptions=True)

    def stop(self) -> None:
        """Take no more; `run` returns soon. Messages can still be delivered."""
        self._syncing.stop()

    async def close(self) -> None:
        """Let go of the network."""
        await self._arrivals.close()
        await self._presence.close()
        await self._rooms.close()
        await asyncio.gather(*self._signs, return_exceptions=True)
        if self._line.connected_once:
            await self._line.client.close()

    def health(self) -> AdapterHealth:
        """Alive: a sync succeeded not long ago."""
        last, now = self._syncing.last, self._clock()
        age = (now - last).total_seconds() if last is not None else None
        waiting, oldest = self._arrivals.backlog()
        return AdapterHealth(age is not None and age < QUIET_FOR * (self._pace.poll + self._pace.slack), {
            "last_sync": last.isoformat(timespec="seconds") if last is not None else None,
            "seconds_since_sync": round(age, 1) if age is not None else None,
            "problem": self._syncing.problem or None, "last_delivery_error": self.delivery.last_error or None,
            "arrivals_waiting": waiting, "oldest_arrival_seconds": round(oldest, 1),
            "arrivals_put_aside": self._arrivals.failed, "waiting_for_keys": len(self._unread),
            "unencrypted_chats": len(self._rooms.unencrypted)})

    # -- signing in --------------------------------------------------------------------------------------------------

    async def _sign_in(self) -> bool:
        client = await sign_in(self._settings, self._folder, self._environment, patience=self._pace.request)
        self._position.load()
        self._unread.load()
        self._fresh = self._position.at is None and not client.olm.account.shared
        self._line.connected(client, self._devices)
        if client.should_upload_keys:  # before anybody can be answered: who writes now must find them
            await self._syncing.upload_keys(client)
        await self._arrivals.resume()
        return True

    # -- what a sync brings ------------------------------------------------------------------------------------------

    async def _keep(self, response: SyncResponse, since: str | None) -> None:
        """Have everything kept. May be done again with the same response: what is kept already stays as it is."""
        rooms, client = response.rooms, self._line.client
        for room, info in rooms.invite.items():
            await self._rooms.invited(room, info)
        await self._rooms.gone(rooms.leave)
        if self._line.ready or not self._fresh:  # what was said before our first sync was not said to this device
            found = await asyncio.gather(*(self._events(room, info.timeline, since) for room, info
                                           in rooms.join.items()))
            await self._take([each for events in found for each in events])
        if not self._line.ready or any(isinstance(event, RoomKeyEvent | ForwardedRoomKeyEvent)
                                       for event in response.to_device_events):
            await self._read_late()
        await self._rooms.settle(client.rooms if not self._line.ready else rooms.join)

    async def _events(self, room: str, timeline: Any, since: str | None) -> list[tuple[str, Any]]:
        """The room's events, those that the server left out included; not those from before we were invited."""
        events = list(timeline.events)
        at = next((number for number, event in enumerate(events) if _invites(event, self._settings.user)), None)
        if at is not None:
            events = events[at:]
        elif timeline.limited and since is not None and timeline.prev_batch:
            events = [*await gaps.missed(self._line.client, room, since, timeline.prev_batch), *events]
        return [(room, event) for event in events]

    async def _take(self, events: Sequence[tuple[str, Any]]) -> None:
        """Keep what people said; what cannot be decrypted waits for its key."""
        locked: dict[str, list[MegolmEvent]] = {}
        taken = []
        for room, event in events:
            if isinstance(event, MegolmEvent):
                if event.sender != self._settings.user:
                    locked.setdefault(room, []).append(event)
            elif await self._counts(room, event):
                taken.append(arrival(room, event.source))
        for room, those in locked.items():
            await self._unread.keep(self._line.client, room, those)
        await self._arrivals.take(taken)

    async def _counts(self, room: str, event: Any) -> bool:
        """Whether it is something that someone else said, from a device that may speak."""
        source = event.source
        if source.get("sender") == self._settings.user or source.get("type") not in PEOPLE_TALK:
            return False
        if source["type"] in {"m.room.redaction", "m.reaction"}:  # always in clear
            return True
        if await self._devices.may_speak(self._line.client, source["sender"], getattr(event, "sender_key", None)):
            return True
        await self._line.say(room, word("unverified"), f"{source['event_id']} unverified")
        return False

    # -- keys that come late -----------------------------------------------------------------------------------------

    async def _read_late(self) -> None:
        """Some keys came: hear what waited for them."""
        readable = self._unread.readable(self._line.client)
        await self._take([(waiting.room, event) for waiting, event in readable])
        if readable:
            await self._unread.done([waiting for waiting, _ in readable])

    async def _tell_of_missing_keys(self) -> None:
        while True:
            await asyncio.sleep(LOOK_AGAIN)
            if self._line.ready:
                for waiting in self._unread.overdue():
                    await self._tell(waiting)

    async def _tell(self, waiting: Waiting) -> None:
        """The sender learns that we could not read it, if it was meant for us and they may have something to say."""
        try:
            known = await self._door.who(str(waiting.source["sender"]), waiting.room)
        except Exception as error:
            log.warning("a sender could not be told of a missing key: %s", error)
            return
        if not self.shared(waiting.room) and (known is not None or await self._rooms.codes_wait()):
            await self._line.say(waiting.room, word("no_key"), f"{waiting.id} no key")
        await self._unread.told(waiting)

    # -- what reading needs (see `reading.Place`) --------------------------------------------------------------------

    def shared(self, room: str) -> bool:
        """Whether more than two are in that room."""
        return self._rooms.shared(room)

    async def ours(self, room: str, event: str) -> bool:
        """Whether we sent that event."""
        try:
            answer = await ask(self._line.client.room_get_event(room, event))
        except RefusedError:
            return False
        return bool(answer.event.sender == self._settings.user)

    async def file(self, content: Content, *, photo: bool) -> PhotoSeen:
        """Fetch and keep a photo, or a recording."""
        return await files.fetched(self._line.client, self._fetcher, content, take_photo if photo else take_recording)

    async def answer_stranger(self, room: str, key: str, knock: Knock) -> None:
        """Say to a stranger what came of their message."""
        await self._rooms.answer_stranger(room, key, knock)

    async def write_directly(self, room: str, key: str) -> None:
        """Say in a room that the talk is in a chat of two."""
        await self._line.say(room, word("two_only"), f"{key} two_only")

    async def taken(self, room: str, met: Met, event: str) -> None:
        """Show that an event was kept and, if it takes a while, that we are at it."""
        task = asyncio.create_task(self._line.read(room, event))
        self._signs.add(task)
        task.add_done_callback(self._signs.discard)
        self._presence.began(room, met.conversation)

    async def _busy(self, room: str, conversation: str) -> bool:
        return self._arrivals.waiting(room) or await asyncio.to_thread(self._service.store.at_work, conversation)


def _invites(event: Any, user: str) -> bool:
    source = event.source
    return bool(source.get("type") == "m.room.member" and source.get("state_key") == user
                and (source.get("content") or {}).get("membership") == "invite")
