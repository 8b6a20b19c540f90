"""Choices of a question: what a button carries, and what stands under a question that is closed."""

from __future__ import annotations

import re
from typing import Final

from adapters.shared.words import word
from bot.conversation.markup import Paragraph, Span
from bot.store.rows import Outgoing

_PRESS: Final = re.compile(r"q:([0-9a-zA-Z_-]{1,48}):(\d{1,2})")


def press_data(question: str, choice: int) -> str:
    """What a button carries: its question and which choice it is, from 1. At most 54 characters."""
    return f"q:{question}:{choice}"


def read_press(data: str | None) -> tuple[str, int] | None:
    """The question and choice of `press_data`; None if it is not one of ours."""
    found = _PRESS.fullmatch(data or "")
    return (found[1], int(found[2])) if found else None


def closing(out: Outgoing) -> Paragraph | None:
    """What to put under a message whose question was closed: the answer, or what became of it. None: nothing."""
    if out.answer is not None:
        return (Span("→ "), *(Span(span.text, "bold") for span in out.answer))
    if out.closed in ("withdrawn", "lapsed"):
        return (Span("→ "), Span(word(out.closed)))
    return None
