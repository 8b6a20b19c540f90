"""A firm with the core as it ships on a folder: who sits where, what each was told, a clock that stories move."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from bot.conversation.firm import Firm, Role
from bot.conversation.job import Job
from bot.conversation.markup import plain
from bot.service import people
from bot.service.opening import opened
from bot.service.service import Service
from bot.simulation.transcript import FIRM
from bot.store.rows import Met, Outgoing
from tests.service.crew import Clock, Screen, pressed, sit, typed

OPENING = "toploader belt drive wont spin"


@dataclass
class House:
    """The service with its people at terminals of their own."""

    service: Service
    clock: Clock
    seats: dict[str, Met] = field(default_factory=dict)
    screens: dict[str, Screen] = field(default_factory=dict)

    def seat(self, name: str, role: Role = "junior", **reach: str) -> Met:
        """Somebody sits down."""
        self.seats[name], self.screens[name] = sit(self.service, name, self.clock, role)
        if reach:
            people.set_reach(self.service.store, self.seats[name].person, self.clock(), **reach)
        return self.seats[name]

    async def says(self, name: str, text: str, seconds: float = 20) -> str:
        """What somebody is told by the bot upon a message of theirs."""
        return await self._then(name, self.accept(name, text), seconds)

    async def presses(self, name: str, choice: int, seconds: float = 20) -> str:
        """The same for the newest question that they were shown."""
        question = next(row.question for row in reversed(self.screens[name].rows) if row.question is not None)
        event = pressed(self.seats[name], question, choice, self.clock)
        return await self._then(name, self.service.accept(event), seconds)

    def accept(self, name: str, text: str):
        """A message of theirs, accepted."""
        return self.service.accept(typed(self.seats[name], text, self.clock))

    async def _then(self, name, accepted, seconds: float) -> str:
        before = len(self.screens[name].rows)
        self.clock.forward(seconds)
        await accepted
        await self.service.drain()
        assert self.service.store.parked() == ()
        return "\n".join(text_of(row) for row in self.screens[name].rows[before:] if row.kind == "send")

    async def at(self, when: datetime) -> None:
        """Time goes by."""
        self.clock.now = when
        await self.service.drain()
        assert self.service.store.parked() == ()

    def told(self, name: str) -> str:
        """All that somebody was told so far."""
        return "\n".join(text_of(row) for row in self.screens[name].rows if row.kind == "send")

    def job_of(self, name: str) -> Job:
        """The job that somebody's chat is on."""
        view = self.service.store.view(typed(self.seats[name], "?", self.clock))
        kept = self.service.store.job(view.desk.focus or "")
        assert kept is not None
        return kept

    def audit(self) -> list[tuple[str, str | None]]:
        """What was done, and by whom, by name (None: from the command line)."""
        with self.service.store._readers.reading() as conn:
            rows = conn.execute("SELECT a.what, p.name FROM audit a LEFT JOIN persons p ON p.id = a.person"
                                " ORDER BY a.seq").fetchall()
        return [(what, name) for what, name in rows]


def text_of(row: Outgoing) -> str:
    """A message as it is read."""
    return "\n".join([*map(plain, row.paragraphs), *(f"{n}) {plain(c)}" for n, c in enumerate(row.choices, 1))])


@contextmanager
def house_of(folder: Path, clock: Clock | None = None, firm: Firm = FIRM) -> Iterator[House]:
    """The firm of all examples on that folder."""
    clock = clock or Clock()
    with opened(folder, firm, clock=clock) as service:
        yield House(service, clock)
