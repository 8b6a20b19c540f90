"""Whose devices may read along, and whose words count.

crew      (the default) every device of the people of the crew. One that was never seen before goes into the audit log.
verified  only devices whose fingerprint stands in the settings. Others get no keys and are not listened to.
"""

from __future__ import annotations

import asyncio
import json
import logging
from collections.abc import Callable, Mapping
from datetime import datetime
from pathlib import Path
from typing import Any, Final

from nio import AsyncClient, MatrixRoom

from adapters.matrix.homeserver import ask
from adapters.matrix.session import write_private
from bot.conversation.effects import Audit
from bot.store.protocol import People

log = logging.getLogger(__name__)

FILE: Final = "devices.json"
NEW_DEVICE: Final = "device_seen"


class Devices:
    """The policy, and which devices were seen. `fingerprints`: those that are verified, spaces do not matter."""

    def __init__(self, store: People, folder: Path, account: str, clock: Callable[[], datetime], *,
                 verified_only: bool = False, fingerprints: tuple[str, ...] = ()) -> None:
        self.verified_only = verified_only
        self._store = store
        self._file = folder / FILE
        self._account = account
        self._clock = clock
        self._verified = frozenset(_bare(each) for each in fingerprints)
        self._seen: set[str] | None = None

    async def note(self, changed: Mapping[str, Mapping[str, Any]]) -> None:
        """Put first-seen devices of the crew into the audit log. Raises StoreError."""
        persons = {user: member.person.id for member in await asyncio.to_thread(self._store.members)
                   for platform, account, user in member.identities if (platform, account) == ("matrix", self._account)}
        if self._seen is None:
            self._seen = await asyncio.to_thread(self._load)
        new = [(persons[user], device) for user, devices in changed.items() if user in persons
               for device in devices.values() if not device.deleted and device.ed25519 not in self._seen]
        for person, device in new:
            data = {"device": device.id, "fingerprint": device.ed25519, "verified": self.trusts(device)}
            await asyncio.to_thread(self._store.note_act, Audit(what=NEW_DEVICE, data=data), person, self._clock())
            self._seen.add(device.ed25519)
        if new:
            await asyncio.to_thread(write_private, self._file, json.dumps(sorted(self._seen)))

    def apply(self, client: AsyncClient, room: MatrixRoom) -> None:
        """Before keys are shared: with `verified`, leave out every device that is not."""
        for user in room.users:
            for device in client.device_store.active_user_devices(user):
                shut_out = self.verified_only and device.id != client.device_id and not self.trusts(device)
                if shut_out and not device.blacklisted:
                    client.blacklist_device(device)
                elif device.blacklisted and not shut_out:
                    client.unblacklist_device(device)

    async def may_speak(self, client: AsyncClient, sender: str, sender_key: str | None) -> bool:
        """Whether a message that came under that key counts. Raises as `ask` does."""
        if not self.verified_only:
            return True
        if sender_key is None:  # not encrypted at all
            return False
        device = client.device_store.device_from_sender_key(sender, sender_key)
        if device is None and client.should_query_keys:
            await self.query(client)
            device = client.device_store.device_from_sender_key(sender, sender_key)
        return device is not None and self.trusts(device)

    async def query(self, client: AsyncClient) -> None:
        """Ask for the devices of people whose devices changed, and note new ones. Raises as `ask` does; StoreError."""
        answer = await ask(client.keys_query())
        await self.note(answer.changed)

    def trusts(self, device: Any) -> bool:
        """Whether the device's fingerprint stands in the settings."""
        return _bare(device.ed25519) in self._verified

    def _load(self) -> set[str]:
        try:
            return set(json.loads(self._file.read_text(encoding="utf-8")))
        except FileNotFoundError:
            return set()
        except (OSError, ValueError, TypeError) as error:
            log.warning("%s cannot be read (%s): every device counts as new", self._file, type(error).__name__)
            return set()


def _bare(fingerprint: str) -> str:
    return "".join(fingerprint.split())
