"""Sending into a room: everybody who is to read along has the key first, then the message goes out under our own id.

matrix-nio counts a key as handed out even where that failed (the server was away just then): the message would be
there and nobody could read it. So the handing out is done here, and looked over before anything is sent with it.
"""

from __future__ import annotations

import asyncio
import logging
from collections import defaultdict
from collections.abc import Mapping
from typing import Any

from nio import AsyncClient, MatrixRoom, ToDeviceMessage

from adapters.matrix.devices import Devices
from adapters.matrix.homeserver import UnreachableError, ask

log = logging.getLogger(__name__)


class Sender:
    """Sends events, one after the other in each room."""

    def __init__(self, client: AsyncClient, devices: Devices) -> None:
        self._client = client
        self._devices = devices
        self._locks: defaultdict[str, asyncio.Lock] = defaultdict(asyncio.Lock)

    async def send(self, room: MatrixRoom, kind: str, content: Mapping[str, Any], key: str) -> str:
        """The event's id. The same key sends once, however often it is tried. Raises as `ask` does; StoreError."""
        async with self._locks[room.room_id]:
            if room.encrypted and kind != "m.reaction":
                await self._hand_out_key(room)
            answer = await ask(self._client.room_send(room.room_id, kind, dict(content), tx_id=key,
                                                      ignore_unverified_devices=True))
        return str(answer.event_id)

    async def _hand_out_key(self, room: MatrixRoom) -> None:
        client, olm = self._client, self._client.olm
        if not room.members_synced:
            await ask(client.joined_members(room.room_id))
        if client.should_query_keys:
            await self._devices.query(client)
        self._devices.apply(client, room)
        if not olm.should_share_group_session(room.room_id):
            return
        missing = client.get_missing_sessions(room.room_id)
        if missing:
            await ask(client.keys_claim(missing))
        await ask(client.share_group_session(room.room_id, ignore_unverified_devices=True))
        left_out = self._left_out(room)
        if left_out:
            olm.outbound_group_sessions[room.room_id].shared = False
            raise UnreachableError(f"the key of a room did not reach {left_out} devices")
        await self._tell_shut_out(room)

    def _left_out(self, room: MatrixRoom) -> int:
        """Devices that could have got the key and did not. One that offers no key of its own cannot get it."""
        client, session = self._client, self._client.olm.outbound_group_sessions[room.room_id]
        left_out = 0
        for user in room.users:
            for device in client.device_store.active_user_devices(user):
                reached = (user, device.id) in session.users_shared_with or (user, device.id) in session.users_ignored
                if reached or device.blacklisted or device.id == client.device_id:
                    continue
                if client.olm.session_store.get(device.curve25519) is None:
                    log.warning("device %s offers no keys: it cannot read along", device.id)
                    continue
                left_out += 1
        return left_out

    async def _tell_shut_out(self, room: MatrixRoom) -> None:
        """Devices that get no key by our policy learn why, so that their owner sees more than a locked message."""
        client, olm = self._client, self._client.olm
        shut_out = [device for user in room.users for device in client.device_store.active_user_devices(user)
                    if device.blacklisted]
        content = {"algorithm": "m.megolm.v1.aes-sha2", "room_id": room.room_id, "code": "m.unverified",
                   "session_id": olm.outbound_group_sessions[room.room_id].id, "reason": "This device is not verified.",
                   "sender_key": olm.account.identity_keys["curve25519"]}
        for device in shut_out:
            await ask(client.to_device(ToDeviceMessage("m.room_key.withheld", device.user_id, device.id, content)))
