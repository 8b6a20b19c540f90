"""Photos: kept with the job; too dark or blurred is said at once."""

from __future__ import annotations

from typing import Final

from bot.conversation.events import PhotoSeen, PhotoSent
from bot.conversation.questions.asking import put_again
from bot.conversation.turn import Turn

DARK: Final = 45.0
"""Mean luma (0..255) under which a rating plate cannot be read: found on drawn plates darkened step by step."""
BLURRED: Final = 25.0
"""Variance of the Laplacian of the luma at 512 pixels width under which print of plate size is lost (same way)."""
SMALL: Final = 320
"""Pixels of the longer side under which a plate cannot be read."""


def take_photos(turn: Turn, event: PhotoSent) -> None:
    """File what can be used and say what cannot, then the open question once more."""
    turn.mark()
    for photo in event.photos:
        trouble = trouble_with(photo)
        if photo.sha256 is not None:
            turn.fact("photo", photo.sha256, trouble or "")
        if trouble is not None:
            turn.note(f"photo.{trouble}")
    good = sum(trouble_with(p) is None for p in event.photos)
    if good:
        turn.note("photo.kept" if good == 1 else "photo.kept_many", count=good)


def trouble_with(photo: PhotoSeen) -> str | None:
    """What is wrong with a photo: 'type', 'size', 'broken', 'missing', 'small', 'dark', 'blurred', or None."""
    if photo.refused is not None:
        return photo.refused
    if max(photo.width, photo.height) < SMALL:
        return "small"
    if photo.brightness < DARK:
        return "dark"
    return "blurred" if photo.sharpness < BLURRED else None


def again(turn: Turn) -> None:
    """The open question after the word on the photo, or just the word."""
    if turn.job.question is not None:
        put_again(turn, turn.job.question)
    else:
        turn.send()
