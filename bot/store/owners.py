"""Which processes on a data folder are alive, so that what a dead one had in hand is free at once.

Each process holds a lock on a file of its own for as long as it lives; the system lets go of it however the process
ends. Where there are no such locks, a dead owner's leases simply run out.
"""

from __future__ import annotations

import os
import secrets
from contextlib import suppress
from pathlib import Path
from typing import IO

try:
    import fcntl
except ImportError:  # not on this system: leases run out by time alone
    fcntl = None  # type: ignore[assignment]


class Owner:
    """This process's name on its leases."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        folder.mkdir(parents=True, exist_ok=True)
        self.name = f"{os.getpid()}-{secrets.token_hex(4)}"
        # Locked before it has its name, so that nobody can take it for a dead one.
        early = folder / f".{self.name}"
        self._file = _locked(early, create=True)
        early.rename(folder / self.name)

    def dead(self) -> tuple[str, ...]:
        """Names of owners that are no more. Their leases may be taken; then `bury` them."""
        return tuple(sorted(file.name for file in self._folder.iterdir()
                            if not file.name.startswith((".", self.name)) and self._is_dead(file)))

    def bury(self, names: tuple[str, ...]) -> None:
        """Forget dead owners, once nothing is leased to them any more."""
        for name in names:
            with suppress(FileNotFoundError):
                (self._folder / name).unlink()

    def close(self) -> None:
        """Let go of the name; whatever is still leased to it is free."""
        with suppress(FileNotFoundError):
            (self._folder / self.name).unlink()
        if self._file is not None:
            self._file.close()

    @staticmethod
    def _is_dead(file: Path) -> bool:
        if fcntl is None:
            return False
        try:
            held = _locked(file, create=False)
        except FileNotFoundError:
            return False
        if held is None:
            return False
        held.close()
        return True


def _locked(file: Path, *, create: bool) -> IO[str] | None:
    """The open file with our lock on it; None if someone else has the lock."""
    handle = file.open("a" if create else "r+")
    if fcntl is None:
        return handle
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        handle.close()
        return None
    return handle
