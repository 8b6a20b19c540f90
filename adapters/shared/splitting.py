"""Long messages in parts that end where a reader would pause: at a paragraph, a sentence, a word."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Final

from bot.conversation.markup import Paragraph, Span, plain

BREAK: Final = "\n\n"
_SENTENCE: Final = re.compile(r"[.!?…:][\"')\]]?(?=\s)")
_SPACE: Final = re.compile(r"\s")


def units(text: str) -> int:
    """Length in UTF-16 units, which is how chat platforms count."""
    return len(text) + sum(ord(c) > 0xFFFF for c in text)


def joined(paragraphs: Sequence[Paragraph]) -> Paragraph:
    """All paragraphs as one run of spans, with an empty line between them."""
    spans: list[Span] = []
    for paragraph in paragraphs:
        if spans and paragraph:
            spans.append(Span(BREAK))
        spans.extend(paragraph)
    return tuple(spans)


def split(message: Paragraph, limit: int) -> list[Paragraph]:
    """The message in parts of at most `limit` UTF-16 units. Nothing but white space at the cuts is lost."""
    text = plain(message)
    return [_slice(message, start, end) for start, end in _cuts(text, limit)]


def _cuts(text: str, limit: int) -> Iterator[tuple[int, int]]:
    start, end = 0, len(text)
    while True:
        while start < end and text[start].isspace():
            start += 1
        if start >= end:
            return
        window = _window(text, start, limit)
        cut = end if window >= end else _best_cut(text, start, window)
        yield start, start + len(text[start:cut].rstrip())
        start = cut


def _window(text: str, start: int, limit: int) -> int:
    """How far a part that begins at `start` can reach."""
    at, used = start, 0
    while at < len(text):
        used += 2 if ord(text[at]) > 0xFFFF else 1
        if used > limit:
            break
        at += 1
    return max(at, start + 1)


def _best_cut(text: str, start: int, window: int) -> int:
    """The last good place to pause in the second half of the window, else the last space, else its end."""
    half = start + (window - start) // 2
    paragraph = text.rfind("\n", half, window)
    if paragraph > half:
        return paragraph + 1
    sentences = [found.end() for found in _SENTENCE.finditer(text, half, min(window + 1, len(text)))]
    fitting = [at for at in sentences if at <= window]
    if fitting:
        return fitting[-1]
    spaces = [found.start() for found in _SPACE.finditer(text, start + 1, window)]
    return spaces[-1] if spaces else window


def _slice(message: Paragraph, start: int, end: int) -> Paragraph:
    spans: list[Span] = []
    at = 0
    for span in message:
        piece = span.text[max(0, start - at):max(0, end - at)]
        if piece:
            spans.append(Span(piece, span.style))
        at += len(span.text)
    return tuple(spans)
