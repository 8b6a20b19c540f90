"""Which checks or faults of a pack a senior's words call by name: one, several that go by it alike, or none."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from rapidfuzz import fuzz, process

from bot.language.words.text import drop_apostrophes

NEAR: Final = 80
"""Similarity (0..100) from which words are a name with slips of the finger."""
ALIKE: Final = 3
"""Names nearer to the best one than this go by the words as well."""
PREFIX: Final = 4
"""Letters from which a word may be cut short ('evap fan')."""

_SAYS_NOTHING: Final = frozenset({
    "a", "an", "the", "that", "this", "thats", "its", "it", "is", "was", "are", "were", "his", "her", "their", "just",
    "be", "of", "on", "in", "at", "with", "so", "please", "pls", "plz", "thanks", "now", "bad", "dead", "faulty",
    "defective", "gone", "shot", "toast", "kaput", "knackered", "fault", "faulted", "part", "check", "test", "one"})
"""Words that tell no fault from another: everything found is bad, dead or gone."""


def called(what: str, names: Mapping[str, str]) -> list[str]:
    """The ids whose names these words are, or are part of; the whole name of one is that one alone.

    'Pump' is part of many names, and each of them may be meant.
    """
    said = _words(what)
    if not said:
        return []
    own = {key: _words(name) for key, name in names.items()}
    whole = [key for key, words in own.items() if set(said) == set(words)]
    if len(whole) == 1:
        return whole
    within = [key for key, words in own.items() if all(any(_same(one, other) for other in words) for one in said)]
    return within or _misspelt(" ".join(said), names)


def nearest(what: str, names: Mapping[str, str], most: int = 3) -> list[str]:
    """The ids whose names are most like these words."""
    return [str(key) for _, _, key in process.extract(what, names, scorer=fuzz.WRatio, processor=str.lower, limit=most)]


def _misspelt(said: str, names: Mapping[str, str]) -> list[str]:
    found = process.extract(said, names, scorer=fuzz.token_set_ratio, processor=str.lower, score_cutoff=NEAR,
                            limit=None)
    return [str(key) for _, score, key in found if score > found[0][1] - ALIKE]


def _words(text: str) -> list[str]:
    said = re.findall(r"[^\W_]+", drop_apostrophes(text.lower()))
    return list(dict.fromkeys(word for word in said if word not in _SAYS_NOTHING))


def _same(one: str, other: str) -> bool:
    return one == other or (len(one) >= PREFIX and one[0] == other[:1] and (
        other.startswith(one) or fuzz.ratio(one, other) >= NEAR))
