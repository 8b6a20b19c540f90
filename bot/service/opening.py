"""Putting a service together on a data folder."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

from bot.conversation.firm import Firm
from bot.service.clock import utc_now
from bot.service.config import ConfigError
from bot.service.core import Core
from bot.service.delivery import Delivery
from bot.service.releases import Releases, prepare
from bot.service.service import Service
from bot.store.folder import OVERLAY
from bot.store.sqlite import SqliteStore


@contextmanager
def opened(folder: Path, firm: Firm, *, overlays: Sequence[Path] = (), cache: Path | None = None,
           core: Core | None = None, deliveries: Sequence[Delivery] = (), learning: bool = True,
           clock: Callable[[], datetime] = utc_now) -> Iterator[Service]:
    """A service on the data folder, closed with everything it holds at the end. Raises StoreUnusableError, and
    ConfigError where `overlays` have mistakes: a family would be gone without a word.

    `cache`: a folder that outlives the data folder, where the knowledge of today's packs is kept read and checked.
    The firm's wordings, in the data folder's `overlay`, lie on top of all; with `learning` also what was learned from
    its confirmed visits and applied.
    """
    if gone := next((one for one in overlays if not one.is_dir()), None):
        raise ConfigError(f"the firm's knowledge is to be in {gone}, and there is no such folder")
    own = folder / OVERLAY
    today = prepare(cache or folder / "releases", [*overlays, *([own] if own.is_dir() else [])])
    if wrong := [error for error in today.errors if overlays and not error.startswith(str(own))]:
        more = f" (and {len(wrong) - 1} more)" if len(wrong) > 1 else ""
        packs = " ".join(f"--pack {one}" for one in overlays)
        raise ConfigError(f"{wrong[0]}{more}: `chargehand knowledge check {packs}` shows what is wrong in the packs")
    store = SqliteStore(folder)
    try:
        releases = Releases(
            folder / "releases", today, learned=store if learning else None,
            noted=lambda release: store.note_release(release.id, sorted(release.knowledge.packs), clock()))
        service = Service(store, releases, firm, core=core, deliveries=deliveries, clock=clock)
        try:
            yield service
        finally:
            service.close()
    finally:
        store.close()
