"""What a test does with the phone of someone of the crew, whatever client runs on it."""

from __future__ import annotations

import asyncio
from abc import ABC, abstractmethod
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

PATIENCE = 20.0


@dataclass(frozen=True)
class Heard:
    """An event of somebody else's."""

    room: str
    id: str
    sender: str
    type: str
    content: dict[str, Any] = field(hash=False)
    encrypted: bool = True
    failed: bool = False

    @property
    def body(self) -> str:
        """Its words."""
        return str(self.content.get("body", ""))

    @property
    def edits(self) -> str | None:
        """The message that it is a new version of."""
        relation = self.content.get("m.relates_to") or {}
        return relation.get("event_id") if relation.get("rel_type") == "m.replace" else None


class Phone(ABC):
    """A Matrix client. `heard`: what came from others, in order; each event once, decrypted if it could be."""

    def __init__(self) -> None:
        self.user = ""
        self.device = ""
        self.heard: list[Heard] = []
        self.fingerprint = ""
        self.typed: set[str] = set()
        self.read: set[str] = set()
        self._news = asyncio.Event()

    @abstractmethod
    async def start(self, base: str, user: str, password: str) -> None:
        """Log in as a new device, and sync."""

    @abstractmethod
    async def close(self) -> None:
        """Switch it off."""

    @abstractmethod
    async def open(self, user: str, *, encrypted: bool = True) -> str:
        """A direct chat; its room."""

    @abstractmethod
    async def send(self, room: str, content: dict[str, Any]) -> str:
        """A message; its event id."""

    @abstractmethod
    async def react(self, room: str, target: str, key: str) -> str:
        """A reaction."""

    @abstractmethod
    async def redact(self, room: str, target: str) -> None:
        """Take a message back."""

    @abstractmethod
    async def photo(self, room: str, content: bytes, mime: str, caption: str = "", *, tampered: bool = False,
                    kind: str = "m.image") -> str:
        """An encrypted photo, or another file of that kind; with a digest that does not fit, if `tampered`."""

    @abstractmethod
    async def fetch(self, content: dict[str, Any]) -> bytes:
        """The photo of a message, decrypted."""

    @abstractmethod
    async def leave(self, room: str) -> None:
        """Leave a room."""

    @abstractmethod
    async def membership(self, room: str, user: str) -> str | None:
        """How someone stands to a room, as far as the phone knows."""

    async def met(self, room: str, user: str) -> None:
        """Wait until the phone knows that someone is in the room."""
        async with asyncio.timeout(PATIENCE):
            while await self.membership(room, user) != "join":
                await asyncio.sleep(0.05)

    async def say(self, room: str, text: str, *, reply_to: str | None = None, thread: str | None = None) -> str:
        """Words."""
        content: dict[str, Any] = {"msgtype": "m.text", "body": text}
        if thread is not None:
            content["m.relates_to"] = {"rel_type": "m.thread", "event_id": thread, "is_falling_back": True,
                                       "m.in_reply_to": {"event_id": thread}}
        elif reply_to is not None:
            content["m.relates_to"] = {"m.in_reply_to": {"event_id": reply_to}}
        return await self.send(room, content)

    async def edit(self, room: str, target: str, text: str) -> str:
        """Other words in their place."""
        return await self.send(room, {
            "msgtype": "m.text", "body": f"* {text}", "m.new_content": {"msgtype": "m.text", "body": text},
            "m.relates_to": {"rel_type": "m.replace", "event_id": target}})

    def hear(self, event: Heard) -> None:
        """Something came. What could not be decrypted before may come again."""
        known = next((number for number, each in enumerate(self.heard) if each.id == event.id), None)
        if known is None:
            self.heard.append(event)
        elif self.heard[known].failed:
            self.heard[known] = event
        self._news.set()

    def words(self, sender: str | None = None) -> list[str]:
        """All that was said, new versions of earlier messages left out."""
        return [each.body for each in self.heard if each.type == "m.room.message" and each.edits is None
                and (sender is None or each.sender == sender)]

    async def wait(self, fits: Callable[[Heard], bool], *, after: int = 0, patience: float = PATIENCE) -> Heard:
        """The first event that fits, behind the first `after` ones."""
        async with asyncio.timeout(patience):
            while True:
                self._news.clear()
                found = next((each for each in self.heard[after:] if not each.failed and fits(each)), None)
                if found is not None:
                    return found
                await self._news.wait()

    async def answer(self, *, after: int, patience: float = PATIENCE) -> Heard:
        """The next message that is no new version of an earlier one."""
        return await self.wait(lambda each: each.type == "m.room.message" and each.edits is None, after=after,
                               patience=patience)

    async def ask(self, room: str, text: str, **how: Any) -> Heard:
        """Say something; the next message that comes back."""
        before = len(self.heard)
        await self.say(room, text, **how)
        return await self.answer(after=before)
