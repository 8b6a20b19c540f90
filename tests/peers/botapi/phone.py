"""A person's phone: what they send, and what stands on their screen."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Callable
from typing import Any

from tests.peers.botapi.server import BotApiServer
from tests.peers.botapi.world import Chat, Message

PATIENCE = 8.0


class Phone:
    """One user in a private chat with the bot (or writing in `group`)."""

    def __init__(self, server: BotApiServer, user: int, name: str) -> None:
        self.server = server
        self.world = server.world
        self.user = user
        self.world.users[user] = {"id": user, "is_bot": False, "first_name": name, "language_code": "en"}
        self.chat = self.world.chats.setdefault(user, Chat(user))

    # -- sending -----------------------------------------------------------------------------------------------------

    async def say(self, text: str, reply_to: Message | None = None) -> Message:
        """A text message."""
        return await self._send(text=text, reply_to=reply_to.number if reply_to else None)

    async def photo(self, content: bytes, caption: str | None = None, album: str | None = None,
                    size: int | None = None) -> Message:
        """A photo: a small and a large size of it, as the platform makes them."""
        small = self.world.keep_file(b"a thumbnail")
        large = self.world.keep_file(content, size)
        sizes = [{"file_id": small, "file_unique_id": f"u{small}", "width": 90, "height": 67, "file_size": 11},
                 {"file_id": large, "file_unique_id": f"u{large}", "width": 1280, "height": 960,
                  "file_size": self.world.files[large][1]}]
        return await self._send(caption=caption, album=album, media={"photo": sizes})

    async def document(self, content: bytes, name: str, mime: str, caption: str | None = None,
                       size: int | None = None) -> Message:
        """A file."""
        file_id = self.world.keep_file(content, size)
        return await self._send(caption=caption, media={"document": {
            "file_id": file_id, "file_unique_id": f"u{file_id}", "file_name": name, "mime_type": mime,
            "file_size": self.world.files[file_id][1]}})

    async def voice(self, content: bytes) -> Message:
        """A voice note."""
        file_id = self.world.keep_file(content)
        return await self._send(media={"voice": {"file_id": file_id, "file_unique_id": f"u{file_id}", "duration": 3,
                                                 "mime_type": "audio/ogg", "file_size": len(content)}})

    async def other(self, **media: Any) -> Message:
        """Anything else, as the API shows it."""
        return await self._send(media=media)

    async def edit(self, message: Message, text: str) -> None:
        """Change the words of a message."""
        if message.text is not None:
            message.text = text
        else:
            message.caption = text
        shown = self.world.as_json(message) | {"edit_date": int(time.time())}
        await self.world.update(edited_message=shown)

    async def press(self, label: str, on: Message | None = None) -> str:
        """Press a button: of the newest message that has it, or of `on` (a phone may still show an old one)."""
        found = on or next(m for m in reversed(self.screen) if label in m.labels)
        data = next(b["callback_data"] for row in found.buttons for b in row if b["text"] == label)
        return await self.press_data(data, found)

    async def press_data(self, data: str, on: Message) -> str:
        """Press a button with that data."""
        query = self.world.next_id("press")
        self.world.presses[query] = time.monotonic()
        await self.world.update(callback_query={
            "id": query, "from": self.world.users[self.user], "chat_instance": "1", "data": data,
            "message": self.world.as_json(on)})
        return query

    async def say_in(self, group: Chat, text: str, topic: int | None = None) -> Message:
        """A text message in a group."""
        return await self._send(text=text, chat=group, topic=topic)

    async def _send(self, chat: Chat | None = None, **content: Any) -> Message:
        chat = chat or self.chat
        message = Message(self.world.next_number(chat.number), chat.number, self.user, **content)
        chat.messages[message.number] = message
        await self.world.update(message=self.world.as_json(message))
        return message

    # -- looking -----------------------------------------------------------------------------------------------------

    @property
    def screen(self) -> list[Message]:
        """What the bot wrote here, oldest first, as it stands now."""
        return [m for m in self.chat.messages.values() if m.sender == self.world.bot["id"]]

    @property
    def lines(self) -> list[str]:
        """The words of it."""
        return [message.words for message in self.screen]

    @property
    def came(self) -> dict[str, float]:
        """Words -> when the bot's message with them first came in."""
        first: dict[str, float] = {}
        for message in self.screen:
            first.setdefault(message.words, message.came)
        return first

    async def until(self, seen: Callable[[], bool], seconds: float = PATIENCE) -> None:
        """Wait until that can be seen; fails with the screen if it does not come."""
        until = time.monotonic() + seconds
        while not seen():
            if time.monotonic() > until:
                raise AssertionError(f"not seen in {seconds} s; the screen: {self.lines}")
            await asyncio.sleep(0.01)

    async def reads(self, words: str, seconds: float = PATIENCE) -> Message:
        """Wait for a message of the bot's with these words."""
        await self.until(lambda: any(words in line for line in self.lines), seconds)
        return next(m for m in reversed(self.screen) if words in m.words)
