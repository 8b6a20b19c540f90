"""What happens above the prompt: the talk, with colours, wrapped to the terminal."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Final

from rich.console import Console
from rich.text import Text

from adapters.terminal.house import house
from adapters.terminal.plain import printable
from adapters.terminal.seats import Seat, take_seat
from adapters.terminal.typed import NOTHING_TO_CHANGE, Keyboard, ids
from bot.conversation.markup import Paragraph
from bot.service.clock import utc_now
from bot.service.delivery import Delivered, Later, Never
from bot.service.service import Service
from bot.store.errors import StoreError
from bot.store.rows import Outgoing

STYLES: Final = {"plain": "", "bold": "bold", "typed": "bold cyan"}
GUTTER: Final = 4
WIDEST: Final = 100
"""Columns beyond which a line is hard to read."""


async def sit(folder: Path, role: str | None, name: str | None, seed: int | None,
              lines: asyncio.Queue[str | None], packs: Sequence[Path] = ()) -> None:
    """Take the seat, show what waits, and hand in what is typed until None comes. Raises StoreError."""
    console = Console(force_terminal=True, highlight=False)
    opening = house(folder, packs)
    service = await asyncio.to_thread(opening.__enter__)
    try:
        seat = await asyncio.to_thread(take_seat, service.store, role, name, utc_now())
        delivery = ChatDelivery(seat, console, service.store.photo_file)
        service.add(delivery)
        await service.drain()
        for question in service.store.open_questions(seat.conversation):
            if question.message not in delivery.shown:
                write(console, question.paragraphs, question.choices, "still open")
        running = asyncio.create_task(service.run())
        try:
            await _hand_in(service, Keyboard(seat, service.store), ids(seed), lines, console)
        finally:
            service.stop()
            await running
    finally:
        await asyncio.to_thread(opening.__exit__, None, None, None)


async def _hand_in(service: Service, keyboard: Keyboard, event_ids: Iterator[str], lines: asyncio.Queue[str | None],
                   console: Console) -> None:
    while (line := await lines.get()) is not None:
        try:
            if not await keyboard.hand_in(service, line, event_ids):
                console.print(Text(NOTHING_TO_CHANGE, "dim"))
        except StoreError as error:
            console.print(Text(f"That was not kept, type it again: {error}", "red"))


class ChatDelivery:
    """Writes the seat's messages above the prompt. `photo_file`: where a photo of that hash lies."""

    def __init__(self, seat: Seat, console: Console, photo_file: Callable[[str], Path]) -> None:
        self.outlet = seat.outlet
        self.parallel = 1
        self.shown: set[str] = set()
        self._console = console
        self._photo_file = photo_file

    async def deliver(self, out: Outgoing) -> Delivered | Later | Never:
        """Write a message. Choices of an earlier one stay as they stand: nothing can be pressed here."""
        if out.kind == "send":
            write(self._console, out.paragraphs, out.choices)
            for photo in out.photos:
                self._console.print(Text(f"{' ' * GUTTER}photo: {self._photo_file(photo)}", "dim"), soft_wrap=True)
            self.shown.add(out.message)
        return Delivered()


def write(console: Console, paragraphs: Sequence[Paragraph], choices: Sequence[Paragraph], mark: str = "") -> None:
    """One message: `bot` in the gutter, wrapped beside it; then the choices by number, in one row if they fit."""
    width = max(12, min(console.width, WIDEST) - GUTTER)
    parts = [Text(mark, "dim italic")] if mark else []
    parts += [styled(paragraph) for paragraph in paragraphs]
    numbered = [Text.assemble((f"{number})", "bold green"), " ", styled(choice))
                for number, choice in enumerate(choices, start=1)]
    row = Text("   ").join(numbered)
    parts += [row] if 0 < row.cell_len <= width else numbered
    gutter = Text("bot ", "bold green")
    for line in Text("\n").join(parts).wrap(console, width):
        line.rstrip()
        console.print(gutter + line, soft_wrap=True)
        gutter = Text(" " * GUTTER)
    console.print()


def styled(paragraph: Paragraph) -> Text:
    """A paragraph in rich's form. Nothing in it is taken for markup, and control characters are dropped."""
    return Text.assemble(*((printable(span.text), STYLES[span.style]) for span in paragraph))
