"""What is in hand right now and since when, for the health page."""

from __future__ import annotations

import itertools
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Literal

Section = Literal["accept", "step", "commit", "deliver"]


class Activity:
    """Safe to use from any thread."""

    def __init__(self) -> None:
        self._in_hand: dict[int, tuple[Section, float]] = {}
        self._done: dict[Section, int] = {}
        self._numbers = itertools.count()
        self._lock = threading.Lock()

    @contextmanager
    def doing(self, section: Section) -> Iterator[None]:
        """Around a piece of work of that section."""
        number = next(self._numbers)
        with self._lock:
            self._in_hand[number] = (section, time.monotonic())
        try:
            yield
        finally:
            with self._lock:
                del self._in_hand[number]
                self._done[section] = self._done.get(section, 0) + 1

    def ages(self) -> dict[Section, float]:
        """Section -> seconds that its oldest piece of work has been in hand."""
        now = time.monotonic()
        with self._lock:
            in_hand = list(self._in_hand.values())
        oldest: dict[Section, float] = {}
        for section, since in in_hand:
            oldest[section] = max(oldest.get(section, 0.0), now - since)
        return oldest

    def done(self) -> dict[Section, int]:
        """Section -> pieces of work finished (well or not) since the start."""
        with self._lock:
            return dict(self._done)
