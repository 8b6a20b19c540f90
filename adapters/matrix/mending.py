"""Where matrix-nio 0.26 would lose something, and what is done instead.

Each has a test that fails as soon as it no longer takes hold, as after a change inside the library.
"""

from __future__ import annotations

from typing import Any

import aiohttp
from nio import AsyncClient


def mend(client: AsyncClient) -> None:
    """To be done once, when the client has its keys open."""
    _save_keys_before_they_are_published(client.olm)
    _accept_keys_from_their_makers(client.olm)


def take_no_error_page_for_an_answer(client: AsyncClient) -> None:
    """A proxy's error page holds no JSON, which is taken for an empty answer, and where an empty one is what is hoped
    for (a key was handed out, a room was left) for success; a page instead of a photo, for the photo.
    """
    send = client.send

    async def checked(*arguments: Any, **more: Any) -> Any:
        answer = await send(*arguments, **more)
        if answer.status >= 400 and (answer.status >= 500 or answer.content_type != "application/json"):
            answer.release()
            raise TroubleError(answer.status)
        return answer

    client.send = checked


class TroubleError(aiohttp.ClientError):
    """The server, or something before it, is in trouble."""

    def __init__(self, status: int) -> None:
        super().__init__(f"status {status}")


def _save_keys_before_they_are_published(olm: Any) -> None:
    """One-time keys are saved only when the server has answered. Ended before that, the next start makes other keys
    under the same ids, which the server refuses for ever. Saved first, the same ones are offered again.
    """
    share_keys = olm.share_keys

    def saved_first() -> Any:
        keys = share_keys()
        olm.save_account()
        return keys

    olm.share_keys = saved_first


def _accept_keys_from_their_makers(olm: Any) -> None:
    """A key is taken from another device of our own account alone. A bot has one device, so that would be never: here
    the very device that made a key may hand it out again, if we asked for it. That is no weaker than the key's first
    delivery, which comes from the same device over the same kind of channel.
    """
    refuses = olm._should_accept_forward

    def accept(sender: str, sender_key: str, event: Any) -> bool:
        return bool(refuses(sender, sender_key, event)) or _from_its_maker(olm, sender, sender_key, event)

    olm._should_accept_forward = accept


def _from_its_maker(olm: Any, sender: str, sender_key: str, event: Any) -> bool:
    wanted = olm.outgoing_key_requests.get(event.session_id)
    if wanted is None or (wanted.room_id, wanted.algorithm) != (event.room_id, event.algorithm):
        return False
    device = olm.device_store.device_from_sender_key(sender, sender_key)
    content = event.source["content"]
    return (device is not None and not device.blacklisted and not content["forwarding_curve25519_key_chain"]
            and content["sender_key"] == sender_key == device.curve25519
            and content["sender_claimed_ed25519_key"] == device.ed25519)
