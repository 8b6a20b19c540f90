"""Phrases that are looked for in a message, each with what it stands for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TypeVar

Value = TypeVar("Value")


class Phrases(dict[tuple[str, ...], Value]):
    """Words of a phrase -> what it stands for. Only lengths that a phrase with the same first word has are tried."""

    def __init__(self, said: Mapping[tuple[str, ...], Value]) -> None:
        super().__init__(said)
        self._longest: dict[str, int] = {}
        for words in said:
            self._longest[words[0]] = max(self._longest.get(words[0], 0), len(words))

    def at(self, words: Sequence[str], place: int) -> list[tuple[int, Value]]:
        """The phrases that stand at a place, the longest first: the number of words, and what it stands for."""
        longest = self._longest.get(words[place])
        if longest is None:
            return []
        tried = (tuple(words[place:place + length]) for length in range(min(longest, len(words) - place), 0, -1))
        return [(len(phrase), self[phrase]) for phrase in tried if phrase in self]
