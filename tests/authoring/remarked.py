"""What the checker remarks on a kettle, the small family of the loader's tests."""

from __future__ import annotations

from pathlib import Path

from bot.authoring.remarks import Remark
from bot.authoring.review import review
from knowledge.loader import Loaded, load
from tests.knowledge.kettle import kettle


def kettle_with(folder: Path, **files: str) -> Loaded:
    """The kettle with some of its files replaced. Fails if it has errors: a remark is about sound packs."""
    loaded = load([kettle(folder, **files)], families=["kettle"])
    assert [str(e) for e in loaded.errors if "kettle" in str(e.spot.file)] == []
    return loaded


def remarks(loaded: Loaded, *kinds: str, deep: bool = False) -> list[Remark]:
    """The open remarks of these kinds."""
    return [r for r in review(loaded, deep=deep, families=["kettle"]).open if r.kind in kinds]


def told(loaded: Loaded, *kinds: str, deep: bool = False) -> list[str]:
    """The same as 'entry: message'."""
    return [f"{'.'.join(map(str, r.place))}: {r.message}" for r in remarks(loaded, *kinds, deep=deep)]
