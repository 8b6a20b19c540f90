"""The pretend platform, in files: what each chat sent and had acknowledged, and every line that was delivered.

It behaves as real ones do: a message that was not acknowledged is sent again, some that were are sent again too.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Final

from bot.conversation.events import Typed
from bot.store.rows import Met, Outgoing

SENT_AGAIN: Final = 2
"""Acknowledged messages that a restart sends again, sometimes."""
BEGIN: Final = datetime.fromisoformat("2031-05-06T08:00:00+00:00")


@dataclass(frozen=True, slots=True)
class Chat:
    """One person's chat. `says(n)` is the text of message n."""

    folder: Path
    number: int
    met: Met
    says: Callable[[int], str]

    def message(self, n: int) -> Typed:
        """Message n, the same on every sending."""
        return Typed(id=f"{self.number}-{n}", at=BEGIN + timedelta(seconds=3 * n), person=self.met.person,
                     conversation=self.met.conversation, message=f"{self.number}-m{n}", text=self.says(n))

    def acknowledge(self, n: int) -> None:
        """The platform was told that message n is kept."""
        _append(self.folder / f"acknowledged-{self.number}", f"{n}\n")

    def acknowledged(self) -> int:
        """How many messages were acknowledged, from the first on."""
        return len(set(_lines(self.folder / f"acknowledged-{self.number}")))

    def resume(self, *, again: bool) -> int:
        """The message to go on with after a restart: the first that was not acknowledged, or one before it."""
        return max(0, self.acknowledged() - (SENT_AGAIN if again else 0))


def deliver(folder: Path, life: int, out: Outgoing) -> None:
    """The line is there: whatever happens now, the person has seen it."""
    _append(folder / "delivered", f"{life} {out.conversation} {out.row} {out.key}\n")


def delivered(folder: Path) -> list[tuple[int, str, int, str]]:
    """All deliveries in their order: (life, conversation, row, key)."""
    found = [line.split() for line in _lines(folder / "delivered")]
    return [(int(life), conversation, int(row), key) for life, conversation, row, key in found]


def _append(file: Path, line: str) -> None:
    handle = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_APPEND)
    try:
        os.write(handle, line.encode())
    finally:
        os.close(handle)


def _lines(file: Path) -> list[str]:
    return file.read_text().splitlines() if file.exists() else []
