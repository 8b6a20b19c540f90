"""The index over the packs that come with the program, built once."""

from __future__ import annotations

import pytest

from bot.language import Index, build_index
from knowledge.loader import load


@pytest.fixture(scope="session")
def index() -> Index:
    """All families."""
    return build_index(load().knowledge)
