"""Photos: judged by type and size before they are decoded, measured, kept once, deleted when nobody uses them."""

from __future__ import annotations

import io
import struct
import zlib
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageDraw, ImageEnhance, ImageFilter

from bot.conversation.events import PhotoSent
from bot.service.photos import MOST_BYTES, look_at, take_photo, take_photo_file
from bot.store.sqlite import SqliteStore
from tests.service.small import NOON


def plate(width: int = 1600, height: int = 1200) -> Image.Image:
    """A rating plate with lettering, as a phone sees it in good light."""
    image = Image.new("RGB", (width, height), (200, 200, 196))
    pen = ImageDraw.Draw(image)
    for row in range(10):
        for column in range(24):
            at = (80 + column * width // 28, 100 + row * height // 12)
            pen.text(at, "8A7E"[(row + column) % 4], fill=(20, 20, 20), font_size=60)
    return image


def encoded(image: Image.Image, form: str = "JPEG") -> bytes:
    """The file's bytes."""
    out = io.BytesIO()
    image.save(out, form, quality=85)
    return out.getvalue()


@pytest.fixture
def store(tmp_path: Path) -> SqliteStore:
    return SqliteStore(tmp_path)


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_a_photo_is_measured(form: str) -> None:
    """Its type, its size, and a brightness near that of the plate."""
    seen = look_at(encoded(plate(), form))
    assert (seen.refused, seen.mime, seen.width, seen.height) == (None, f"image/{form.lower()}", 1600, 1200)
    assert seen.sha256 is not None
    assert 150 < seen.brightness < 200


@pytest.mark.parametrize(("worse", "than"), [
    (lambda image: image.filter(ImageFilter.GaussianBlur(6)), "sharpness"),
    (lambda image: image.filter(ImageFilter.BoxBlur(15)), "sharpness"),
    (lambda image: ImageEnhance.Brightness(image).enhance(0.1), "brightness"),
])
def test_blur_and_darkness_show(worse: Callable[[Image.Image], Image.Image], than: str) -> None:
    """The same plate out of focus, moved, or in the dark measures less than half."""
    good, bad = look_at(encoded(plate())), look_at(encoded(worse(plate())))
    assert getattr(bad, than) < getattr(good, than) / 2


def test_sharpness_does_not_depend_on_the_camera() -> None:
    """Twice the resolution of the same view measures alike, because both are measured at one width."""
    large = look_at(encoded(plate(3200, 2400).resize((3200, 2400))))
    small = look_at(encoded(plate(3200, 2400).resize((1600, 1200))))
    assert large.sharpness == pytest.approx(small.sharpness, rel=0.3)


def test_a_photo_on_its_side_is_turned(tmp_path: Path) -> None:
    """A phone that only notes the rotation gives the same measures as one that turns the pixels."""
    image = plate()
    noted = Image.Exif()
    noted[0x0112] = 6
    out = io.BytesIO()
    image.transpose(Image.Transpose.ROTATE_90).save(out, "JPEG", quality=85, exif=noted)
    assert look_at(out.getvalue()).sharpness == pytest.approx(look_at(encoded(image)).sharpness, rel=0.25)


@pytest.mark.parametrize(
    "content", [b"", b"hello", b"%PDF-1.7 ...", b"GIF89a" + b"\0" * 40, b"<svg xmlns='x'/>", b"\0" * 500])
def test_other_files_are_refused_by_type(content: bytes) -> None:
    """The first bytes tell; names and claims do not count."""
    assert look_at(content).refused == "type"


def test_a_file_over_the_limit_is_refused_by_size(tmp_path: Path, store: SqliteStore) -> None:
    """Over 20 MB, from memory or from a file; the file is not read to its end."""
    assert look_at(b"\xff\xd8\xff" + bytes(MOST_BYTES)).refused == "size"
    huge = tmp_path / "huge.jpg"
    with huge.open("wb") as handle:
        handle.write(b"\xff\xd8\xff")
        handle.truncate(3_000_000_000)
    assert take_photo_file(store, huge, NOON).refused == "size"
    assert take_photo_file(store, tmp_path / "nowhere.jpg", NOON).refused == "missing"
    assert take_photo_file(store, tmp_path, NOON).refused == "missing"


@pytest.mark.parametrize("side", [8_000, 40_000])
def test_a_bomb_is_refused_before_it_is_decoded(monkeypatch: pytest.MonkeyPatch, side: int) -> None:
    """A small PNG that says it is 8,000 or 40,000 pixels square is refused by what its header says."""
    def never(*args: object) -> None:
        raise AssertionError("it was decoded")

    monkeypatch.setattr(Image.Image, "convert", never)
    header = struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0)
    chunk = b"IHDR" + header
    bomb = b"\x89PNG\r\n\x1a\n" + struct.pack(">I", 13) + chunk + struct.pack(">I", zlib.crc32(chunk))
    body = b"IDAT" + zlib.compress(bytes(1000))
    bomb += struct.pack(">I", len(body) - 4) + body + struct.pack(">I", zlib.crc32(body))
    assert look_at(bomb).refused == "size"


@given(st.integers(0, 5000), st.binary(max_size=40))
def test_damage_never_raises(cut: int, rubbish: bytes) -> None:
    """A photo cut short or overwritten anywhere is measured or refused, never an error."""
    whole = WHOLE
    seen = look_at(whole[:cut] + rubbish + whole[cut + len(rubbish):])
    assert seen.refused in {None, "type", "broken", "size"}
    assert look_at(whole[:cut]).refused in {"type", "broken"} or cut >= len(whole) - 2


WHOLE = encoded(plate(320, 240))


def test_a_photo_is_kept_once_and_counted(tmp_path: Path, store: SqliteStore) -> None:
    """Two messages with the same photo share a file; it stays while one of them uses it."""
    content = encoded(plate())
    seen = take_photo(store, content, NOON)
    assert take_photo(store, content, NOON) == seen
    assert seen.sha256 is not None
    file = store.photo_file(seen.sha256)
    assert file.read_bytes() == content
    assert store.photo(seen.sha256) == seen
    assert [path.name for path in file.parent.iterdir()] == [file.name], "no half-written file is left beside it"
    for number in range(2):
        store.accept(PhotoSent(id=f"e{number}", at=NOON, person="p", conversation="c", message=f"m{number}",
                               photos=(seen,)), NOON)
    later = NOON + timedelta(days=1)
    assert store.forget_unused_photos(later) == 0
    store._writer.run(lambda conn: conn.execute("DELETE FROM photo_uses WHERE message = 'm0'"))
    assert store.forget_unused_photos(later) == 0
    store._writer.run(lambda conn: conn.execute("DELETE FROM photo_uses WHERE message = 'm1'"))
    assert store.forget_unused_photos(NOON) == 0, "kept just now: its message may still be on the way"
    assert store.forget_unused_photos(later) == 1
    assert not file.exists()


def test_a_refused_photo_leaves_no_file(tmp_path: Path, store: SqliteStore) -> None:
    """Nothing is kept of what was refused."""
    take_photo(store, b"not a photo", NOON)
    assert not (tmp_path / "photos").exists()


def test_a_photo_is_named_by_what_it_is_and_older_ones_are_found(tmp_path: Path, store: SqliteStore) -> None:
    """The file ends as its kind does; one that was kept without an ending is found, not kept twice, and deleted."""
    new = take_photo(store, encoded(plate(), "PNG"), NOON)
    assert new.sha256 is not None and store.photo_file(new.sha256).name == f"{new.sha256}.png"
    content = encoded(plate(800, 600))
    seen = take_photo(store, content, NOON)
    assert seen.sha256 is not None
    named = store.photo_file(seen.sha256)
    assert named.suffix == ".jpg"
    older = named.rename(named.with_suffix(""))
    assert store.photo_file(seen.sha256) == older
    take_photo(store, content, NOON)
    assert [file for file in older.parent.iterdir() if file.name.startswith(seen.sha256)] == [older]
    assert store.forget_unused_photos(NOON + timedelta(days=1)) == 2
    assert not older.exists() and not named.exists()
