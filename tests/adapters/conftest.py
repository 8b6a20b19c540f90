"""Peers that several adapters' stories need."""

from __future__ import annotations

from collections.abc import AsyncIterator

import pytest

from tests.peers.botapi.server import BotApiServer


@pytest.fixture
async def telegram() -> AsyncIterator[BotApiServer]:
    """A Bot API server."""
    server = BotApiServer()
    await server.start()
    yield server
    await server.stop()
