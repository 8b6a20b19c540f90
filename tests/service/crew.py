"""A service on a folder with the small core, people of Hazel Lane at terminals, and a clock that tests move."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path

from bot.conversation.events import Event, Pressed, Typed
from bot.conversation.firm import Firm
from bot.conversation.markup import plain
from bot.service import people
from bot.service.core import Core
from bot.service.delivery import Delivered, Later, Never
from bot.service.releases import Releases
from bot.service.service import Service
from bot.store.rows import Met, Outgoing, Outlet
from bot.store.sqlite import SqliteStore
from tests.service.small import NOON, SMALL, compiled, prepared

_numbers = itertools.count(1)


class Clock:
    """The time, as tests want it."""

    def __init__(self, now: datetime = NOON) -> None:
        self.now = now

    def __call__(self) -> datetime:
        return self.now

    def forward(self, seconds: float) -> None:
        """Let time pass."""
        self.now += timedelta(seconds=seconds)


@dataclass
class Screen:
    """A way out that remembers what it was handed. `answer` may refuse rows."""

    outlet: Outlet
    parallel: int = 1
    rows: list[Outgoing] = field(default_factory=list)
    answer: Callable[[Outgoing], Delivered | Later | Never] = lambda out: Delivered((f"p{out.row}",))

    async def deliver(self, out: Outgoing) -> Delivered | Later | Never:
        """Show the row, unless `answer` refuses it."""
        done = self.answer(out)
        if isinstance(done, Delivered):
            self.rows.append(out)
        return done

    def lines(self) -> list[str]:
        """What was shown, in order; changes of earlier messages marked by a tilde."""
        return [f"~{row.closed}" if row.kind == "alter" else "\n".join(map(plain, row.paragraphs)) for row in self.rows]


@contextmanager
def house(folder: Path, clock: Clock, core: Core = SMALL) -> Iterator[Service]:
    """A service with the small core on the folder; at the end everything is let go, as at a process's end."""
    store = SqliteStore(folder)
    releases = Releases(folder / "releases", prepared(), compiled=compiled)
    service = Service(store, releases, Firm(), core=core, clock=clock)
    try:
        yield service
    finally:
        service.close()
        store.close()


def sit(service: Service, name: str, clock: Clock, role: str = "junior") -> tuple[Met, Screen]:
    """A person at a terminal of their own."""
    met = people.seat(service.store, "terminal", "local", name.lower(), role, name, clock())
    screen = Screen(Outlet("terminal", "local", met.conversation))
    service.add(screen)
    return met, screen


def typed(met: Met, text: str, clock: Clock, number: int | None = None) -> Typed:
    """A message of theirs."""
    number = next(_numbers) if number is None else number
    return Typed(id=f"{met.conversation}-{number}", at=clock(), person=met.person, conversation=met.conversation,
                 message=f"{met.conversation}-m{number}", text=text)


def pressed(met: Met, question: str, choice: int, clock: Clock) -> Pressed:
    """A choice of theirs."""
    return Pressed(id=f"{met.conversation}-{next(_numbers)}", at=clock(), person=met.person,
                   conversation=met.conversation, question=question, choice=choice)


async def tell(service: Service, *events: Event) -> None:
    """Accept events and do all there is to do."""
    for event in events:
        await service.accept(event)
    await service.drain()
