"""A phone of someone of the crew: matrix-nio, which the bot uses too (see `matrix_js` for one that it does not)."""

from __future__ import annotations

import asyncio
import io
from contextlib import suppress
from pathlib import Path
from typing import Any

from nio import AsyncClient, AsyncClientConfig, Event, MatrixRoom, MegolmEvent, ReceiptEvent, TypingNoticeEvent
from nio.crypto.attachments import decrypt_attachment

from tests.peers.phone import Heard, Phone


class NioPhone(Phone):
    """matrix-nio. `folder`: for its keys."""

    def __init__(self, folder: Path) -> None:
        super().__init__()
        self._folder = folder
        self.client: AsyncClient | None = None
        self._syncing: asyncio.Task[None] | None = None

    async def start(self, base: str, user: str, password: str) -> None:
        """Log in as a new device, and sync."""
        config = AsyncClientConfig(encryption_enabled=True, store_sync_tokens=False, pickle_key="phone",
                                   max_timeout_retry_wait_time=0.5, request_timeout=10)
        self._folder.mkdir(exist_ok=True)
        client = self.client = AsyncClient(base, user, store_path=str(self._folder), config=config)
        answer = await client.login(password)
        self.user, self.device = answer.user_id, answer.device_id
        self.fingerprint = client.olm.account.identity_keys["ed25519"]
        client.add_event_callback(self._event, Event)
        client.add_ephemeral_callback(self._ephemeral, (TypingNoticeEvent, ReceiptEvent))
        self._syncing = asyncio.create_task(client.sync_forever(timeout=5000, full_state=True))
        await client.synced.wait()

    async def close(self) -> None:
        """Switch it off."""
        if self._syncing is not None:
            self._syncing.cancel()
            with suppress(asyncio.CancelledError):
                await self._syncing
        if self.client is not None:
            await self.client.close()

    async def open(self, user: str, *, encrypted: bool = True) -> str:
        """A direct chat."""
        state = [{"type": "m.room.encryption", "state_key": "", "content": {"algorithm": "m.megolm.v1.aes-sha2"}}]
        made = await self._client.room_create(is_direct=True, invite=[user], initial_state=state if encrypted else [])
        async with asyncio.timeout(10):
            while made.room_id not in self._client.rooms:
                await self._client.synced.wait()
        return str(made.room_id)

    async def send(self, room: str, content: dict[str, Any]) -> str:
        """A message."""
        answer = await self._client.room_send(room, "m.room.message", content, ignore_unverified_devices=True)
        return str(answer.event_id)

    async def react(self, room: str, target: str, key: str) -> str:
        """A reaction."""
        content = {"m.relates_to": {"rel_type": "m.annotation", "event_id": target, "key": key}}
        answer = await self._client.room_send(room, "m.reaction", content, ignore_unverified_devices=True)
        return str(answer.event_id)

    async def redact(self, room: str, target: str) -> None:
        """Take a message back."""
        await self._client.room_redact(room, target)

    async def photo(self, room: str, content: bytes, mime: str, caption: str = "", *, tampered: bool = False,
                    kind: str = "m.image") -> str:
        """An encrypted photo."""
        up, keys = await self._client.upload(io.BytesIO(content), content_type=mime, encrypt=True,
                                             filesize=len(content))
        if tampered:
            keys["hashes"]["sha256"] = "A" * 43
        words = {"body": caption, "filename": "washer.jpg"} if caption else {"body": "washer.jpg"}
        return await self.send(room, {"msgtype": kind, **words, "info": {"mimetype": mime, "size": len(content)},
                                      "file": {"url": up.content_uri, **keys, "mimetype": mime}})

    async def fetch(self, content: dict[str, Any]) -> bytes:
        """The photo of a message, decrypted."""
        file = content["file"]
        answer = await self._client.download(mxc=file["url"])
        return bytes(decrypt_attachment(answer.body, file["key"]["k"], file["hashes"]["sha256"], file["iv"]))

    async def leave(self, room: str) -> None:
        """Leave a room."""
        await self._client.room_leave(room)

    async def membership(self, room: str, user: str) -> str | None:
        """How someone stands to a room."""
        found = self._client.rooms[room].users.get(user)
        return None if found is None else "invite" if found.invited else "join"

    @property
    def _client(self) -> AsyncClient:
        assert self.client is not None
        return self.client

    async def _event(self, room: MatrixRoom, event: Event) -> None:
        if event.sender != self.user:
            source = event.source
            self.hear(Heard(room.room_id, event.event_id, event.sender, source["type"], source["content"],
                            encrypted=event.decrypted, failed=isinstance(event, MegolmEvent)))

    async def _ephemeral(self, room: MatrixRoom, event: Any) -> None:
        if isinstance(event, TypingNoticeEvent):
            self.typed.update(event.users)
        else:
            self.read.update(receipt.event_id for receipt in event.receipts)
