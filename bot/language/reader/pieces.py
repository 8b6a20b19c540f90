"""Words in the pieces that the encoder was learned with, longest first (WordPiece, Wu 2016, arXiv 1609.08144)."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Mapping
from functools import cache
from importlib.resources import files
from typing import Final

FIRST, LAST, UNKNOWN = "[CLS]", "[SEP]", "[UNK]"
GOES_ON: Final = "##"
"""Before a piece that does not begin a word."""
MOST: Final = 64
"""Pieces that are read."""
LONGEST: Final = 40
"""Letters of a word that is looked up; longer ones are none."""


def pieces_of(text: str) -> list[int]:
    """The rows of a text's pieces, with the signs for its beginning and its end."""
    rows = pieces()
    found = [row for word in _words(text) for row in _in_pieces(word, rows)][:MOST - 2]
    return [rows[FIRST], *found, rows[LAST]]


def _words(text: str) -> Iterator[str]:
    """Words without accents and capitals; each mark is a word of its own."""
    plain = "".join(c for c in unicodedata.normalize("NFD", text.lower()) if unicodedata.category(c) != "Mn")
    for part in plain.split():
        start = 0
        for place, letter in enumerate(part):
            if _is_mark(letter):
                if place > start:
                    yield part[start:place]
                yield letter
                start = place + 1
        if start < len(part):
            yield part[start:]


def _is_mark(letter: str) -> bool:
    return not letter.isalnum() and (letter.isascii() or unicodedata.category(letter).startswith("P"))


def _in_pieces(word: str, rows: Mapping[str, int]) -> list[int]:
    if len(word) > LONGEST:
        return [rows[UNKNOWN]]
    found: list[int] = []
    start = 0
    while start < len(word):
        for end in range(len(word), start, -1):
            row = rows.get((GOES_ON if start else "") + word[start:end])
            if row is not None:
                found.append(row)
                start = end
                break
        else:
            return [rows[UNKNOWN]]
    return found


@cache
def pieces() -> Mapping[str, int]:
    """Piece -> its row."""
    stored = files("bot.language").joinpath("data", "reader_pieces.txt").read_text("utf-8")
    return {piece: row for row, piece in enumerate(stored.split("\n"))}
