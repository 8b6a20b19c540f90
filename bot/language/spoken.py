"""Result phrases of checks by their words: what a report may state word for word."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from bot.language.lexicon import DROPPED
from bot.language.text import plain_words
from knowledge.schema import Pack

LONGEST: Final = 7
"""Words of the longest phrase that is looked for."""


@dataclass(frozen=True, slots=True)
class Spoken:
    """Words -> the results that they state."""

    table: Mapping[tuple[str, ...], frozenset[tuple[str, str]]]


def spoken_results(pack: Pack) -> Spoken:
    """All result phrases of a family by their words, articles left out."""
    table: dict[tuple[str, ...], set[tuple[str, str]]] = defaultdict(set)
    for check, entry in pack.checks.items():
        for result, told in entry.results.items():
            for phrase in [*(p for said in told.phrases.values() for p in said), told.says]:
                words = tuple(word for word in plain_words(phrase) if word not in DROPPED)
                if words and len(words) <= LONGEST:
                    table[words].add((check, result))
    return Spoken({words: frozenset(said) for words, said in table.items()})
