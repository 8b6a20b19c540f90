"""How far the homeserver's events have been kept. Written after they were, so a crash repeats some and loses none."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from adapters.matrix.session import write_private

FILE: Final = "position"


class Position:
    """The `next_batch` to go on from; None before the first sync of a new session."""

    def __init__(self, folder: Path) -> None:
        self._file = folder / FILE
        self.at: str | None = None

    def load(self) -> None:
        """Read where we were."""
        try:
            self.at = self._file.read_text(encoding="utf-8").strip() or None
        except FileNotFoundError:
            self.at = None

    def reached(self, batch: str) -> None:
        """Everything up to here is kept. On disk when this returns."""
        if batch != self.at:
            write_private(self._file, batch)
            self.at = batch
