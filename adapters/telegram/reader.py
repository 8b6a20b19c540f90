"""Makes events of updates and has them accepted. Strangers are answered at the door, presses at once."""

from __future__ import annotations

import asyncio
import logging
from collections import OrderedDict
from collections.abc import Callable, Coroutine, Sequence
from datetime import datetime, timedelta
from typing import Any, Final

from telegram import Audio, Bot, CallbackQuery, Document, Message, PhotoSize, Update, Video, VideoNote, Voice
from telegram.error import BadRequest, RetryAfter, TelegramError

from adapters.shared.choices import read_press
from adapters.shared.linking import Door, Knock
from adapters.shared.photos import Fetcher, GoneError, TooLargeError, TryAgainError
from adapters.shared.presence import Presence
from adapters.shared.words import word
from adapters.telegram import group
from adapters.telegram.refusals import is_network, retry_seconds, said
from adapters.telegram.updates import (
    Origin,
    code_of,
    image_of,
    message_id,
    needs_fetching,
    origin_of,
    other_of,
    read,
    recording_of,
    words_of,
)
from bot.conversation.events import Edited, Event, Other, PhotoSeen, PhotoSent, Pressed, Typed
from bot.conversation.ids import derive
from bot.service.photos import take_photo, take_recording
from bot.service.service import Service
from bot.store.protocol import Archive
from bot.store.rows import Arrival, Met

log = logging.getLogger(__name__)

Fetchable = PhotoSize | Document | Voice | Audio | Video | VideoNote
Take = Callable[[Archive, bytes, datetime], PhotoSeen]
SECOND_TAP: Final = timedelta(seconds=3)
"""The same button again within this time is a finger that slipped."""
REMEMBERED: Final = 2000
"""Messages whose words are kept in mind, to tell a correction from a report of something else."""


class UpdateReader:
    """Reads the updates of one bot account. `seniors_group`: the address of the seniors' group, if there is one."""

    def __init__(self, bot: Bot, account: str, service: Service, door: Door, photos: Fetcher,
                 clock: Callable[[], datetime], seniors_group: str | None = None) -> None:
        self.presence: Presence | None = None
        """Set by the adapter: it needs to know what waits to be read."""
        self._bot = bot
        self._account = account
        self._service = service
        self._door = door
        self._photos = photos
        self._clock = clock
        self._seniors_group = seniors_group
        self._heard: OrderedDict[str, int] = OrderedDict()
        self._taps: dict[tuple[str, str, int], datetime] = {}
        self._asides: set[asyncio.Task[None]] = set()

    def at_once(self, arrival: Arrival) -> bool:
        """Photos need time; everything else is read as it comes."""
        return arrival.batch is None and not needs_fetching(read(arrival.payload, self._bot))

    async def read(self, arrivals: Sequence[Arrival]) -> None:
        """Read an update, or the parts of an album. Raises StoreError."""
        updates = [read(arrival.payload, self._bot) for arrival in arrivals]
        origin = origin_of(updates[0])
        if origin is None:
            return
        met = await self._door.who(str(origin.user.id), origin.address)
        query, message = updates[0].callback_query, updates[0].message
        if query is not None:
            await self._press(query, origin, met)
        elif not origin.private:
            await self._in_group(message, met)
        elif met is None:
            await self._stranger(message, origin)
        else:
            await self._known(updates, met, origin)

    async def close(self) -> None:
        """Finish what was begun beside the talk: answers to presses and to strangers."""
        if self._asides:
            await asyncio.wait(set(self._asides), timeout=5.0)

    # -- the crew ----------------------------------------------------------------------------------------------------

    async def _known(self, updates: Sequence[Update], met: Met, origin: Origin) -> None:
        if self.presence is not None:
            self.presence.began(origin.address, met.conversation)
        edit = updates[0].edited_message
        if edit is not None:
            event = await self._edited(edit, updates[0].update_id, met)
            if event is not None:
                await self._service.accept(event, (str(edit.message_id),))
            return
        messages = await self._new([u.message for u in updates if u.message is not None], met)
        if not messages:
            return
        if any(image_of(message) is not None for message in messages):
            event = await self._photo_sent(messages, met)
        else:
            event = await self._said(messages[0], met)
        if event is not None:
            await self._service.accept(event, tuple(str(message.message_id) for message in messages))

    async def _new(self, messages: Sequence[Message], met: Met) -> list[Message]:
        """Those that are not part of an event yet (of an album, the rest may have come late)."""
        if len(messages) == 1 and messages[0].media_group_id is None:
            return list(messages)
        known = [await self._our_id(met, message.message_id) for message in messages]
        return [message for message, ours in zip(messages, known, strict=True) if ours is None]

    async def _said(self, message: Message, met: Met) -> Event | None:
        ours = message_id(self._account, message.chat.id, message.message_id)
        words = words_of(message)
        self._unchanged(ours, words)
        if message.text is not None:
            return Typed(id=derive(ours, "typed"), at=message.date, person=met.person, conversation=met.conversation,
                         message=ours, text=words, reply_to=await self._reply_to(message, met))
        what = other_of(message)
        if what is None:
            return None
        recording = recording_of(message)
        kept = await self._fetch(recording, take_recording) if recording is not None else None
        return Other(id=derive(ours, "other"), at=message.date, person=met.person, conversation=met.conversation,
                     message=ours, what=what, caption=words, kept=kept.sha256 if kept is not None else None)

    async def _edited(self, message: Message, update: int, met: Met) -> Event | None:
        """A correction. Edits without words (a place that moves on, a new picture) correct nothing."""
        if message.text is None and message.caption is None:
            return None
        ours = message_id(self._account, message.chat.id, message.message_id)
        if self._unchanged(ours, words_of(message)):
            return None
        known = await self._our_id(met, message.message_id)
        edited = message.edit_date or self._clock()
        one = derive(ours, "edited", edited.isoformat(), update)
        if known is None:  # written before they belonged to the crew
            return Typed(id=one, at=edited, person=met.person, conversation=met.conversation, message=ours,
                         text=words_of(message))
        return Edited(id=one, at=edited, person=met.person, conversation=met.conversation, message=known,
                      target=known, text=words_of(message))

    def _unchanged(self, message: str, words: str) -> bool:
        """Whether that message said the same before: Telegram reports changes of other things, too."""
        before = self._heard.get(message)
        self._heard[message] = now = hash(words)
        self._heard.move_to_end(message)
        if len(self._heard) > REMEMBERED:
            self._heard.popitem(last=False)
        return before == now

    async def _photo_sent(self, messages: Sequence[Message], met: Met) -> PhotoSent:
        """A photo or an album as one event. Parts that came late belong to the message of the first."""
        first = messages[0]
        album = first.media_group_id
        ours = (message_id(self._account, first.chat.id, first.message_id) if album is None
                else derive("telegram", self._account, first.chat.id, "album", album))
        seen = await asyncio.gather(*(self._fetch(image_of(message), take_photo) for message in messages))
        caption = "\n".join(words for message in messages if (words := words_of(message)))
        return PhotoSent(id=derive(ours, "photo", *(m.message_id for m in messages)), at=first.date,
                         person=met.person, conversation=met.conversation, message=ours, photos=tuple(seen),
                         caption=caption, reply_to=await self._reply_to(first, met))

    async def _fetch(self, wanted: Fetchable | None, take: Take) -> PhotoSeen:
        if wanted is None:  # a video in an album of photos
            return PhotoSeen(None, refused="type")

        async def fetch() -> bytes:
            try:
                file = await self._bot.get_file(wanted.file_id)
                return bytes(await file.download_as_bytearray())
            except BadRequest as error:
                if "too big" in said(error).lower():
                    raise TooLargeError from error
                if "temporarily" in said(error).lower():
                    raise TryAgainError from error
                raise GoneError from error
            except TelegramError as error:
                raise TryAgainError(_pause(error)) from error
            except RuntimeError as error:  # the answer named no file
                raise GoneError from error

        return await self._photos.fetch(fetch, wanted.file_size, take)

    async def _reply_to(self, message: Message, met: Met) -> str | None:
        replied = message.reply_to_message
        return None if replied is None else await self._our_id(met, replied.message_id)

    async def _our_id(self, met: Met, number: int) -> str | None:
        return await asyncio.to_thread(self._service.store.our_id, met.conversation, str(number))

    # -- presses -----------------------------------------------------------------------------------------------------

    async def _press(self, query: CallbackQuery, origin: Origin, met: Met | None) -> None:
        """Accept the press, then take the waiting sign off the button. Strangers' presses mean nothing."""
        press = read_press(query.data)
        elsewhere = not origin.private and not group.is_seniors(origin.chat, self._seniors_group)
        if met is None or press is None or elsewhere:
            self._aside(self._bot.answer_callback_query(query.id, word("old_button")))
            return
        question, choice = press
        tap = (met.person, question, choice)
        now = self._clock()
        if tap in self._taps and now - self._taps[tap] < SECOND_TAP:
            self._aside(self._bot.answer_callback_query(query.id, word("got_it")))
            return
        if self.presence is not None:
            self.presence.began(origin.address, met.conversation)
        await self._service.accept(Pressed(
            id=derive("telegram", self._account, "press", query.id), at=now, person=met.person,
            conversation=met.conversation, question=question, choice=choice))
        self._taps = {old: at for old, at in self._taps.items() if now - at < SECOND_TAP} | {tap: now}
        self._aside(self._bot.answer_callback_query(query.id))

    # -- others ------------------------------------------------------------------------------------------------------

    async def _stranger(self, message: Message | None, origin: Origin) -> None:
        """A code opens the door, and the newcomer is greeted like anybody who writes /start."""
        if message is None:
            return
        user = origin.user
        knock = await self._door.knock(str(user.id), user.full_name, (user.language_code or "")[:2], code_of(message))
        if knock is Knock.LINKED:
            met = await self._door.who(str(user.id), origin.address)
            if met is not None:
                ours = message_id(self._account, message.chat.id, message.message_id)
                await self._service.accept(Typed(id=derive(ours, "typed"), at=message.date, person=met.person,
                                                 conversation=met.conversation, message=ours, text="/start"),
                                           (str(message.message_id),))
        elif knock is not Knock.IGNORED:
            key = "wrong_code" if knock is Knock.WRONG_CODE else "refused"
            self._aside(self._bot.send_message(origin.chat, word(key, user.language_code or "en")))

    async def _in_group(self, message: Message | None, met: Met | None) -> None:
        """Groups are not talked to; the crew's seniors may ask for the address of theirs."""
        if message is None or met is None or not group.asks_for_address(message):
            return
        person = self._service.store.crew().get(met.person)
        if person is not None and person.role in ("senior", "owner"):
            self._aside(self._bot.send_message(
                message.chat.id, group.answer_address(message),
                message_thread_id=group.place_of(message).topic))

    def _aside(self, call: Coroutine[Any, Any, object]) -> None:
        """Something worth one try that nobody waits for."""
        async def once() -> None:
            try:
                await call
            except TelegramError as error:
                log.info("an answer beside the talk did not get through: %s", said(error))

        task = asyncio.create_task(once())
        self._asides.add(task)
        task.add_done_callback(self._asides.discard)


def _pause(error: TelegramError) -> float:
    if isinstance(error, RetryAfter):
        return retry_seconds(error)
    return 0.0 if is_network(error) else 5.0
