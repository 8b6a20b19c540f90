"""Runs of letters in words: what slips of the thumb leave of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator


def runs_of(words: Iterable[str], sizes: Iterable[int]) -> Iterator[str]:
    """The runs of those many letters of each word; a word counts with a border at both ends, a mark not at all."""
    lengths = tuple(sizes)
    for word in words:
        if word[0].isalnum():
            bordered = f" {word} "
            for size in lengths:
                yield from (bordered[at:at + size] for at in range(len(bordered) - size + 1))
