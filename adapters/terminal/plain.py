"""The terminal for scripts: one line in, the bot's replies out, each of their lines prefixed `bot> `."""

from __future__ import annotations

import asyncio
import re
import sys
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import Final

from adapters.terminal.house import house
from adapters.terminal.seats import Seat, take_seat
from adapters.terminal.typed import NOTHING_TO_CHANGE, Keyboard, ids
from bot.conversation.markup import Paragraph, plain
from bot.service.clock import utc_now
from bot.service.delivery import Delivered, Later, Never
from bot.service.service import Service
from bot.store.rows import Outgoing

PREFIX: Final = "bot> "
STILL_OPEN: Final = f"{PREFIX}Still open:"
_CONTROL: Final = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f]")
LONGEST: Final = 1 << 20
"""Bytes of a line that are read at once; the rest of it counts as the next line."""


def piped(folder: Path, role: str | None, name: str | None, seed: int | None, wait: float,
          packs: Sequence[Path] = ()) -> None:
    """Until the end of standard input, and `wait` seconds more for what others cause. Raises StoreError."""
    with house(folder, packs) as service:
        seat = take_seat(service.store, role, name, utc_now())
        delivery = PlainDelivery(seat, service.store.photo_file)
        service.add(delivery)
        asyncio.run(_talk(service, seat, delivery, ids(seed), wait))


class PlainDelivery:
    """Prints the seat's messages. `photo_file`: where a photo of that hash lies."""

    def __init__(self, seat: Seat, photo_file: Callable[[str], Path]) -> None:
        self.outlet = seat.outlet
        self.parallel = 1
        self.shown: set[str] = set()
        self.broken = False
        self._photo_file = photo_file

    async def deliver(self, out: Outgoing) -> Delivered | Later | Never:
        """Print a message. What closes the choices of an earlier one has no place in plain lines."""
        if out.kind == "send":
            try:
                _show(lines(out.paragraphs, out.choices))
                _show(f"{PREFIX}[photo: {self._photo_file(photo)}]" for photo in out.photos)
            except BrokenPipeError:
                self.broken = True
                return Later(1)
            self.shown.add(out.message)
        return Delivered()


def lines(paragraphs: Sequence[Paragraph], choices: Sequence[Paragraph]) -> Iterator[str]:
    """A message's lines, prefixed."""
    for paragraph in paragraphs:
        for line in printable(plain(paragraph)).splitlines() or [""]:
            yield f"{PREFIX}{line}".rstrip()
    for number, choice in enumerate(choices, start=1):
        yield f"{PREFIX}  {number}) {' '.join(printable(plain(choice)).split())}"


def printable(text: str) -> str:
    """The text without control characters: what somebody typed must not steer another one's terminal."""
    return _CONTROL.sub("", text.expandtabs(1))


def _show(text: Iterable[str]) -> None:
    """Print at once: whoever reads along waits for it."""
    for line in text:
        print(line)
    sys.stdout.flush()


async def _talk(service: Service, seat: Seat, delivery: PlainDelivery, event_ids: Iterator[str], wait: float) -> None:
    keyboard = Keyboard(seat, service.store)
    await _drained(service, delivery)
    for question in service.store.open_questions(seat.conversation):
        if question.message not in delivery.shown:
            _show([STILL_OPEN, *lines(question.paragraphs, question.choices)])
    while line := await asyncio.to_thread(sys.stdin.buffer.readline, LONGEST):
        if not await keyboard.hand_in(service, line.decode("utf-8", "replace").rstrip("\r\n"), event_ids):
            print(f"chargehand: {NOTHING_TO_CHANGE}", file=sys.stderr)
        await _drained(service, delivery)
    until = time.monotonic() + wait
    while time.monotonic() < until:
        await asyncio.sleep(0.1)
        await _drained(service, delivery)


async def _drained(service: Service, delivery: PlainDelivery) -> None:
    """Everything done that can be done now. Raises BrokenPipeError if nobody reads what is printed."""
    await service.drain()
    if delivery.broken:
        raise BrokenPipeError
