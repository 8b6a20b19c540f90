"""The service on a folder, as the terminal uses it."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import AbstractContextManager
from pathlib import Path

from platformdirs import user_cache_path

from adapters.terminal.seats import FIRM
from bot.service.opening import opened
from bot.service.service import Service


def house(folder: Path, packs: Sequence[Path] = ()) -> AbstractContextManager[Service]:
    """The example firm's service. What is read from the packs is kept in the user's cache, for the next start.

    `packs`: folders of knowledge to lay on top of ours.
    """
    return opened(folder, FIRM, overlays=packs, cache=user_cache_path("chargehand") / "releases")
