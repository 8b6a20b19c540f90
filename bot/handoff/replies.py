"""What a relayed message answers or changes, so that it stands there as a reply on the other side, too."""

from __future__ import annotations

from bot.conversation.events import Edited, Event, PhotoSent, Typed


def replied_to(event: Event) -> str | None:
    """Our id of the message that this one answers, or is a new version of.

    It stands in the writer's chat. Where it came from or went to in the other one, the store knows.
    """
    match event:
        case Typed(reply_to=message) | PhotoSent(reply_to=message) | Edited(target=message):
            return message
        case _:
            return None
