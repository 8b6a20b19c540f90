"""Which sections a process is in, in a file mapped to memory, so that it can be read after the process was killed."""

from __future__ import annotations

import mmap
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from bot.service.activity import Activity, Section

SECTIONS: Final[tuple[Section, ...]] = ("accept", "step", "commit", "deliver")


class Marks:
    """One counter a section: how many threads or tasks are in it."""

    def __init__(self, file: Path) -> None:
        if not file.exists():
            file.write_bytes(bytes(len(SECTIONS)))
        with file.open("r+b") as handle:
            self._map = mmap.mmap(handle.fileno(), len(SECTIONS))

    def add(self, section: Section, change: int) -> None:
        """One more, or one less."""
        self._map[SECTIONS.index(section)] += change

    def inside(self) -> tuple[Section, ...]:
        """The sections that are being worked in."""
        return tuple(section for section, count in zip(SECTIONS, self._map[:], strict=True) if count)

    def clear(self) -> None:
        """Nobody is in any."""
        self._map[:] = bytes(len(SECTIONS))


class MarkedActivity(Activity):
    """The service's own bookkeeping of what is in hand, written where the killer can see it."""

    def __init__(self, marks: Marks) -> None:
        super().__init__()
        self._marks = marks
        self._marking = threading.Lock()

    @contextmanager
    def doing(self, section: Section) -> Iterator[None]:
        """Around a piece of work of that section."""
        with self._marking:
            self._marks.add(section, 1)
        try:
            with super().doing(section):
                yield
        finally:
            with self._marking:
                self._marks.add(section, -1)
