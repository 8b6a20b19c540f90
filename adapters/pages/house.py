"""What the pages look at: the data folder, the firm's settings, the knowledge that visits were on."""

from __future__ import annotations

import logging
import threading
from collections import OrderedDict
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Final
from zoneinfo import ZoneInfo

from bot.conversation.firm import Firm
from bot.review.naming import Names
from bot.review.search import Vocabulary
from bot.service.releases import load_release, prepare
from bot.store.folder import OVERLAY
from bot.store.review import ReviewStore
from knowledge.loader import load

log = logging.getLogger(__name__)

KEPT: Final = 3
"""Earlier knowledge releases kept in memory."""


class House:
    """One data folder as its pages see it. Safe to use from several threads."""

    def __init__(self, folder: Path, firm: Firm, *, overlays: Sequence[Path] = (), cache: Path | None = None,
                 learning: bool = True, clock: Callable[[], datetime] = lambda: datetime.now(UTC)) -> None:
        """Open it. Raises StoreUnusableError."""
        self.store = ReviewStore(folder)
        self.firm = firm
        self.zone = ZoneInfo(firm.timezone)
        self.vocabulary = Vocabulary()
        self.clock = clock
        self.learning = learning
        """Whether what is learned may be applied (the firm's switch)."""
        self._overlays = tuple(overlays)
        self._cache = cache or folder / "releases"
        self._lock = threading.Lock()
        self._today: Names | None = None
        self._earlier: OrderedDict[str, Names] = OrderedDict()

    def close(self) -> None:
        """Let go of the folder."""
        self.store.close()

    def today(self) -> Names:
        """Today's packs, with the firm's own on top."""
        with self._lock:
            if self._today is None:
                self._today = Names(prepare(self._cache, self._layers()).knowledge)
            return self._today

    def learned(self) -> None:
        """The firm's packs have changed: read them anew."""
        with self._lock:
            self._today = None

    def of_release(self, release: str) -> Names:
        """The knowledge that a visit was on; today's where that cannot be read any more."""
        with self._lock:
            known = self._earlier.get(release)
            if known is None:
                try:
                    text = (self.store.folder / "releases" / f"{release}.json").read_text(encoding="utf-8")
                    known = Names(load_release(text))
                except (OSError, ValueError) as error:
                    log.info("release %s is shown in today's words: %s", release, type(error).__name__)
                else:
                    self._earlier[release] = known
                    while len(self._earlier) > KEPT:
                        self._earlier.popitem(last=False)
        return known or self.today()

    def problems(self, overlay: Path) -> Sequence[str]:
        """What is wrong with the packs when this overlay lies on top."""
        return [str(finding) for finding in load([*self._overlays, overlay]).errors]

    def _layers(self) -> list[Path]:
        own = self.store.folder / OVERLAY
        return [*self._overlays, *([own] if own.is_dir() else [])]
