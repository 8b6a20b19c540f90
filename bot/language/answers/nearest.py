"""Which checks of a machine an answer lies nearest to, whichever is asked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from bot.language.answers.likeness import learned, own_words, said_in
from bot.language.answers.meant import SHARP, places_of
from bot.language.answers.typed import typed_for
from bot.language.index import Index
from bot.language.learned.layer import Floats

MOST: Final = 3
"""Checks that are looked at."""


@dataclass(frozen=True, repr=False, eq=False)
class Places:
    """All that is known to be said at a machine: `at` [phrase, number]; from which row on each result's stand, how many
    they are, and whose they are."""

    at: Floats
    starts: NDArray[np.intp]
    counts: NDArray[np.intp]
    checks: Sequence[str]


def nearest_checks(index: Index, family: str, text: str) -> list[str]:
    """Ids of the checks to one result of which a text lies nearest, nearest first."""
    return [check for check, _ in _ranked(index, family, text)]


def nearest_by_far(index: Index, family: str, text: str, ahead: float) -> str | None:
    """The check to which a text lies nearest, where it lies nearer to it than to any other by so much (in cosines)."""
    (check, nearest), *others = _ranked(index, family, text)
    return check if all(nearest - other >= ahead for _, other in others) else None


def near_checks(index: Index, family: str, text: str) -> dict[str, float]:
    """Check -> how near a text lies to the result of it that it lies nearest to: a soft maximum of cosines."""
    near, checks = _near(index, family, text)
    found: dict[str, float] = {}
    for check, value in zip(checks, near.tolist(), strict=True):
        found[check] = max(value, found.get(check, value))
    return found


def _ranked(index: Index, family: str, text: str) -> list[tuple[str, float]]:
    """Checks, nearest first."""
    return sorted(near_checks(index, family, text).items(), key=lambda check: -check[1])[:MOST]


def _near(index: Index, family: str, text: str) -> tuple[NDArray[np.float64], Sequence[str]]:
    """[result] how near a text lies to what is said for each, and whose results they are."""
    found: Places | None = index.places.get(family)
    if found is None:
        found = index.places[family] = _places(index, family)
    alike = np.exp(SHARP * (found.at @ said_in(index, learned(), text).spot.at))
    near = np.log(np.add.reduceat(alike, found.starts) / found.counts) / SHARP
    return near, found.checks


def _places(index: Index, family: str) -> Places:
    held = learned()
    rows: list[str] = []
    starts: list[int] = []
    checks: list[str] = []
    for check, entry in index.knowledge.packs[family].checks.items():
        typed = typed_for(family, check)
        for result in entry.results:
            starts.append(len(rows))
            checks.append(check)
            rows += dict.fromkeys([*own_words(entry, result), *typed.get(result, ())])
    at = places_of(index, held.meant, held.known, rows)
    return Places(at, np.array(starts), np.diff([*starts, len(rows)]), checks)
