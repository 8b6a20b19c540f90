"""A data folder with a few visits of Hazel Lane, typed by hand through the whole program at a told clock."""

from __future__ import annotations

import asyncio
import itertools
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random

from adapters.demo.fill import Clock, Silent
from adapters.demo.places import plate_photo
from adapters.terminal.seats import FIRM, take_seat
from bot.conversation.events import Edited, PhotoSent, Pressed, Redacted, Typed
from bot.conversation.job import Job
from bot.service.opening import opened
from bot.service.photos import take_photo
from bot.service.service import Service
from bot.store.rows import Met

NOON = datetime(2031, 5, 6, 12, tzinfo=UTC)
OPENING = "toploader belt drive, washes ok but wont spin, belt might be glazed"
MARKUP = "<script>alert(1)</script><img src=x onerror=alert(2)> \" ' &amp; {{ 7*7 }}"
TURNED = "\u202egnihtyna\u202c \u2066left\u2067"
LONG = "a very long belt " * 600
HOSTILE = (MARKUP, TURNED, LONG)
_numbers = itertools.count(1)


@dataclass
class Telling:
    """Who is at work, and ways to let them do things. Every act is ten seconds after the last."""

    service: Service
    clock: Clock
    seats: dict[str, Met] = field(default_factory=dict)

    def sit(self, role: str, name: str) -> Met:
        """Take a seat."""
        seat = take_seat(self.service.store, role, name, self.clock())
        self.seats[name] = Met(seat.person.id, seat.conversation)
        return self.seats[name]

    async def typed(self, name: str, *texts: str) -> str:
        """Type messages; our id of the last one."""
        message = ""
        for text in texts:
            who, message = self.seats[name], f"{next(_numbers):020x}"
            self.clock.now += timedelta(seconds=10)
            await self.service.accept(Typed(id=f"e{message}", at=self.clock(), person=who.person,
                                            conversation=who.conversation, message=message, text=text))
            await self.service.drain()
        return message

    async def changed(self, name: str, message: str, text: str | None) -> None:
        """Edit a message, or take it back."""
        who, number = self.seats[name], next(_numbers)
        common = {"id": f"e{number:020x}", "at": self.clock(), "person": who.person, "conversation": who.conversation,
                  "target": message}
        await self.service.accept(Redacted(**common) if text is None else Edited(**common, text=text))  # type: ignore[arg-type]
        await self.service.drain()

    async def pressed(self, name: str, question: str, choice: int) -> None:
        """Press a choice."""
        who, number = self.seats[name], next(_numbers)
        await self.service.accept(Pressed(id=f"e{number:020x}", at=self.clock(), person=who.person,
                                          conversation=who.conversation, question=question, choice=choice))
        await self.service.drain()

    async def photo(self, name: str, content: bytes, caption: str) -> str:
        """Send a photo; its hash."""
        who, number = self.seats[name], f"{next(_numbers):020x}"
        seen = take_photo(self.service.store, content, self.clock())
        await self.service.accept(PhotoSent(id=f"e{number}", at=self.clock(), person=who.person,
                                            conversation=who.conversation, message=number, photos=(seen,),
                                            caption=caption))
        await self.service.drain()
        return str(seen.sha256)

    def job(self, name: str) -> Job:
        """The visit that their chat is on."""
        who = self.seats[name]
        probe = Typed(id="probe", at=self.clock(), person=who.person, conversation=who.conversation, text="")
        focus = self.service.store.view(probe).desk.focus
        job = self.service.store.job(focus or "")
        assert job is not None
        return job


@dataclass(frozen=True)
class Told:
    """What was told: ids of the visits."""

    belt: str
    hostile: str
    senior: str
    photo: str


def tell(folder: Path) -> Told:
    """Fill the folder. Three visits: a belt, named and left; hostile words; one that Marta has in hand."""
    with ThreadPoolExecutor(1) as pool:  # a browser may have a loop running in this thread
        return pool.submit(lambda: asyncio.run(_tell(folder))).result()


async def _tell(folder: Path) -> Told:
    clock = Clock(NOON)
    with opened(folder, FIRM, clock=clock, deliveries=[Silent()]) as service:
        at = Telling(service, clock)
        for role, name in (("junior", "Rui"), ("junior", "Dana"), ("senior", "Marta"), ("owner", "Ines")):
            at.sit(role, name)
        await at.typed("Rui", OPENING, "1")
        sha = await at.photo("Rui", plate_photo("washer", Random(1)), "plate of the Quillfeather unit")
        slip = await at.typed("Rui", "the flappy bit is wobblyquux")
        await at.changed("Rui", slip, "the flappy bit is wobblyquux now")
        belt = at.job("Rui").id
        await at.typed("Rui", "stop")
        question = at.job("Rui").question
        assert question is not None
        await at.typed("Rui", str(question.values.index("not_fixed") + 1))
        await at.typed("Dana", "dryer runs but no heat")
        hostile = at.job("Dana").id
        for words in HOSTILE:
            await at.typed("Dana", words)
        gone = await at.typed("Dana", "take this back please")
        await at.changed("Dana", gone, None)
        await at.typed("Rui", "new", "dishwasher does not drain", "senior")
        handed = at.job("Rui")
        offered = handed.handoff.offered[0] if handed.handoff is not None else None
        assert offered is not None
        await at.pressed("Marta", offered.question, 1)
        await at.typed("Marta", MARKUP)
        return Told(belt, hostile, handed.id, sha)
