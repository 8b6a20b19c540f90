"""Photos and recordings out of rooms: fetched from the homeserver, decrypted, kept."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any

from nio import AsyncClient, EncryptionError
from nio.crypto.attachments import decrypt_attachment

from adapters.matrix.homeserver import LimitedError, MatrixError, RefusedError, ask
from adapters.matrix.relations import Content
from adapters.shared.photos import Fetcher, GoneError, TooLargeError, TryAgainError
from bot.conversation.events import PhotoSeen
from bot.service.photos import MOST_BYTES
from bot.store.protocol import Archive


async def fetched(client: AsyncClient, fetcher: Fetcher, content: Content,
                  take: Callable[[Archive, bytes, datetime], PhotoSeen]) -> PhotoSeen:
    """The file of a message as `take` kept it, or why there is none. Raises StoreError."""
    file = content.get("file")
    locked: Mapping[str, Any] | None = file if isinstance(file, Mapping) else None
    url = (locked or content).get("url")
    info = content.get("info")
    size = info.get("size") if isinstance(info, Mapping) else None

    async def fetch() -> bytes:
        if not isinstance(url, str) or not url.startswith("mxc://"):
            raise GoneError
        return _opened(await _download(client, url), locked)

    try:
        return await fetcher.fetch(fetch, size if isinstance(size, int) else None, take)
    except EncryptionError:
        return PhotoSeen(None, refused="broken")


async def _download(client: AsyncClient, url: str) -> bytes:
    try:
        answer = await ask(client.download(mxc=url))
    except LimitedError as error:
        raise TryAgainError(error.seconds) from error
    except RefusedError as error:
        raise (TooLargeError if error.code == "M_TOO_LARGE" else GoneError) from error
    except MatrixError as error:
        raise TryAgainError from error
    body: bytes = answer.body
    if len(body) > MOST_BYTES:
        raise TooLargeError
    return body


def _opened(body: bytes, locked: Mapping[str, Any] | None) -> bytes:
    """The file as it was before it was encrypted. Raises EncryptionError if it was changed on the way."""
    if locked is None:
        return body
    try:
        key, digest, vector = locked["key"]["k"], locked["hashes"]["sha256"], locked["iv"]
    except (KeyError, TypeError) as error:
        raise EncryptionError("no key with the file") from error
    return bytes(decrypt_attachment(body, key, digest, vector))
