"""What a message is weighed by, whatever the order: the concepts of its clauses as they are meant, and its words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from bot.language.complaints.patterns import OK
from bot.language.words.forms import stem
from bot.language.words.scope import Clause, Feature
from bot.language.words.text import Token

MOST_CLAUSES: Final = 80
MOST_WORDS: Final = 500
SHARE: Final = 0.5
"""A trait weighs 1 / n ** SHARE in a message of n: each counts less in a long story."""


@dataclass(frozen=True, slots=True)
class Traits:
    """Names of traits, and the weight that each has."""

    names: tuple[str, ...]
    weight: float


def traits_of(clauses: Sequence[Clause], tokens: Sequence[Token], words: Sequence[str]) -> Traits:
    """The traits of a message; of a very long one, those of its first clauses and words."""
    read = clauses[:MOST_CLAUSES]
    names = dict.fromkeys(name for clause in read for name in _said(clause))
    gone = [(f.start, f.end) for clause in read if clause.past for f in clause.features if f.end]
    for token, word in zip(tokens[:MOST_WORDS], words[:MOST_WORDS], strict=True):
        if word[0].isalnum():
            before = bool(gone) and any(start < token.end and end > token.start for start, end in gone)
            name = "'" + ("#" if word.isdigit() else stem(word))
            names.setdefault(f"past:{name}" if before else name)
    return Traits(tuple(names), 1 / (len(names) or 1) ** SHARE)


def _said(clause: Clause) -> Iterator[str]:
    """Concepts as meant ('spin-': denied, 'spin=ok': said to be well, 'spin@': in a side clause); of what used to be,
    only that it was."""
    marks = _marks(clause)
    for key in dict.fromkeys(_key(f, clause) for f in clause.features if f.kind != "number"):
        if not clause.past:
            yield key
        for mark in marks:
            yield f"{mark}:{key}"
    for mark in ("ok", "only"):
        if getattr(clause, mark):
            yield f"{mark}!"


def _key(feature: Feature, clause: Clause) -> str:
    return feature.key + (OK if clause.ok else "") + ("@" if feature.subordinate else "")


def _marks(clause: Clause) -> list[str]:
    return [mark for mark in ("past", "guess", "not_that", "trying") if getattr(clause, mark)]
