"""Words in a drawing, in the one font that comes with Pillow. It has little beyond ASCII, so what a meter shows and it
lacks is drawn (Ω) or written plainly (u for µ), and letters with marks lose them."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from PIL import ImageDraw, ImageFont

Colour = tuple[int, int, int]
OHM: Final = "Ω"
_PLAIN: Final = str.maketrans({"\N{OHM SIGN}": OHM, "µ": "u", "μ": "u", "×": "x", "≥": ">", "≤": "<", "ß": "ss",
                               "ø": "o", "Ø": "O", "ł": "l", "Ł": "L", "æ": "ae", "œ": "oe", "\N{EN DASH}": "-",
                               "\N{EM DASH}": "-", "\N{LEFT SINGLE QUOTATION MARK}": "'",
                               "\N{RIGHT SINGLE QUOTATION MARK}": "'", "\N{LEFT DOUBLE QUOTATION MARK}": '"',
                               "\N{RIGHT DOUBLE QUOTATION MARK}": '"'})
_MISSING: Final = "\N{REPLACEMENT CHARACTER}"
_OHM_WIDTH: Final = 0.78
"""Of the letters' size."""
_CAPITAL: Final = 0.72
"""Height of a capital, of the letters' size."""
_BASELINE: Final = 0.95
"""From the top of a line to the foot of its letters, of their size."""


@dataclass(frozen=True, slots=True)
class Lettering:
    """Letters of one size on a drawing."""

    draw: ImageDraw.ImageDraw
    size: int

    def width(self, text: str) -> float:
        """How wide the words are."""
        return sum(self.size * _OHM_WIDTH if piece == OHM else _font(self.size).getlength(piece)
                   for piece in _pieces(text))

    def write(self, x: float, y: float, text: str, colour: Colour) -> None:
        """Write one line whose top left corner is at x, y."""
        for piece in _pieces(text):
            if piece == OHM:
                self._ohm(x, y, colour)
                x += self.size * _OHM_WIDTH
            else:
                self.draw.text((x, y + self.size * _BASELINE), piece, fill=colour, font=_font(self.size), anchor="ls")
                x += _font(self.size).getlength(piece)

    def lines(self, text: str, width: float, most: int) -> list[str]:
        """The words broken into at most so many lines of that width; what is too long ends in '…'."""
        lines: list[str] = []
        rest = text.split()
        while rest and len(lines) < most:
            count = next((n for n in range(len(rest), 0, -1) if self.width(" ".join(rest[:n])) <= width), 1)
            if len(lines) == most - 1:
                count = len(rest)
            lines.append(self._shortened(" ".join(rest[:count]), width))
            rest = rest[count:]
        return lines or [""]

    def _shortened(self, text: str, width: float) -> str:
        if self.width(text) <= width:
            return text
        while text and self.width(f"{text}…") > width:
            text = text[:-1]
        return f"{text.rstrip()}…"

    def _ohm(self, x: float, y: float, colour: Colour) -> None:
        """An open ring on two feet."""
        height, line = self.size * _CAPITAL, max(1, round(self.size * 0.085))
        left, right = x + self.size * 0.06, x + self.size * (_OHM_WIDTH - 0.06)
        foot, top = y + self.size * _BASELINE, y + self.size * _BASELINE - height
        self.draw.arc((left, top, right, top + height * 1.02), 122, 418, fill=colour, width=line)
        middle, gap = (left + right) / 2, (right - left) * 0.2
        self.draw.line((left, foot - line / 2, middle - gap, foot - line / 2), fill=colour, width=line)
        self.draw.line((middle + gap, foot - line / 2, right, foot - line / 2), fill=colour, width=line)


def _pieces(text: str) -> list[str]:
    """The text as the font can write it, cut at each Ω."""
    plain = "".join(ch for ch in unicodedata.normalize("NFKD", text.translate(_PLAIN)) if not unicodedata.combining(ch))
    known = "".join(ch if ch == OHM or _has(ch) else "?" for ch in plain)
    pieces = known.replace(OHM, f"\0{OHM}\0").split("\0")
    return [piece for piece in pieces if piece]


@lru_cache(maxsize=16)
def _font(size: int) -> ImageFont.FreeTypeFont:
    font = ImageFont.load_default(size)
    assert isinstance(font, ImageFont.FreeTypeFont), "Pillow was built without FreeType"
    return font


@lru_cache(maxsize=512)
def _has(ch: str) -> bool:
    font = _font(40)
    return ch.isspace() or bytes(font.getmask(ch)) != bytes(font.getmask(_MISSING))
