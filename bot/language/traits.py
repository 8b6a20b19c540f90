"""What a message is weighed by: the concepts of its clauses as they are meant, pairs of them, and its plain words.

A trait has a name, a weight and the words that gave it, so that what a weighing rests on can be shown.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final

from bot.language.forms import stem
from bot.language.patterns import OK
from bot.language.scope import Clause, Feature
from bot.language.text import Token

MOST_CLAUSES: Final = 80
MOST_WORDS: Final = 500
MOST_PAIRED: Final = 14
"""Keys of one clause that are paired with each other; a clause of more is a list, not a sentence."""
SHARE: Final = 0.5
SCALE: Final = 1.0
"""A trait weighs SCALE / n ** SHARE in a message of n: each counts less in a long story."""
Span = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Traits:
    """Names of traits, where in the text each comes from, and the weight that each has."""

    names: tuple[str, ...]
    spans: tuple[Span, ...]
    weight: float


def traits_of(clauses: Sequence[Clause], tokens: Sequence[Token], words: Sequence[str]) -> Traits:
    """The traits of a message; of a very long one, those of its first clauses and words."""
    spans: dict[str, Span] = {}
    for clause in clauses[:MOST_CLAUSES]:
        for name, span in _said(clause):
            spans.setdefault(name, span)
    gone = [(f.start, f.end) for clause in clauses[:MOST_CLAUSES] if clause.past for f in clause.features if f.end]
    for name, span in _worded(tokens[:MOST_WORDS], words[:MOST_WORDS]):
        before = any(start < span[1] and end > span[0] for start, end in gone)
        spans.setdefault(f"past:{name}" if before else name, span)
    return Traits(tuple(spans), tuple(spans.values()), SCALE / (len(spans) or 1) ** SHARE)


def _said(clause: Clause) -> Iterator[tuple[str, Span]]:
    """Concepts as meant ('spin-': denied, 'spin=ok': said to be well, 'spin@': in a side clause) and their pairs; of
    what used to be, only that it was."""
    keys = {_key(f, clause): (f.start, f.end) for f in clause.features if f.kind != "number"}
    marks = _marks(clause)
    for key, span in keys.items():
        if not clause.past:
            yield key, span
        for mark in marks:
            yield f"{mark}:{key}", span
    whole = (min((s for s, _ in keys.values()), default=0), max((e for _, e in keys.values()), default=0))
    for mark in ("ok", "only"):
        if getattr(clause, mark):
            yield f"{mark}!", whole
    for a, b in combinations(sorted(keys)[:MOST_PAIRED] if not clause.past else (), 2):
        yield f"{a}&{b}", (min(keys[a][0], keys[b][0]), max(keys[a][1], keys[b][1]))


def _key(feature: Feature, clause: Clause) -> str:
    return feature.key + (OK if clause.ok else "") + ("@" if feature.subordinate else "")


def _marks(clause: Clause) -> list[str]:
    return [mark for mark in ("past", "guess", "not_that", "trying") if getattr(clause, mark)]


def _worded(tokens: Sequence[Token], words: Sequence[str]) -> Iterator[tuple[str, Span]]:
    """Plain words, by their stem; a number is a number."""
    for token, word in zip(tokens, words, strict=True):
        if word[0].isalnum():
            yield "'" + ("#" if word.isdigit() else stem(word)), (token.start, token.end)
