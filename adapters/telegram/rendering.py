"""From neutral markup to Telegram's HTML, in parts that Telegram accepts, with a keyboard under the last one.

Nothing is ever taken for markup but the style of a span: every text is escaped here, in one place.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import Final

from telegram import InlineKeyboardButton, InlineKeyboardMarkup

from adapters.shared.choices import closing, press_data
from adapters.shared.splitting import BREAK, joined, split, units
from bot.conversation.markup import Paragraph, Span, Style, plain
from bot.store.rows import Outgoing

TEXT_LIMIT: Final = 4096
CAPTION_LIMIT: Final = 1024
ROOM: Final = 160
"""Left free in a message, so that the answer still fits under it."""
BESIDE: Final = 14
"""Longest label that still shares a row with another: a thumb in a glove needs the width."""
ALBUM: Final = 10
_TAGS: Final[dict[Style, tuple[str, str]]] = {
    "plain": ("", ""), "bold": ("<b>", "</b>"), "typed": ("<code>", "</code>")}


@dataclass(frozen=True, slots=True)
class Part:
    """One message on Telegram: words, or photos (with the words as caption of a single one)."""

    words: Paragraph
    photos: tuple[str, ...] = ()

    @property
    def limit(self) -> int:
        """How long its words may be."""
        return CAPTION_LIMIT if self.photos else TEXT_LIMIT


def html(words: Paragraph) -> str:
    """The words as Telegram's HTML."""
    return "".join(f"{_TAGS[span.style][0]}{escape(span.text, quote=False)}{_TAGS[span.style][1]}" for span in words)


def layout(out: Outgoing) -> tuple[Part, ...]:
    """The messages that a row becomes: the same every time, since a later change finds the last one by it."""
    words = joined(out.paragraphs)
    length = units(plain(words))
    if len(out.photos) == 1 and length <= CAPTION_LIMIT - ROOM:
        return (Part(words, out.photos),)
    albums = [Part((), out.photos[at:at + ALBUM]) for at in range(0, len(out.photos), ALBUM)]
    texts = [Part(part) for part in split(words, TEXT_LIMIT - ROOM)]
    if not texts and (out.choices or not albums):
        texts = [Part((Span("…"),))]
    return (*albums, *texts)


def keyboard(out: Outgoing) -> InlineKeyboardMarkup | None:
    """The choices as buttons: short ones two a row."""
    if out.question is None or not out.choices:
        return None
    rows: list[list[InlineKeyboardButton]] = []
    room = False
    for number, choice in enumerate(out.choices, start=1):
        label = plain(choice).strip() or str(number)
        button = InlineKeyboardButton(label, callback_data=press_data(out.question, number))
        short = len(label) <= BESIDE
        if room and short:
            rows[-1].append(button)
            room = False
        else:
            rows.append([button])
            room = short
    return InlineKeyboardMarkup(rows)


def closed(out: Outgoing, part: Part) -> Paragraph | None:
    """The words of a question's message once it is closed; None if only its buttons go."""
    mark = closing(out)
    if mark is None:
        return None
    words = (*part.words, Span(BREAK), *mark) if part.words else mark
    return words if units(plain(words)) <= part.limit else None


def numbers(ids: Sequence[str]) -> list[int]:
    """Telegram's message numbers of our stored ids."""
    return [int(each) for each in ids if each.isdecimal()]
