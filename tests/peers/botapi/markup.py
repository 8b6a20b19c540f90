"""Telegram's HTML, read as strictly as Telegram does: known tags, properly nested, known entities."""

from __future__ import annotations

import re
from html import unescape

_TAG = re.compile(r"<(/?)([a-z-]+)((?:\s[^<>]*)?)>")
_KNOWN = {"b", "strong", "i", "em", "u", "s", "code", "pre", "a", "tg-spoiler", "blockquote"}
_ENTITY = re.compile(r"&(?!(?:lt|gt|amp|quot|#\d+|#x[0-9a-fA-F]+);)")


class BadMarkupError(ValueError):
    """What Telegram would say of it."""


def read(html: str) -> str:
    """The text without tags. Raises BadMarkupError."""
    plain: list[str] = []
    open_tags: list[str] = []
    at = 0
    for found in _TAG.finditer(html):
        plain.append(_words(html[at:found.start()]))
        closing, name = found[1] == "/", found[2]
        if name not in _KNOWN:
            raise BadMarkupError(f'Unsupported start tag "{name}" at byte offset {found.start()}')
        if closing:
            if not open_tags or open_tags.pop() != name:
                raise BadMarkupError(f'Unmatched end tag at byte offset {found.start()}, expected "</{name}>"')
        else:
            open_tags.append(name)
        at = found.end()
    plain.append(_words(html[at:]))
    if open_tags:
        raise BadMarkupError(f'Can\'t find end tag corresponding to start tag "{open_tags[-1]}"')
    return "".join(plain)


def _words(text: str) -> str:
    if "<" in text:
        raise BadMarkupError("Unclosed start tag")
    if _ENTITY.search(text) is not None and re.search(r"&\w+;", text):
        known = re.sub(r"&(lt|gt|amp|quot|#\d+|#x[0-9a-fA-F]+);", "", text)
        if re.search(r"&\w+;", known):
            raise BadMarkupError("Unknown entity")
    return unescape(text)


def units(text: str) -> int:
    """UTF-16 units, which is how Telegram counts."""
    return len(text.encode("utf-16-le")) // 2
