"""Photos at intake: what kind and how large, before anything is decoded; then how bright and how sharp.

brightness: mean of the luma, 0..255. sharpness: variance of the Laplacian of the luma at 512 pixels width, a usual
measure of focus (Pech-Pacheco et al., "Diatom autofocusing in brightfield microscopy", ICPR 2000): blur takes the
fine edges away that the Laplacian answers to.
"""

from __future__ import annotations

import io
import logging
import warnings
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from typing import Final

import filetype
import numpy as np
from PIL import Image, ImageOps, UnidentifiedImageError

from bot.conversation.events import PhotoSeen
from bot.store.protocol import Archive

log = logging.getLogger(__name__)

MOST_BYTES: Final = 20 * 1024 * 1024
MOST_PIXELS: Final = 50_000_000
MEASURED_WIDTH: Final = 512
FORMATS: Final = {"image/jpeg": "JPEG", "image/png": "PNG", "image/webp": "WEBP"}
"""What is accepted: the type that the first bytes tell -> the one decoder that may open it."""


def take_photo(store: Archive, content: bytes, now: datetime) -> PhotoSeen:
    """Measure a photo and keep it; on disk when this returns. A refused one says why and is not kept."""
    seen = look_at(content)
    if seen.refused is None:
        store.keep_photo(content, seen, now)
    return seen


def take_photo_file(store: Archive, file: Path, now: datetime) -> PhotoSeen:
    """The same for a file that the user named. Nothing larger than the limit is read."""
    try:
        with file.open("rb") as handle:
            content = handle.read(MOST_BYTES + 1)
    except OSError:
        return PhotoSeen(None, refused="missing")
    return take_photo(store, content, now)


def take_recording(store: Archive, content: bytes, now: datetime) -> PhotoSeen:
    """Keep a voice note or a video beside the photos, unopened. Refused by size, or if it is neither by its bytes."""
    if len(content) > MOST_BYTES:
        return PhotoSeen(None, bytes=len(content), refused="size")
    kind = filetype.guess(content)
    mime = kind.mime if kind is not None else ""
    if not mime.startswith(("audio/", "video/")):
        return PhotoSeen(None, mime=mime, bytes=len(content), refused="type")
    seen = PhotoSeen(sha256(content).hexdigest(), mime, len(content))
    store.keep_photo(content, seen, now)
    return seen


def look_at(content: bytes) -> PhotoSeen:
    """What the photo is. Size and type are judged from its bytes and header before any pixel is decoded."""
    size = len(content)
    if size > MOST_BYTES:
        return PhotoSeen(None, bytes=size, refused="size")
    kind = filetype.guess(content)
    mime = kind.mime if kind is not None else ""
    if mime not in FORMATS:
        return PhotoSeen(None, mime=mime, bytes=size, refused="type")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)  # judged below, by our own limit
            with Image.open(io.BytesIO(content), formats=[FORMATS[mime]]) as image:
                width, height = image.size
                if width * height > MOST_PIXELS:
                    return PhotoSeen(None, mime=mime, bytes=size, width=width, height=height, refused="size")
                luma = _luma(image)
    except Image.DecompressionBombError:
        return PhotoSeen(None, mime=mime, bytes=size, refused="size")
    except (OSError, SyntaxError, ValueError, UnidentifiedImageError) as error:
        log.info("a photo could not be decoded: %s", type(error).__name__)
        return PhotoSeen(None, mime=mime, bytes=size, refused="broken")
    return PhotoSeen(sha256(content).hexdigest(), mime, size, width, height, round(float(luma.mean()), 1),
                     round(_sharpness(luma), 1))


def _luma(image: Image.Image) -> np.ndarray[tuple[int, int], np.dtype[np.float32]]:
    """Luma at the width that is measured, upright. A large JPEG is decoded at a fraction of its size."""
    image.draft("L", (MEASURED_WIDTH, MEASURED_WIDTH))
    grey = ImageOps.exif_transpose(image).convert("L")
    height = max(3, round(grey.height * MEASURED_WIDTH / grey.width))
    scaled = grey.resize((MEASURED_WIDTH, height), Image.Resampling.BILINEAR)
    return np.asarray(scaled, dtype=np.float32)


def _sharpness(luma: np.ndarray[tuple[int, int], np.dtype[np.float32]]) -> float:
    inner = luma[1:-1, 1:-1]
    laplacian = luma[:-2, 1:-1] + luma[2:, 1:-1] + luma[1:-1, :-2] + luma[1:-1, 2:] - 4 * inner
    return float(laplacian.var())
