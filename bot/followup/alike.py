"""Hand-offs whose finding is not in the book: three that say about the same become a proposed fault. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from rapidfuzz import fuzz, process
from rapidfuzz.utils import default_process

from knowledge.schema import Pack

PROPOSED: Final = 3
"""Visits that say about the same before it is worth a look."""
ALIKE: Final = 70
"""Token-set likeness (0..100) from which two findings are the same: seniors write in a hurry."""
NAMED: Final = 80
"""Token-set likeness from which words name a fault of the book."""
SHORTEST: Final = 4
LONGEST: Final = 300


@dataclass(frozen=True, slots=True)
class Finding:
    """What a senior said it was, in words, where no fault of the book was named or proved."""

    job: str
    words: str


@dataclass(frozen=True, slots=True)
class Proposed:
    """Findings that say about the same."""

    findings: tuple[Finding, ...]

    @property
    def words(self) -> str:
        """Those that stand for all: the longest, which say most."""
        return max((finding.words for finding in self.findings), key=lambda words: (len(words), words))


def in_the_book(words: str, pack: Pack) -> bool:
    """Whether the words, said in passing, are the name of a fault that the pack has."""
    names = [fault.name for fault in pack.faults.values()]
    return process.extractOne(words, names, scorer=fuzz.token_set_ratio, processor=default_process,
                              score_cutoff=NAMED) is not None


def proposed(findings: Iterable[Finding]) -> tuple[Proposed, ...]:
    """The groups that are large enough, largest first. A visit counts once in a group."""
    heads: list[str] = []
    groups: list[list[Finding]] = []
    for finding in sorted(findings, key=lambda f: (f.job, f.words)):
        text = " ".join(finding.words.casefold().split())[:LONGEST]
        if sum(c.isalnum() for c in text) < SHORTEST:
            continue
        near = process.extractOne(text, heads, scorer=fuzz.token_set_ratio, score_cutoff=ALIKE)
        if near is None:
            heads.append(text)
            groups.append([finding])
        elif all(each.job != finding.job for each in groups[near[2]]):
            groups[near[2]].append(finding)
    found = [Proposed(tuple(group)) for group in groups if len(group) >= PROPOSED]
    return tuple(sorted(found, key=_largest_first))


def _largest_first(each: Proposed) -> tuple[int, Sequence[str]]:
    return -len(each.findings), each.words
