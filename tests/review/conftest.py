"""A told folder, made once and copied for whoever changes it."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from bot.store.review import ReviewStore
from tests.review.folder import Told, tell


@pytest.fixture(scope="session")
def told_once(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Told]:
    """The folder that is copied, and what was told."""
    folder = tmp_path_factory.mktemp("told")
    return folder, tell(folder)


@pytest.fixture
def told(told_once: tuple[Path, Told], tmp_path: Path) -> tuple[Path, Told]:
    """A copy of one's own."""
    folder = tmp_path / "data"
    shutil.copytree(told_once[0], folder)
    return folder, told_once[1]


@pytest.fixture
def store(told: tuple[Path, Told]) -> Iterator[ReviewStore]:
    """The copy, as its owner looks at it."""
    opened = ReviewStore(told[0])
    yield opened
    opened.close()
