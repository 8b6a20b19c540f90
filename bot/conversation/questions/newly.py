"""'New', typed where it is asked whether the machine is new or was moved: an answer, and no next machine."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from bot.language.words.text import plain_words
from knowledge.schema import Check

_NEW: Final = frozenset({"new", "nuevo", "nueva"})


def answers_new(checks: Iterable[Check], text: str) -> bool:
    """Whether the one word is in what a choice of these checks is called."""
    said = plain_words(text)
    return len(said) == 1 and said[0] in _NEW and any(
        _NEW & set(plain_words(result.label)) for check in checks for result in check.results.values())
