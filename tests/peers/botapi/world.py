"""Telegram's side of things: who there is, what stands in each chat, what the bot has not fetched yet."""

from __future__ import annotations

import asyncio
import itertools
import time
from collections import defaultdict
from dataclasses import dataclass, field
from typing import Any

from tests.peers.botapi.markup import units


class RefusedError(Exception):
    """An answer that is not `ok`."""

    def __init__(self, code: int, description: str, **parameters: Any) -> None:
        super().__init__(description)
        self.code = code
        self.description = description
        self.parameters = parameters


@dataclass(slots=True)
class Message:
    """A message as it stands in a chat now. `text` is without tags, as people see it."""

    number: int
    chat: int
    sender: int
    text: str | None = None
    caption: str | None = None
    html: str | None = None
    buttons: list[list[dict[str, str]]] = field(default_factory=list)
    media: dict[str, Any] = field(default_factory=dict)
    contents: bytes = b""
    reply_to: int | None = None
    topic: int | None = None
    album: str | None = None
    date: int = field(default_factory=lambda: int(time.time()))
    edits: int = 0
    came: float = field(default_factory=time.monotonic)

    @property
    def words(self) -> str:
        """Its text or caption."""
        return self.text or self.caption or ""

    @property
    def labels(self) -> list[str]:
        """The labels of its buttons."""
        return [button["text"] for row in self.buttons for button in row]

    def content(self) -> tuple[Any, ...]:
        """What an edit must differ in."""
        return self.text, self.caption, self.html, self.buttons


@dataclass(slots=True)
class Chat:
    """A private chat, or a group."""

    number: int
    kind: str = "private"
    title: str = ""
    blocked: bool = False
    moved_to: int | None = None
    messages: dict[int, Message] = field(default_factory=dict)
    actions: list[tuple[float, str]] = field(default_factory=list)


class World:
    """One bot's Telegram."""

    def __init__(self, bot_id: int) -> None:
        self.bot_id = bot_id
        self.bot = {"id": bot_id, "is_bot": True, "first_name": "Lead hand", "username": "lead_hand_bot",
                    "can_join_groups": True, "can_read_all_group_messages": False, "supports_inline_queries": False}
        self.chats: dict[int, Chat] = {}
        self.users: dict[int, dict[str, Any]] = {}
        self.updates: list[dict[str, Any]] = []
        self.files: dict[str, tuple[bytes, int]] = {}
        self.presses: dict[str, float] = {}
        self.toasts: dict[str, str] = {}
        self.commands: list[Any] = []
        self.calls: list[tuple[float, str, dict[str, Any]]] = []
        self.changed = asyncio.Condition()
        self.stale_after = 60.0
        self.sent: dict[int, list[Message]] = defaultdict(list)
        """Chat -> what the bot sent there, in the order it came in."""
        self._updates = itertools.count(1001)
        self._messages: dict[int, itertools.count[int]] = defaultdict(lambda: itertools.count(1))
        self._ids = itertools.count(1)

    def chat(self, number: int) -> Chat:
        """The chat, if it can be written to. Raises RefusedError."""
        chat = self.chats.get(number)
        if chat is None:
            raise RefusedError(400, "Bad Request: chat not found")
        if chat.moved_to is not None:
            raise RefusedError(400, "Bad Request: group chat was upgraded to a supergroup chat",
                          migrate_to_chat_id=chat.moved_to)
        if chat.blocked:
            raise RefusedError(403, "Forbidden: bot was blocked by the user")
        return chat

    def next_number(self, chat: int) -> int:
        """The number of that chat's next message."""
        return next(self._messages[chat])

    def next_id(self, what: str) -> str:
        """An id never used before."""
        return f"{what}{next(self._ids)}"

    async def post(self, chat: Chat, message: Message) -> Message:
        """A message of the bot's is there."""
        chat.messages[message.number] = message
        self.sent[chat.number].append(message)
        await self.tell()
        return message

    async def tell(self) -> None:
        """Whoever waits looks again."""
        async with self.changed:
            self.changed.notify_all()

    async def update(self, **content: Any) -> dict[str, Any]:
        """Something for the bot to fetch."""
        made = {"update_id": next(self._updates), **content}
        self.updates.append(made)
        await self.tell()
        return made

    def keep_file(self, content: bytes, size: int | None = None) -> str:
        """A file's id. `size` may be larger than the content, for limits."""
        file_id = self.next_id("file")
        self.files[file_id] = (content, len(content) if size is None else size)
        return file_id

    def as_json(self, message: Message) -> dict[str, Any]:
        """The message as the API shows it."""
        chat = self.chats[message.chat]
        shown: dict[str, Any] = {"message_id": message.number, "date": message.date, "chat": self.chat_json(chat),
                                 "from": self.bot if message.sender == self.bot["id"] else self.users[message.sender],
                                 **message.media}
        if message.text is not None:
            shown["text"] = message.text
        if message.caption:
            shown["caption"] = message.caption
        if message.album:
            shown["media_group_id"] = message.album
        if message.buttons:
            shown["reply_markup"] = {"inline_keyboard": message.buttons}
        if message.topic is not None:
            shown |= {"message_thread_id": message.topic, "is_topic_message": True}
        if message.reply_to is not None and message.reply_to in chat.messages:
            shown["reply_to_message"] = self.as_json(chat.messages[message.reply_to])
        return shown

    def chat_json(self, chat: Chat) -> dict[str, Any]:
        """The chat as the API shows it."""
        if chat.kind == "private":
            return {"id": chat.number, "type": "private", "first_name": self.users[chat.number]["first_name"]}
        return {"id": chat.number, "type": chat.kind, "title": chat.title}


def checked(text: str, limit: int, what: str) -> str:
    """The text, if it is neither empty nor too long. Raises RefusedError."""
    if what == "message" and not text.strip():
        raise RefusedError(400, "Bad Request: message text is empty")
    if units(text) > limit:
        raise RefusedError(400, f"Bad Request: {'message is' if what == 'message' else 'message caption is'} too long")
    return text
