"""The stage on which the stories play."""

from __future__ import annotations

from collections.abc import AsyncIterator
from pathlib import Path

import pytest

from tests.adapters.telegram.stage import RUI, Stage, staged
from tests.peers.botapi.phone import Phone


@pytest.fixture
async def stage(tmp_path: Path) -> AsyncIterator[Stage]:
    """A server and a folder; the bot is not running yet."""
    async with staged(tmp_path) as made:
        yield made


@pytest.fixture
async def rui(stage: Stage) -> Phone:
    """Rui's phone; the bot is running."""
    phone = stage.join(RUI, "Rui")
    await stage.begin()
    return phone
