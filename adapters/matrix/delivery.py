"""The way out: rows of the outbox as messages in rooms, and the closing of questions that were answered.

The homeserver drops repeats by our key (a transaction id that follows from the row), so every message is there once,
whatever crashes in between.
"""

from __future__ import annotations

import asyncio
import io
import logging
from typing import Any, Final

from nio import MatrixRoom

from adapters.matrix import rendering
from adapters.matrix.homeserver import LimitedError, MatrixError, RefusedError, SignedOutError, UnreachableError, ask
from adapters.matrix.line import Line
from adapters.shared.sending import Patience
from bot.service.delivery import Delivered, Later, Never
from bot.store.protocol import Archive
from bot.store.rows import Outgoing, Outlet

log = logging.getLogger(__name__)

PLATFORM: Final = "matrix"
ROOMS_AT_ONCE: Final = 4
LONGEST: Final = 50.0
"""Seconds for one row, below the time that the outbox leaves it to us."""
NOT_YET: Final = 0.5
KINDS: Final = {"image", "audio", "video"}
_HOPELESS: Final = {"M_FORBIDDEN", "M_TOO_LARGE", "M_NOT_FOUND", "M_BAD_JSON", "M_NOT_JSON", "M_INVALID_PARAM",
                    "M_CONSENT_NOT_GIVEN"}
"""Refusals that will be the same next time."""


class MatrixDelivery:
    """Delivers the rows of one account. Nothing goes out before the first sync: who is in a room is not known yet."""

    def __init__(self, line: Line, account: str, archive: Archive) -> None:
        self.outlet = Outlet(PLATFORM, account)
        self.parallel = ROOMS_AT_ONCE
        self.last_error = ""
        self._line = line
        self._archive = archive
        self._patience = Patience()

    async def deliver(self, out: Outgoing) -> Delivered | Later | Never:
        """Send a message, or change one."""
        if not self._line.ready:
            return Later(NOT_YET)
        room = self._line.client.rooms.get(out.address)
        if room is None:
            return Never("the person left the room, or we did")
        try:
            async with asyncio.timeout(LONGEST):
                ids = await (self._send(out, room) if out.kind == "send" else self._alter(out, room))
        except TimeoutError:
            return self._patience.later()
        except MatrixError as error:
            self.last_error = str(error)
            return self._judged(error)
        self._patience.succeeded()
        return Delivered(ids)

    async def _send(self, out: Outgoing, room: MatrixRoom) -> tuple[str, ...]:
        """The photos, then the words: what is asked stands last."""
        reply = out.reply_to[0] if out.reply_to else None
        ids = [sent for number, photo in enumerate(out.photos)
               if (sent := await self._photo(room, photo, f"{out.key}-{number}")) is not None]
        if out.paragraphs or out.choices:
            content = rendering.message(out.paragraphs, out.choices, reply_to=reply)
            ids.insert(0, await self._line.sender.send(room, "m.room.message", content, out.key))
            await self._line.quiet(room)
        return tuple(ids)

    async def _alter(self, out: Outgoing, room: MatrixRoom) -> tuple[str, ...]:
        if out.sent_as:
            await self._line.sender.send(room, "m.room.message", rendering.closed(out), out.key)
        return ()

    async def _photo(self, room: MatrixRoom, photo: str, key: str) -> str | None:
        """A photo or recording of the store, encrypted where the room is."""
        seen, file = self._archive.photo(photo), self._archive.photo_file(photo)
        try:
            content = await asyncio.to_thread(file.read_bytes)
        except OSError as error:
            log.warning("a photo is no longer there: %s", type(error).__name__)
            return None
        if seen is None:
            return None
        name = f"{'photo' if seen.width else 'recording'}.{seen.mime.rpartition('/')[2]}"
        up, keys = await self._upload(content, seen.mime, name, encrypt=room.encrypted)
        kind = seen.mime.partition("/")[0]
        info: dict[str, Any] = {"mimetype": seen.mime, "size": len(content)}
        if seen.width:
            info |= {"w": seen.width, "h": seen.height}
        image: dict[str, Any] = {"msgtype": f"m.{kind if kind in KINDS else 'file'}", "body": name, "info": info}
        if keys is not None:
            image["file"] = {**keys, "url": up, "mimetype": seen.mime}
        else:
            image["url"] = up
        return await self._line.sender.send(room, "m.room.message", image, key)

    async def _upload(self, content: bytes, mime: str, name: str, *, encrypt: bool
                      ) -> tuple[str, dict[str, Any] | None]:
        keys: dict[str, Any] | None = None

        async def upload() -> Any:
            nonlocal keys
            answer, keys = await self._line.client.upload(
                io.BytesIO(content), content_type=mime, filename=None if encrypt else name, encrypt=encrypt,
                filesize=len(content))
            return answer

        answer = await ask(upload())
        return str(answer.content_uri), keys

    def _judged(self, error: MatrixError) -> Later | Never:
        """What an error means for the row."""
        match error:
            case LimitedError():
                return Later(error.seconds)
            case RefusedError() if error.code in _HOPELESS:
                return Never(str(error))
            case SignedOutError() | UnreachableError() | RefusedError():
                return self._patience.later()
            case _:
                raise error
