"""A picture of readings as PNG, to be read on a phone in a dark room: light on dark, large, and by shape as well as by
colour. Solid is good, striped is suspect, crossed is bad; the colours (blue, yellow, vermilion) are of the set that
people with any kind of colour blindness tell apart (Okabe and Ito, "Color Universal Design", 2008).
"""

from __future__ import annotations

import io
import logging
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from functools import lru_cache
from typing import Final

from PIL import Image, ImageDraw

from bot.conversation.effects import Say, Text
from bot.conversation.picture import Band, OnBands, Picture, Verdict
from bot.service.lettering import Colour, Lettering
from bot.service.photos import take_photo
from bot.store.errors import StoreError
from bot.store.protocol import Archive

log = logging.getLogger(__name__)

WIDTH: Final = 900
"""Pixels. A phone shows it at 0.4 to 0.5 of that."""
MARGIN: Final = 36
FINE: Final = 2
"""Drawn at so many times the size and made smaller: smooth edges."""
NAME: Final = 38
VALUE: Final = 46
SMALL: Final = 30
BAR: Final = 52
LEGEND: Final = 74
BETWEEN: Final = 34
"""Between rows."""
ABOVE_BAR: Final = 26
UNDER_BAR: Final = 10

NIGHT: Final[Colour] = (16, 19, 23)
PAPER: Final[Colour] = (245, 245, 240)
DIM: Final[Colour] = (176, 180, 184)
RULE: Final[Colour] = (58, 64, 70)
FILLS: Final[Mapping[Verdict, Colour]] = {"good": (86, 180, 233), "suspect": (240, 228, 66), "bad": (213, 94, 0)}
DARK: Final[Mapping[Verdict, Colour]] = {"good": (86, 180, 233), "suspect": (74, 70, 20), "bad": (84, 36, 0)}
"""Under the stripes."""
ORDER: Final[tuple[Verdict, ...]] = ("good", "suspect", "bad")
WORDS: Final = (*ORDER, "doubt", "leads")
"""What needs a word: the patterns, the line with ends, and a reading without the meter's leads."""


def with_drawing(say: Say, word: Callable[[Text], str], store: Archive, now: datetime) -> Say:
    """The message with its picture drawn, kept, and first among its photos. Raises StoreError.

    `word`: a text as its reader's language has it. What cannot be drawn is left out: the words say the same, and a
    senior is not kept waiting for it.
    """
    if say.picture is None:
        return say
    try:
        drawn = png(say.picture, tuple(word(Text(f"picture.{key}")) for key in WORDS))
        kept = take_photo(store, drawn, now)
    except StoreError:
        raise
    except Exception:
        log.exception("a picture could not be drawn; message %s goes without it", say.id)
        return say
    return replace(say, photos=(kept.sha256, *say.photos)) if kept.sha256 else say


@lru_cache(maxsize=8)
def png(picture: Picture, said: tuple[str, ...]) -> bytes:
    """The picture as PNG; the same bytes for the same rows. `said`: WORDS in the reader's language."""
    words = dict(zip(WORDS, said, strict=True))
    measure = ImageDraw.Draw(Image.new("RGB", (1, 1)))
    names = [Lettering(measure, NAME * FINE).lines(row.check, _room(measure, row), 2) for row in picture.rows]
    heights = [_head(row, lines) + ABOVE_BAR + BAR + UNDER_BAR + SMALL + BETWEEN
               for row, lines in zip(picture.rows, names, strict=True)]
    image = Image.new("RGB", (WIDTH * FINE, (LEGEND + MARGIN + sum(heights)) * FINE), NIGHT)
    draw = ImageDraw.Draw(image)
    _legend(image, draw, words)
    top = (LEGEND + MARGIN // 2) * FINE
    for row, lines, height in zip(picture.rows, names, heights, strict=True):
        _row(image, draw, row, lines, top, words["leads"])
        top += height * FINE
    written = io.BytesIO()
    image.reduce(FINE).save(written, "PNG")
    return written.getvalue()


def _legend(image: Image.Image, draw: ImageDraw.ImageDraw, words: Mapping[str, str]) -> None:
    """What the patterns mean, and the line with ends."""
    pen, x, y = Lettering(draw, SMALL * FINE), MARGIN * FINE, 20 * FINE
    for verdict in ORDER:
        _fill(image, (x, y, x + 64 * FINE, y + 40 * FINE), verdict)
        pen.write(x + 76 * FINE, y + FINE, words[verdict], PAPER)
        x += round(100 * FINE + pen.width(words[verdict]))
    _whisker(draw, x, x + 64 * FINE, y + 20 * FINE)
    pen.write(x + 76 * FINE, y + FINE, words["doubt"], PAPER)
    draw.line((MARGIN * FINE, LEGEND * FINE, (WIDTH - MARGIN) * FINE, LEGEND * FINE), fill=RULE, width=2 * FINE)


def _head(row: OnBands, name: Sequence[str]) -> int:
    """How high the words above the bar are."""
    return max(len(name) * (NAME + 6), NAME + 6 + (SMALL + 6 if row.less_leads else 0))


def _row(image: Image.Image, draw: ImageDraw.ImageDraw, row: OnBands, name: Sequence[str], top: int, leads: str
         ) -> None:
    pen = Lettering(draw, NAME * FINE)
    for number, line in enumerate(name):
        pen.write(MARGIN * FINE, top + number * (NAME + 6) * FINE, line, PAPER)
    value, small, right = Lettering(draw, VALUE * FINE), Lettering(draw, SMALL * FINE), (WIDTH - MARGIN) * FINE
    value.write(right - value.width(row.value), top - 6 * FINE, row.value, PAPER)
    if row.less_leads:
        note = f"{leads} {row.less_leads}"
        small.write(right - small.width(note), top + (NAME + 8) * FINE, note, DIM)
    if row.hit is not None:
        _sign(draw, right - value.width(row.value) - 54 * FINE, top + 2 * FINE, row.hit.verdict)
    y = top + (_head(row, name) + ABOVE_BAR) * FINE
    for band in row.bands:
        box = (_x(band.left), y, _x(band.right), y + BAR * FINE)
        _fill(image, box, band.verdict)
        draw.line((box[0], y, box[0], box[3]), fill=NIGHT, width=3 * FINE)
    if row.hit is not None:
        draw.rectangle((_x(row.hit.left), y - 3 * FINE, _x(row.hit.right), y + (BAR + 3) * FINE), outline=PAPER,
                       width=4 * FINE)
    _ticks(draw, row.bands, y + (BAR + UNDER_BAR) * FINE)
    _mark(draw, row, y)


def _ticks(draw: ImageDraw.ImageDraw, bands: Sequence[Band], y: int) -> None:
    """The readings at the ends of the bands, those of the good one first; what would overlap is left out."""
    pen, taken, gap = Lettering(draw, SMALL * FINE), list[tuple[float, float]](), 12 * FINE

    def put(left: float, said: str) -> None:
        left = min(max(left, MARGIN * FINE), (WIDTH - MARGIN) * FINE - pen.width(said))
        right = left + pen.width(said)
        if all(left >= end + gap or right <= start - gap for start, end in taken):
            pen.write(left, y, said, DIM)
            taken.append((left, right))

    for band in sorted(bands, key=lambda each: each.verdict != "good"):
        if band.open:
            put(_x((band.left + band.right) / 2) - pen.width("OL") / 2, "OL")
            continue
        left, right = _x(band.left) - pen.width(band.low) / 2, _x(band.right) - pen.width(band.high) / 2
        lack = left + pen.width(band.low) + gap - right if band.low and band.high else 0
        if band.low:
            put(left - max(0, lack) / 2, band.low)
        if band.high:
            put(right + max(0, lack) / 2, band.high)


def _mark(draw: ImageDraw.ImageDraw, row: OnBands, y: int) -> None:
    """A wedge and a line where the reading stands, and how far it may be off."""
    at, middle = _x(row.at), y + BAR * FINE // 2
    if row.most > row.least:
        _whisker(draw, _x(row.least), _x(row.most), middle)
    draw.line((at, y - 8 * FINE, at, y + BAR * FINE), fill=NIGHT, width=12 * FINE)
    wedge = [(at - 18 * FINE, y - 24 * FINE), (at + 18 * FINE, y - 24 * FINE), (at, y + 4 * FINE)]
    draw.line((at, y - 10 * FINE, at, y + (BAR - 2) * FINE), fill=PAPER, width=6 * FINE)
    draw.polygon(wedge, fill=PAPER, outline=NIGHT, width=2 * FINE)


def _whisker(draw: ImageDraw.ImageDraw, left: int, right: int, y: int) -> None:
    """A line with ends, light with a dark rim so that it shows on every pattern."""
    for colour, more in ((NIGHT, 4), (PAPER, 0)):
        draw.line((left - more * FINE // 2, y, right + more * FINE // 2, y), fill=colour, width=(6 + more) * FINE)
        for end in (left, right):
            draw.line((end, y - (13 + more // 2) * FINE, end, y + (13 + more // 2) * FINE), fill=colour,
                      width=(6 + more) * FINE)


def _sign(draw: ImageDraw.ImageDraw, x: float, y: float, verdict: Verdict) -> None:
    """A tick, a question mark or a cross, in the colour of its pattern."""
    colour, thick = FILLS[verdict], 7 * FINE

    def at(*points: float) -> list[float]:
        return [(x if number % 2 == 0 else y) + point * FINE for number, point in enumerate(points)]

    if verdict == "good":
        draw.line(at(2, 20, 14, 33, 38, 5), fill=colour, width=thick, joint="curve")
    elif verdict == "bad":
        draw.line(at(4, 5, 36, 35), fill=colour, width=thick)
        draw.line(at(4, 35, 36, 5), fill=colour, width=thick)
    else:
        Lettering(draw, 46 * FINE).write(x + 8 * FINE, y - 8 * FINE, "?", colour)


def _fill(image: Image.Image, box: tuple[int, int, int, int], verdict: Verdict) -> None:
    """A box in the pattern of its meaning."""
    left, top, right, bottom = box
    if right <= left:
        return
    tile = Image.new("RGB", (right - left, bottom - top), DARK[verdict])
    pen, tall = ImageDraw.Draw(tile), bottom - top
    step = {"good": 0, "suspect": 22 * FINE, "bad": 20 * FINE}[verdict]
    for x in range(-tall, right - left + tall, step) if step else ():
        pen.line((x, tall, x + tall, 0), fill=FILLS[verdict], width=(10 if verdict == "suspect" else 6) * FINE)
        if verdict == "bad":
            pen.line((x, 0, x + tall, tall), fill=FILLS[verdict], width=6 * FINE)
    image.paste(tile, (left, top))


def _room(draw: ImageDraw.ImageDraw, row: OnBands) -> float:
    """How wide a name may be: what the value and its sign leave."""
    return (WIDTH - 2 * MARGIN - 90) * FINE - Lettering(draw, VALUE * FINE).width(row.value)


def _x(at: float) -> int:
    return round((MARGIN + at * (WIDTH - 2 * MARGIN)) * FINE)
