"""Neutral markup: what a message looks like before an adapter renders and escapes it.

A template may mark **bold** and `typed` words; parameters are always plain text, whatever they hold, so nothing
that a person typed can become markup.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final, Literal

Style = Literal["plain", "bold", "typed"]
_PART: Final = re.compile(r"\*\*(?P<bold>.+?)\*\*|`(?P<typed>[^`]+)`|\{(?P<param>[a-z_]+)\}")


@dataclass(frozen=True, slots=True)
class Span:
    """A run of text in one style."""

    text: str
    style: Style = "plain"


Paragraph = tuple[Span, ...]


def fill(template: str, param: Callable[[str], str], style: Style = "plain") -> Paragraph:
    """The template's spans with its parameters in place. `param(name)` gives a parameter's text."""
    spans: list[Span] = []
    end = 0
    for found in _PART.finditer(template):
        _add(spans, template[end:found.start()], style)
        if (name := found["param"]) is not None:
            _add(spans, param(name), style)
        elif found["bold"] is not None:
            spans.extend(fill(found["bold"], param, "bold"))
        else:
            spans.extend(fill(found["typed"], param, "typed"))
        end = found.end()
    _add(spans, template[end:], style)
    return tuple(spans)


def plain(paragraph: Paragraph) -> str:
    """The paragraph without styles."""
    return "".join(span.text for span in paragraph)


def localised(paragraph: Paragraph, words: Mapping[str, str]) -> Paragraph:
    """The paragraph with the firm's own words for ours (whole words, case of the first letter kept)."""
    if not words:
        return paragraph
    pattern = re.compile(r"\b(" + "|".join(map(re.escape, words)) + r")\b", re.IGNORECASE)

    def own(found: re.Match[str]) -> str:
        word = words[found[0].lower()] if found[0].lower() in words else found[0]
        return word[:1].upper() + word[1:] if found[0][:1].isupper() else word

    return tuple(Span(pattern.sub(own, span.text), span.style) for span in paragraph)


def _add(spans: list[Span], text: str, style: Style) -> None:
    if not text:
        return
    if spans and spans[-1].style == style:
        spans[-1] = Span(spans[-1].text + text, style)
    else:
        spans.append(Span(text, style))
