"""What happens to a conversation. Every event has an id of its own; the same id is never applied twice."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Final, Literal

from pydantic import TypeAdapter

TAKE_UP: Final = "take_up"
"""The timer that gives a waiting job into the hands of its person; their chat is on it from then on."""
LEFT: Final = "left"
"""The timer that tells a case that the other of its two people left the crew."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Happening:
    """Common to all events. `at` is UTC. `message` is our id of the person's message, where there is one."""

    id: str
    at: datetime
    person: str
    conversation: str
    message: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed(Happening):
    """A text message. `reply_to` is our id of the message it answers, if the platform says so."""

    kind: Literal["typed"] = "typed"
    text: str
    reply_to: str | None = None
    shared: bool = False
    """It was written where several people read along, such as in the seniors' room."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pressed(Happening):
    """A choice of a question was pressed (`choice` counts from 1)."""

    kind: Literal["pressed"] = "pressed"
    question: str
    choice: int


@dataclass(frozen=True, slots=True)
class PhotoSeen:
    """A photo in the store: its content hash, what was measured at intake, or why it was refused.

    brightness 0..255 (mean of luma), sharpness: variance of the Laplacian of the luma at 512 pixels width.
    """

    sha256: str | None
    mime: str = ""
    bytes: int = 0
    width: int = 0
    height: int = 0
    brightness: float = 0.0
    sharpness: float = 0.0
    refused: Literal["type", "size", "broken", "missing"] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoSent(Happening):
    """One or more photos (an album is one event) with their caption."""

    kind: Literal["photo"] = "photo"
    photos: tuple[PhotoSeen, ...]
    caption: str = ""
    reply_to: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Edited(Happening):
    """The person changed the text of an earlier message (`target`: our id of it)."""

    kind: Literal["edited"] = "edited"
    target: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Redacted(Happening):
    """The person took back an earlier message (`target`: our id of it)."""

    kind: Literal["redacted"] = "redacted"
    target: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Other(Happening):
    """Something we cannot read: a voice note, a video, a place, a contact."""

    kind: Literal["other"] = "other"
    what: Literal["voice", "video", "file", "place", "contact", "sticker", "unreadable"]
    caption: str = ""
    kept: str | None = None
    """Content hash of a recording that is kept beside the photos, for a senior to hear or see."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Due(Happening):
    """A timer that a job set came due."""

    kind: Literal["due"] = "due"
    timer: str
    name: str
    job: str
    data: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Undelivered(Happening):
    """One of our messages (`target`) could not be delivered, for good."""

    kind: Literal["undelivered"] = "undelivered"
    target: str
    job: str | None = None
    reason: str = ""


Event = Typed | Pressed | PhotoSent | Edited | Redacted | Other | Due | Undelivered

_EVENT: TypeAdapter[Event] = TypeAdapter(Event)


def dump_event(event: Event) -> str:
    """The event as JSON, for the store."""
    return _EVENT.dump_json(event).decode()


def load_event(text: str) -> Event:
    """The event that `dump_event` wrote."""
    return _EVENT.validate_json(text)
