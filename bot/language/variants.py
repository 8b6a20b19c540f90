"""What the text tells about the build of the machine: belt drive, gas, side by side."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from bot.language.lexicon import data
from bot.language.text import plain_words, word_set
from knowledge.schema import Pack

_NOT: Final = word_set("no not without isnt doesnt sin wont never nunca aint dont")
Table = Mapping[tuple[str, ...], tuple[str, str]]


def variant_table(pack: Pack) -> Table:
    """Words -> (axis, value). Words that are said of other things too stand in data/variants.yaml as `not_alone`."""
    extra = data("variants")
    weak = frozenset(extra["not_alone"])
    table: dict[tuple[str, ...], tuple[str, str]] = {}
    for axis, entry in pack.family.variants.items():
        for value, said in entry.values.items():
            more = extra.get(pack.family.id, {}).get(axis, {}).get(value, [])
            for phrase in [*(p for group in said.phrases.values() for p in group), *more]:
                words = plain_words(phrase)
                if words and (len(words) > 1 or words[0] not in weak) and " ".join(words) not in weak:
                    table.setdefault(words, (axis, value))
    return table


def variants_in(table: Table, words: Sequence[str]) -> dict[str, tuple[str, int, int]]:
    """Axis -> (value, first word, last word + 1); longest phrase first, denied ones left out."""
    found: dict[str, tuple[str, int, int]] = {}
    place = 0
    longest = max((len(k) for k in table), default=0)
    while place < len(words):
        for length in range(min(longest, len(words) - place), 0, -1):
            hit = table.get(tuple(words[place:place + length]))
            if hit is not None and not (set(words[max(0, place - 2):place]) & _NOT):
                found.setdefault(hit[0], (hit[1], place, place + length))
                place += length - 1
                break
        place += 1
    return found
