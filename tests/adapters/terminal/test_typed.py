"""Lines that are photos, lines that change a message, and lines that only look like it."""

from __future__ import annotations

from itertools import islice
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from adapters.terminal.typed import EDIT, ids, photo_path


@pytest.mark.parametrize(("line", "path"), [
    ("/tmp/plate.jpg", "/tmp/plate.jpg"), ("plate.JPEG", "plate.JPEG"), ("  plate.png ", "plate.png"),
    ("'my plate.jpg'", "my plate.jpg"), ('"my plate.webp"', "my plate.webp"), ("my\\ plate.jpg", "my plate.jpg"),
    ("file:///tmp/my%20plate.jpg", "/tmp/my plate.jpg"), ("plate.heic", "plate.heic"),
])
def test_a_path_is_a_photo(line: str, path: str) -> None:
    """Typed, quoted, or dropped on the window."""
    assert photo_path(line) == Path(path)


@pytest.mark.parametrize("line", ["the label says plate.jpg", "", "jpg", ".", "photo.jpg is too big", "wont spin",
                                  "a\x00.jpg", "x" * 5000 + ".jpg", "so long " * 100 + ".jpg"])
def test_a_sentence_is_a_sentence(line: str) -> None:
    """Also one that ends in the name of a file that is not there."""
    assert photo_path(line) is None


def test_a_file_whose_name_is_a_sentence_is_a_photo(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """If it is there."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "rating plate.jpg").write_bytes(b"")
    assert photo_path("rating plate.jpg") == Path("rating plate.jpg")


@given(st.text())
def test_any_line_is_one_or_the_other(line: str) -> None:
    """Nothing that can be typed makes it raise."""
    for each in (f"{line}.jpg", f"'{line}.png'", f"~{line}.jpg", f"{line * 300}.jpg"):
        path = photo_path(each)
        assert path is None or str(path).lower().endswith((".jpg", ".png"))


def test_edit_needs_words() -> None:
    """`edit` alone, or inside a sentence, is a message."""
    assert EDIT.match("edit wont drain") and EDIT.match("Edit  5 ohm")
    assert not EDIT.match("edit") and not EDIT.match("edit ") and not EDIT.match("i edit that")


def test_ids_repeat_with_a_seed_only() -> None:
    """20 characters each, all different."""
    assert list(islice(ids(3), 50)) == list(islice(ids(3), 50)) != list(islice(ids(4), 50))
    fresh = list(islice(ids(None), 50))
    assert fresh != list(islice(ids(None), 50)) and len(set(fresh)) == 50
    assert all(len(each) == 20 for each in (*fresh, *islice(ids(3), 50)))
