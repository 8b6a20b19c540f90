"""What is kept of a chat as such, apart from its jobs: which job it is on, what waits for 'which one'."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from pydantic import TypeAdapter

from bot.conversation.events import Event


@dataclass(frozen=True, slots=True)
class Desk:
    """One per conversation. `held` is a message whose job is being asked for by question `question`."""

    conversation: str
    person: str
    focus: str | None = None
    held: Event | None = None
    question: str | None = None
    message: str | None = None
    values: tuple[str, ...] = ()
    minute: datetime | None = None
    """Start of the minute whose messages are being counted."""
    count: int = 0
    version: int = 0


_DESK: TypeAdapter[Desk] = TypeAdapter(Desk)


def dump_desk(desk: Desk) -> str:
    """The desk as JSON, for the store."""
    return _DESK.dump_json(desk).decode()


def load_desk(text: str) -> Desk:
    """The desk that `dump_desk` wrote."""
    return _DESK.validate_json(text)
