"""Result phrases of checks by their words: what a report may state word for word."""

from __future__ import annotations

from typing import Final

from bot.language.words.lexicon import DROPPED
from bot.language.words.phrases import Phrases
from bot.language.words.text import plain_words
from knowledge.schema import Pack

LONGEST: Final = 7
"""Words of the longest phrase that is looked for."""


Spoken = Phrases[tuple[tuple[str, str], ...]]
"""Words -> the results that they state: checks and results."""


def spoken_results(pack: Pack) -> Spoken:
    """All result phrases of a family by their words, articles left out."""
    table: dict[tuple[str, ...], tuple[tuple[str, str], ...]] = {}
    for check, entry in pack.checks.items():
        for result, told in entry.results.items():
            named = ((check, result),)
            for phrase in [*(p for said in told.phrases.values() for p in said), told.says]:
                words = tuple(word for word in plain_words(phrase) if word not in DROPPED)
                if words and len(words) <= LONGEST and named[0] not in (said := table.get(words, ())):
                    table[words] = said + named if said else named
    return Phrases(table)
