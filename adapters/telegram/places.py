"""Addresses: a chat, or a topic of a group (`-100123/45`)."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Place:
    """Where a message goes."""

    chat: int
    topic: int | None = None

    @classmethod
    def of(cls, address: str) -> Place:
        """The place that an address names."""
        chat, _, topic = address.partition("/")
        return cls(int(chat), int(topic) if topic else None)

    def moved(self, chat: int) -> str:
        """The address of the same topic in the chat that this one became."""
        return Place(chat, self.topic).address

    @property
    def address(self) -> str:
        """The place as stored."""
        return str(self.chat) if self.topic is None else f"{self.chat}/{self.topic}"
