"""What an update is: a message, a change of one, a press of a button; from whom, in which chat. Pure."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from typing import Any, Final, Literal

from telegram import Audio, Bot, Document, Message, PhotoSize, Update, User, Video, VideoNote, Voice
from telegram.constants import ChatType

from bot.conversation.ids import derive
from bot.store.rows import Arrival

KINDS: Final = ("message", "edited_message", "callback_query")
"""The updates that we ask for."""
_MENTION: Final = re.compile(r"^(/\w+)@\w+")
_CODE: Final = re.compile(r"^/start(?:@\w+)?\s+(\S.*)$", re.DOTALL)
_START: Final = re.compile(r"^/start(?:@\w+)?(\s|$)")
_IMAGE: Final = re.compile(r"\.(jpe?g|png|webp|gif|bmp|tiff?|hei[cf]|avif)$", re.IGNORECASE)
What = Literal["voice", "video", "file", "place", "contact", "sticker", "unreadable"]


@dataclass(frozen=True, slots=True)
class Origin:
    """Where an update comes from. In a private chat the chat's number is the user's."""

    user: User
    chat: int
    private: bool

    @property
    def address(self) -> str:
        """The address of the talk with this person: always the private chat."""
        return str(self.chat if self.private else self.user.id)


def arrival(update: Update, payload: str) -> Arrival | None:
    """The update as an arrival in the lane of its sender's talk; None if it concerns nobody."""
    origin = origin_of(update)
    if origin is None:
        return None
    album = update.message.media_group_id if update.message is not None else None
    return Arrival(str(update.update_id), origin.address, payload, f"{origin.chat}/{album}" if album else None)


def read(payload: str, bot: Bot) -> Update:
    """The update of a stored payload. Raises whatever the library raises for one that it cannot read."""
    return parsed(json.loads(payload), bot)


def parsed(raw: dict[str, Any], bot: Bot) -> Update:
    """The update of decoded JSON."""
    return Update.de_json(raw, bot)


def origin_of(update: Update) -> Origin | None:
    """Who sent it and where; None for what no person of the crew can have sent (channels, other bots, services)."""
    if update.callback_query is not None:
        query = update.callback_query
        chat = query.message.chat if query.message is not None else None
        private = chat is None or chat.type == ChatType.PRIVATE
        return Origin(query.from_user, chat.id if chat is not None else query.from_user.id, private)
    message = update.message or update.edited_message
    if message is None or message.from_user is None or message.from_user.is_bot:
        return None
    return Origin(message.from_user, message.chat.id, message.chat.type == ChatType.PRIVATE)


def needs_fetching(update: Update) -> bool:
    """Whether the update brings a photo or a recording to be fetched."""
    message = update.message
    return message is not None and (image_of(message) is not None or recording_of(message) is not None)


def recording_of(message: Message) -> Voice | Audio | Video | VideoNote | None:
    """The voice note or video that a message brings."""
    return message.voice or message.audio or message.video or message.video_note


def image_of(message: Message) -> PhotoSize | Document | None:
    """The picture that a message brings: the largest size of a photo, or a file that is an image."""
    if message.photo:
        return message.photo[-1]
    document = message.document
    if document is not None and ((document.mime_type or "").startswith("image/")
                                 or _IMAGE.search(document.file_name or "")):
        return document if message.animation is None else None
    return None


def words_of(message: Message) -> str:
    """The text or caption. A command loses the name of the bot behind it, a start the code."""
    text = message.text or message.caption or ""
    if _START.match(text):
        return "/start"
    return _MENTION.sub(r"\1", text)


def code_of(message: Message) -> str:
    """What may be an invitation's code: the words behind /start, or else the message."""
    text = message.text or ""
    found = _CODE.match(text)
    return found[1] if found else "" if _START.match(text) else text


def other_of(message: Message) -> What | None:
    """What kind of thing it is that we cannot read; None for notices (somebody joined, something was pinned)."""
    kinds: tuple[tuple[What, object], ...] = (
        ("voice", message.voice or message.audio),
        ("video", message.video or message.video_note or message.animation),
        ("place", message.location or message.venue),
        ("contact", message.contact),
        ("sticker", message.sticker or message.dice),
        ("file", message.document),
        ("unreadable", message.poll or message.game or message.story or message.paid_media or message.checklist))
    return next((what for what, there in kinds if there), None)


def message_id(account: str, chat: int, number: int) -> str:
    """Our id of a person's message, the same for every report of it."""
    return derive("telegram", account, chat, number)
