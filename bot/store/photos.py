"""Photos: files under their content hash in the data folder, counted by the messages that use them."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from secrets import token_hex
from typing import Final

from bot.conversation.events import PhotoSeen
from bot.store.stamps import stamp

SUFFIXES: Final = {
    "image/jpeg": ".jpg", "image/png": ".png", "image/webp": ".webp", "audio/ogg": ".ogg", "audio/mpeg": ".mp3",
    "audio/mp4": ".m4a", "audio/aac": ".aac", "audio/amr": ".amr", "audio/x-wav": ".wav", "audio/x-flac": ".flac",
    "video/mp4": ".mp4", "video/x-m4v": ".m4v", "video/webm": ".webm", "video/quicktime": ".mov", "video/3gpp": ".3gp",
    "video/x-matroska": ".mkv", "video/mpeg": ".mpg", "video/x-msvideo": ".avi"}
"""How a file's name ends, so that any viewer opens it. What is not listed has no ending."""


def file_of(folder: Path, sha256: str) -> Path:
    """Where the photo of that hash lies, with its ending; older ones have none. Where nothing lies: the bare name."""
    bare = folder / sha256[:2] / sha256
    if bare.exists():
        return bare
    named = (bare.with_name(sha256 + suffix) for suffix in SUFFIXES.values())
    return next((file for file in named if file.exists()), bare)


def keep_file(folder: Path, sha256: str, content: bytes, mime: str = "") -> Path:
    """Write the file if it is not there yet: on disk, whole, under its final name, when this returns."""
    file = file_of(folder, sha256)
    if not file.exists():
        file = file.with_name(sha256 + SUFFIXES.get(mime, ""))
        write_whole(file, content)
    return file


def write_whole(file: Path, content: bytes) -> None:
    """Write beside, sync, rename, sync the folder: after a crash the file is whole or not there."""
    file.parent.mkdir(parents=True, exist_ok=True)
    beside = file.with_name(f".{file.name}.{token_hex(4)}")
    try:
        with beside.open("wb") as handle:
            handle.write(content)
            handle.flush()
            os.fsync(handle.fileno())
        beside.replace(file)
    finally:
        beside.unlink(missing_ok=True)
    _sync_folder(file.parent)


def _sync_folder(folder: Path) -> None:
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def add(conn: sqlite3.Connection, photo: PhotoSeen, now: datetime) -> None:
    """Keep what was measured of a photo."""
    conn.execute("INSERT INTO photos (sha256, mime, bytes, width, height, brightness, sharpness, kept)"
                 " VALUES (?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT (sha256) DO NOTHING",
                 (photo.sha256, photo.mime, photo.bytes, photo.width, photo.height, photo.brightness, photo.sharpness,
                  stamp(now)))


def get(conn: sqlite3.Connection, sha256: str) -> PhotoSeen | None:
    """What was measured of a photo."""
    row = conn.execute("SELECT sha256, mime, bytes, width, height, brightness, sharpness FROM photos WHERE sha256 = ?",
                       (sha256,)).fetchone()
    return PhotoSeen(*row) if row else None


def unused(conn: sqlite3.Connection, before: datetime) -> Sequence[str]:
    """Photos that no message uses and that were kept before that time (a message may still be on its way)."""
    rows = conn.execute("SELECT sha256 FROM photos p WHERE kept < ? AND NOT EXISTS"
                        " (SELECT 1 FROM photo_uses u WHERE u.sha256 = p.sha256)", (stamp(before),))
    return [sha256 for (sha256,) in rows]


def forget(conn: sqlite3.Connection, photos: Sequence[str]) -> None:
    """Forget photos; their files are deleted by the caller once this is on disk."""
    conn.executemany("DELETE FROM photos WHERE sha256 = ?", [(sha256,) for sha256 in photos])
