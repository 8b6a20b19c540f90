"""The way out: rows of the outbox as messages on Telegram, and the closing of questions that were answered.

Telegram drops no repeats: when the answer to a call is lost, the message may be there all the same, and it is sent
once more. So each lost answer, and each crash between a call and the note that it went well, can repeat one message
of a chat, never more. Rows of one chat go one after the other, several chats at once.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Awaitable, Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Final, TypeVar

from telegram import (
    Bot,
    InlineKeyboardMarkup,
    InputMediaPhoto,
    LinkPreviewOptions,
    Message,
    ReplyParameters,
)
from telegram.constants import ParseMode
from telegram.error import BadRequest, ChatMigrated, TelegramError

from adapters.shared.sending import Patience, Progress
from adapters.telegram.account import PLATFORM
from adapters.telegram.places import Place
from adapters.telegram.refusals import BAD_MARKUP, NOTHING_TO_EDIT, is_network, judged, said
from adapters.telegram.rendering import Part, closed, html, keyboard, layout, numbers
from bot.conversation.markup import Paragraph, plain
from bot.service.delivery import Delivered, Later, Never
from bot.store.protocol import Store
from bot.store.rows import Outgoing, Outlet

log = logging.getLogger(__name__)

T = TypeVar("T")
CHATS_AT_ONCE: Final = 8
LONGEST: Final = 45.0
"""Seconds for one row, below the time that the outbox leaves it to us."""
AS_PHOTO: Final = 10_000_000
"""Bytes up to which Telegram takes a picture as a photo; larger ones go as files."""
VOICE: Final = ("audio/ogg", "audio/opus")
PHOTO_REFUSED: Final = ("photo_invalid_dimensions", "image_process_failed", "photo_save_file_invalid", "too big")
_NO_PREVIEW: Final = LinkPreviewOptions(is_disabled=True)


class TelegramDelivery:
    """Delivers the rows of one bot account."""

    def __init__(self, bot: Bot, account: str, store: Store, *, parallel: int = CHATS_AT_ONCE) -> None:
        self.outlet = Outlet(PLATFORM, account)
        self.parallel = parallel
        self.last_error = ""
        self._bot = bot
        self._store = store
        self._patience = Patience()
        self._progress = Progress()

    async def deliver(self, out: Outgoing) -> Delivered | Later | Never:
        """Send a message or change one; what Telegram's refusals mean is told by the outcome."""
        try:
            async with asyncio.timeout(LONGEST):
                done = await self._hand_over(out)
        except TimeoutError:
            return self._patience.later()
        except TelegramError as error:
            self.last_error = said(error)
            outcome = judged(error, self._patience)
            if isinstance(outcome, Never):
                self._progress.done(out.key)
            return outcome
        self._patience.succeeded()
        self._progress.done(out.key)
        return done

    async def _hand_over(self, out: Outgoing) -> Delivered:
        """Send or change; once more where the chat is now, if Telegram says that it moved."""
        do = self._send if out.kind == "send" else self._alter
        try:
            return await do(out)
        except ChatMigrated as error:
            new = Place.of(out.address).moved(error.new_chat_id)
            await asyncio.to_thread(self._store.readdress, PLATFORM, out.account, out.address, new)
            return await do(replace(out, address=new))

    # -- new messages ------------------------------------------------------------------------------------------------

    async def _send(self, out: Outgoing) -> Delivered:
        sent = self._progress.of(out.key)
        parts = layout(out)
        for number, part in enumerate(parts[len(sent):], start=len(sent)):
            first, last = number == 0, number == len(parts) - 1
            buttons = keyboard(out) if last else None
            messages = await self._send_part(out, part, _reply(out) if first else None, buttons)
            sent.append(tuple(str(message.message_id) for message in messages))
        return Delivered(tuple(each for ids in sent for each in ids))

    async def _send_part(self, out: Outgoing, part: Part, reply: ReplyParameters | None,
                         buttons: InlineKeyboardMarkup | None) -> Sequence[Message]:
        place = Place.of(out.address)
        if len(part.photos) == 1 and (mime := self._mime(part.photos[0])).startswith(("audio/", "video/")):
            recording = await _content(self._store.photo_file(part.photos[0]))
            if recording is not None:
                return [await self._send_recording(place, recording, mime, part.words, reply, buttons)]
        files = [self._store.photo_file(photo) for photo in part.photos if self._mime(photo).startswith("image/")]
        contents = [content for content in await asyncio.gather(*map(_content, files)) if content is not None]
        if len(contents) > 1 and not part.words:
            return await self._bot.send_media_group(place.chat, [InputMediaPhoto(content) for content in contents],
                                                    message_thread_id=place.topic, reply_parameters=reply)
        if contents:
            return [await self._send_photo(place, contents[0], part.words, reply, buttons)]
        if part.photos and not part.words:
            return []

        async def send(text: str, mode: str | None) -> Message:
            return await self._bot.send_message(place.chat, text, parse_mode=mode, message_thread_id=place.topic,
                                                reply_parameters=reply, reply_markup=buttons,
                                                link_preview_options=_NO_PREVIEW)

        return [await _marked(part.words, send)]

    def _mime(self, photo: str) -> str:
        seen = self._store.photo(photo)
        return seen.mime if seen is not None else ""

    async def _send_recording(self, place: Place, content: bytes, mime: str, words: Paragraph,
                              reply: ReplyParameters | None, buttons: InlineKeyboardMarkup | None) -> Message:
        """A voice note or a video with its caption, as it came."""
        async def send(text: str | None, mode: str | None) -> Message:
            if mime in VOICE:
                return await self._bot.send_voice(place.chat, content, caption=text, parse_mode=mode,
                                                  message_thread_id=place.topic, reply_parameters=reply,
                                                  reply_markup=buttons)
            if mime.startswith("video/"):
                return await self._bot.send_video(place.chat, content, caption=text, parse_mode=mode,
                                                  message_thread_id=place.topic, reply_parameters=reply,
                                                  reply_markup=buttons)
            return await self._bot.send_audio(place.chat, content, caption=text, parse_mode=mode,
                                              message_thread_id=place.topic, reply_parameters=reply,
                                              reply_markup=buttons)

        return await _marked(words, send)

    async def _send_photo(self, place: Place, content: bytes, words: Paragraph, reply: ReplyParameters | None,
                          buttons: InlineKeyboardMarkup | None) -> Message:
        """One picture with its caption; as a file where Telegram does not take it as a photo."""
        async def as_file(text: str | None, mode: str | None) -> Message:
            return await self._bot.send_document(place.chat, content, caption=text, parse_mode=mode,
                                                 filename="photo.jpg", message_thread_id=place.topic,
                                                 reply_parameters=reply, reply_markup=buttons)

        async def as_photo(text: str | None, mode: str | None) -> Message:
            return await self._bot.send_photo(place.chat, content, caption=text, parse_mode=mode,
                                              message_thread_id=place.topic, reply_parameters=reply,
                                              reply_markup=buttons)

        if len(content) > AS_PHOTO:
            return await _marked(words, as_file)
        try:
            return await _marked(words, as_photo)
        except BadRequest as error:
            if not any(reason in said(error).lower() for reason in PHOTO_REFUSED):
                raise
            return await _marked(words, as_file)

    # -- changes -----------------------------------------------------------------------------------------------------

    async def _alter(self, out: Outgoing) -> Delivered:
        """Take the buttons away, and show the answer under the question."""
        ids = numbers(out.sent_as)
        if not ids:
            return Delivered()  # it never got there
        place, message = Place.of(out.address), ids[-1]
        part = layout(out)[-1]
        words = closed(out, part)
        try:
            if words is None:
                await self._bot.edit_message_reply_markup(place.chat, message, reply_markup=None)
            else:
                await self._edit(place, message, words, caption=bool(part.photos))
        except BadRequest as error:
            if said(error).lower().removeprefix("bad request: ") not in NOTHING_TO_EDIT:
                raise
            await self._bot.edit_message_reply_markup(place.chat, message, reply_markup=None)
        return Delivered()

    async def _edit(self, place: Place, message: int, words: Paragraph, *, caption: bool) -> None:
        async def edit(text: str, mode: str | None) -> object:
            if caption:
                return await self._bot.edit_message_caption(place.chat, message, caption=text, parse_mode=mode)
            return await self._bot.edit_message_text(text, place.chat, message, parse_mode=mode,
                                                     link_preview_options=_NO_PREVIEW)

        await _marked(words, edit)

    def unreachable(self, error: TelegramError) -> float:
        """Something else than a delivery failed to get through; how long to wait."""
        self.last_error = said(error)
        return self._patience.failed() if is_network(error) else 0.0


async def _marked(words: Paragraph, send: Callable[[str, str | None], Awaitable[T]]) -> T:
    """Send the words as HTML; should Telegram not read it, plainly, since a message matters more than its looks."""
    try:
        return await send(html(words), ParseMode.HTML)
    except BadRequest as error:
        if BAD_MARKUP not in said(error).lower():
            raise
        log.error("Telegram could not read our HTML (%s), sent without styles", said(error))
        return await send(plain(words), None)


def _reply(out: Outgoing) -> ReplyParameters | None:
    ids = numbers(out.reply_to)
    return ReplyParameters(ids[-1], allow_sending_without_reply=True) if ids else None


async def _content(file: Path) -> bytes | None:
    try:
        return await asyncio.to_thread(file.read_bytes)
    except OSError as error:
        log.warning("a photo cannot be sent: %s (%s)", file.name[:12], error.strerror)
        return None
