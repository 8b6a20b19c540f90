"""What delivering has in common: how long to wait after a failure, and which parts of a message are there already."""

from __future__ import annotations

import random
from collections import OrderedDict
from typing import Final

from bot.service.delivery import Later

FIRST_WAIT: Final = 0.5
LONGEST_WAIT: Final = 15.0
REMEMBERED: Final = 2000


class Patience:
    """Longer waits the longer nothing gets through at all, shorter at once when something does."""

    def __init__(self, first: float = FIRST_WAIT, longest: float = LONGEST_WAIT) -> None:
        self._first = first
        self._longest = longest
        self._failures = 0

    @property
    def failures(self) -> int:
        """Failures in a row."""
        return self._failures

    def succeeded(self) -> None:
        """Something got through."""
        self._failures = 0

    def failed(self) -> float:
        """Nothing got through: so many seconds to wait, spread so that not everything comes back at once."""
        wait = min(self._longest, self._first * 2.0 ** min(self._failures, 10))
        self._failures += 1
        return wait * random.uniform(0.75, 1.25)

    def later(self) -> Later:
        """The same as an outcome of a delivery."""
        return Later(self.failed())


class Progress:
    """Platform ids of the parts of each message that are there, so that a retry goes on behind them.

    In memory only: after a crash the message is sent from its first part again, which is the one repeat that a
    platform without keys allows.
    """

    def __init__(self) -> None:
        self._sent: OrderedDict[str, list[tuple[str, ...]]] = OrderedDict()

    def of(self, key: str) -> list[tuple[str, ...]]:
        """What was sent of that message, part by part. Append to it."""
        sent = self._sent.setdefault(key, [])
        self._sent.move_to_end(key)
        if len(self._sent) > REMEMBERED:
            self._sent.popitem(last=False)
        return sent

    def done(self, key: str) -> None:
        """It is all there, or given up."""
        self._sent.pop(key, None)
