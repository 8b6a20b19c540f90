"""Events of rooms made events of the bot: words, edits, withdrawals, reactions, photos.

An arrival's payload is the event's own JSON, decrypted. Our ids follow from the event's id, so the same event twice is
the same message once.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from typing import Any, Final, Literal, Protocol

from adapters.matrix import relations
from adapters.matrix.relations import Content
from adapters.shared.linking import Door, Knock
from bot.conversation.events import Edited, Event, Other, PhotoSeen, PhotoSent, Pressed, Redacted, Typed
from bot.conversation.ids import derive
from bot.service.service import Service
from bot.store.rows import Arrival, Met

What = Literal["voice", "video", "file", "place", "contact", "sticker", "unreadable"]
OTHERS: Final[dict[str, What]] = {"m.audio": "voice", "m.video": "video", "m.file": "file", "m.location": "place"}
WORDS: Final = {"m.text", "m.emote"}
RECORDINGS: Final = {"m.audio", "m.video"}
FETCHED: Final = {"m.image", *RECORDINGS}
START: Final = "/start"
"""What a newcomer is taken to have said: the bot then says who it is."""


class Place(Protocol):
    """What reading needs to know and do in rooms."""

    def shared(self, room: str) -> bool:
        """Whether more than two are in there, so that not all that is said is meant for us."""

    async def ours(self, room: str, event: str) -> bool:
        """Whether we sent that event."""

    async def file(self, content: Content, *, photo: bool) -> PhotoSeen:
        """Fetch and keep the photo of a message, or its recording. Raises StoreError."""

    async def answer_stranger(self, room: str, key: str, knock: Knock) -> None:
        """Say to a stranger what came of their message `key`."""

    async def write_directly(self, room: str, key: str) -> None:
        """Say in a room, upon the message `key`, that the talk is in a chat of two."""

    async def taken(self, room: str, met: Met, event: str) -> None:
        """An event was kept: show that it was read."""


def arrival(room: str, source: Content) -> Arrival:
    """What is kept of an event until it is read."""
    return Arrival(key=str(source["event_id"]), lane=room, payload=json.dumps(source, ensure_ascii=False))


class Reader:
    """Reads the arrivals of one account. `me`: our own user id."""

    def __init__(self, service: Service, door: Door, place: Place, me: str, posted: Mapping[str, str]) -> None:
        """`posted`: room -> the conversation of what we post there."""
        self._posted = posted
        self._service = service
        self._door = door
        self._place = place
        self._me = me

    def at_once(self, arrival: Arrival) -> bool:
        """Everything but what has to be fetched."""
        content = json.loads(arrival.payload).get("content", {})
        return content.get("msgtype") not in FETCHED and not _is_picture(content)

    async def read(self, arrivals: Sequence[Arrival]) -> None:
        """Have each accepted. Raises StoreError."""
        for each in arrivals:
            await self._read(each.lane, json.loads(each.payload))

    async def _read(self, room: str, source: dict[str, Any]) -> None:
        sender, content = str(source.get("sender")), source.get("content")
        if sender == self._me or not isinstance(content, dict) or not _says_something(source):
            return
        shared = self._place.shared(room)
        if shared and not await self._meant_for_us(room, content):
            return
        met = await (self._door.who_in(sender, room) if shared else self._door.who(sender, room))
        if met is None:
            await self._stranger(room, sender, source)
            return
        if not met.conversation:
            await self._place.write_directly(room, str(source["event_id"]))
            return
        event = await self._event(_Happening(met, source, shared=shared, asked_in=self._posted.get(room)), source,
                                  content)
        if event is not None and await self._service.accept(event, _platform_ids(event, source)):
            await self._place.taken(room, met, str(source["event_id"]))

    async def _stranger(self, room: str, sender: str, source: dict[str, Any]) -> None:
        if source["type"] != "m.room.message" or self._place.shared(room):
            return
        said = relations.text(source["content"])
        knock = await self._door.knock(sender, sender[1:].partition(":")[0], "en", said)
        met = await self._door.who(sender, room) if knock is Knock.LINKED else None
        if met is None:
            await self._place.answer_stranger(room, str(source["event_id"]), knock)
            return
        happening = _Happening(met, source)
        await self._service.accept(Typed(**happening.common, message=happening.message, text=START))

    async def _meant_for_us(self, room: str, content: Content) -> bool:
        """In a room of several: an answer or a reaction to something of ours, or a mention."""
        if relations.mentions(content, self._me):
            return True
        reacted = relations.reaction(content)
        target = reacted[0] if reacted is not None else relations.replied(content)
        return target is not None and await self._place.ours(room, target)

    async def _event(self, happening: _Happening, source: dict[str, Any], content: Content) -> Event | None:
        """The event that this is to the bot; None if it says nothing to it."""
        kind = source["type"]
        if kind == "m.room.redaction":
            target = source.get("redacts") or content.get("redacts")
            return Redacted(**happening.common, target=_message(str(target))) if target else None
        if kind == "m.reaction":
            return await self._press(happening, content)
        if kind == "m.sticker":
            return Other(**happening.common, message=happening.message, what="sticker")
        new = relations.replaced(content)
        if new is not None:
            return self._edit(happening, *new)
        return await self._message(happening, content)

    @staticmethod
    def _edit(happening: _Happening, target: str, content: Content) -> Event:
        """A new version. Of a photo only the words can have changed."""
        words = relations.text(content) if content.get("msgtype") in WORDS else relations.caption(content)
        message = _message(target)
        return Edited(**happening.common, message=message, target=message, text=words)

    async def _message(self, happening: _Happening, content: Content) -> Event:
        common, message, kind = happening.common, happening.message, content.get("msgtype")
        if kind in WORDS:
            return Typed(**common, message=message, text=relations.text(content), shared=happening.shared,
                         reply_to=await self._reply(happening, content))
        if kind == "m.image" or _is_picture(content):
            photo = await self._place.file(content, photo=True)
            return PhotoSent(**common, message=message, photos=(photo,), caption=relations.caption(content),
                             reply_to=await self._reply(happening, content))
        kept = await self._place.file(content, photo=False) if kind in RECORDINGS else None
        return Other(**common, message=message, what=OTHERS.get(str(kind), "unreadable"),
                     caption=relations.caption(content), kept=kept.sha256 if kept is not None else None)

    async def _press(self, happening: _Happening, content: Content) -> Event | None:
        """A reaction to a question of ours that means one of its choices."""
        reacted = relations.reaction(content)
        if reacted is None:
            return None
        message = await self._ours(happening, reacted[0])
        asked = await asyncio.to_thread(self._service.store.choices_of, message) if message is not None else None
        if asked is None:
            return None
        person = self._service.store.crew().get(happening.met.person)
        choice = relations.choice_of(reacted[1], asked.choices, person.language if person is not None else "en")
        if choice is None:
            return None
        return Pressed(**happening.common, message=happening.message, question=asked.question, choice=choice)

    async def _reply(self, happening: _Happening, content: Content) -> str | None:
        target = relations.replied(content)
        return await self._ours(happening, target) if target is not None else None

    async def _ours(self, happening: _Happening, event: str) -> str | None:
        return await asyncio.to_thread(self._service.store.our_id, happening.asked_in, event)


class _Happening:
    """What all events made of one have in common. What is said in a room counts as said in the person's own chat.

    `asked_in`: the conversation in which our messages stand that it may refer to, if not that one.
    """

    def __init__(self, met: Met, source: dict[str, Any], *, shared: bool = False, asked_in: str | None = None) -> None:
        event = str(source["event_id"])
        self.shared = shared
        self.asked_in = asked_in or met.conversation
        self.met = met
        self.message = _message(event)
        self.common: dict[str, Any] = {"id": derive("matrix", event), "at": _instant(source), "person": met.person,
                                       "conversation": met.conversation}


def _message(event: str) -> str:
    """Our id of the message that came as this event."""
    return derive("matrix", event, "message")


def _platform_ids(event: Event, source: dict[str, Any]) -> tuple[str, ...]:
    return (str(source["event_id"]),) if isinstance(event, Typed | PhotoSent | Other) else ()


def _instant(source: dict[str, Any]) -> datetime:
    """When the server got it."""
    return datetime.fromtimestamp(source.get("origin_server_ts", 0) / 1000, UTC)


def _says_something(source: dict[str, Any]) -> bool:
    """Whether the event is one of those that people make by talking. Notices are what bots say."""
    if "redacted_because" in (source.get("unsigned") or {}):
        return False
    if source.get("type") == "m.room.message":
        return bool(source["content"].get("msgtype", "m.notice") != "m.notice")
    return source.get("type") in {"m.room.redaction", "m.reaction", "m.sticker"}


def _is_picture(content: Content) -> bool:
    """A picture sent as a file."""
    info = content.get("info")
    kind = info.get("mimetype", "") if isinstance(info, dict) else ""
    return content.get("msgtype") == "m.file" and isinstance(kind, str) and kind.startswith("image/")


