"""What is known of the connection: when it last worked, what went wrong since."""

from __future__ import annotations

import logging
import time
from collections.abc import Awaitable, Callable, Sequence
from typing import Final

from telegram import Update

log = logging.getLogger(__name__)

Take = Callable[[Sequence[Update]], Awaitable[None]]
"""Has updates kept. Raises StoreError if they are not."""
TOKEN_REFUSED: Final = ("Telegram refuses the bot's token: check that it was copied whole, and that it was not replaced"
                        " by a newer one")


class Watch:
    """Kept up to date by whoever talks to Telegram, read by the health page."""

    def __init__(self) -> None:
        self.unreadable = 0
        """Updates that were in a form that this version cannot read."""
        self.problem = ""
        self._last: float | None = None

    def succeeded(self) -> None:
        """Telegram answered."""
        if self.problem:
            log.info("Telegram answers again")
        self.problem = ""
        self._last = time.monotonic()

    def failed(self, problem: str, wait: float) -> float:
        """It did not, or what it sent could not be kept; gives `wait` back."""
        if problem != self.problem:
            log.warning("Telegram: %s; trying again", problem)
        self.problem = problem
        return wait

    def age(self) -> float | None:
        """Seconds since Telegram last answered; None if it never did."""
        return None if self._last is None else time.monotonic() - self._last
