"""What the order of the words says: a small convolutional network over a message, word by word.

The other learned weights (`weights.py`) see a message as a bag of traits. This sees which word stands beside which:
each word with the concept that it stands for and how it is meant here, two layers that look two words to either side,
a look across the whole message (`across.py`), then what stands out in all of it, and for each meaning the words that
matter most (a share of attention each).
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from bot.language.learned.across import MOST, Across
from bot.language.learned.layer import Floats, Layer
from bot.language.words.forms import stem

if TYPE_CHECKING:
    from bot.language.parsed import Parsed
    from bot.language.words.scope import Clause

REACH: Final = 2
"""Words to either side that one layer sees; the second layer every other word."""
ROWS: Final = 4
"""Products of so many rows, or a multiple of it, take least time: 20 words are read sooner than 19."""
OTHER: Final = ""
"""Stands for every word that was too seldom to learn from."""
LINE: Final = "|"
"""Stands for the end of a line."""
_SAID: Final = ("ok", "only", "past", "not_that", "guess", "trying", "soft", "joined")
"""How a whole clause is meant."""


class Placed(NamedTuple):
    """One word of a message: its stem (a mark as it is, '#' for a number), the concept it stands for ('' for none),
    and how it is meant."""

    word: str
    concept: str
    marks: tuple[str, ...]


def placed(parsed: Parsed) -> list[Placed]:
    """The words of a message in order, the first MOST of them."""
    starts = [unit.start for unit in parsed.units]
    meant = sorted(_meant(parsed.clauses))
    begins, clauses = [start for start, *_ in meant], _spans(parsed.clauses)
    found: list[Placed] = []
    for token, word in zip(parsed.tokens[:MOST], parsed.words[:MOST], strict=True):
        place = bisect_right(starts, token.start) - 1
        unit = parsed.units[place] if place >= 0 and token.start < parsed.units[place].end else None
        at = bisect_right(begins, token.start) - 1
        if at >= 0 and token.start < meant[at][1]:
            marks = meant[at][2]
        else:
            marks = next((said for start, end, said in clauses if start <= token.start < end), ())
        concept = unit.sense.concept if unit is not None and unit.sense is not None else ""
        known = LINE if word == "\n" else word if not word[0].isalnum() else "#" if word.isdigit() else stem(word)
        if unit is not None and unit.is_address:
            known = OTHER
        if unit is not None and unit.tags:
            marks = (*marks, *(f"tag:{tag}" for tag in sorted(unit.tags)))
        found.append(Placed(known, concept, marks))
    return found


def _meant(clauses: Sequence[Clause]) -> Iterator[tuple[int, int, tuple[str, ...]]]:
    """Where each concept stands, and how it is meant: denied or not, in a side clause, and as its clause is."""
    for clause in clauses:
        said = _said(clause)
        for feature in clause.features:
            if feature.end:
                side = ("side",) if feature.subordinate else ()
                yield feature.start, feature.end, (*said, "denied" if feature.sign < 0 else "stated", *side)


def _spans(clauses: Sequence[Clause]) -> list[tuple[int, int, tuple[str, ...]]]:
    found = []
    for clause in clauses:
        spots = [(f.start, f.end) for f in clause.features if f.end]
        if spots:
            found.append((min(s for s, _ in spots), max(e for _, e in spots), _said(clause)))
    return found


def _said(clause: Clause) -> tuple[str, ...]:
    return tuple(mark for mark in _SAID if getattr(clause, mark))


class Part(NamedTuple):
    """What the words say for some of the meanings, and how much attention each has for them."""

    says: Layer
    heeds: Layer
    both: Floats
    """The factors of the one and of the other, side by side."""


@dataclass(frozen=True, repr=False, eq=False)
class Order:
    """The network. `words`, `concepts` and `marks` are what is known, each with its row in the layer of that name."""

    meanings: tuple[str, ...]
    words: Mapping[str, int]
    concepts: Mapping[str, int]
    marks: Mapping[str, int]
    word: Layer
    concept: Layer
    mark: Layer
    beside: tuple[Layer, ...]
    """[neighbour and unit, unit], one after the other."""
    across: Across
    whole: Layer
    """[unit, unit]: what the most that any word has of each unit adds to every word."""
    families: Mapping[str, Floats]
    """What is added to the units for a machine of the family."""
    says: Layer
    """[unit, meaning]: how much a word says for it."""
    heeds: Layer
    """[unit, meaning]: how much attention a word has for it."""

    def read(self, said: Sequence[Placed]) -> Floats:
        """[word, unit]: the words, each with its neighbours and with what stands out in the message."""
        alone = self._alone(said)
        size, wide = alone.shape
        edge, rows = REACH * len(self.beside), size + -size % ROWS
        around = np.zeros((rows + 2 * edge, wide), dtype=np.float32)
        units = around[edge:edge + size]
        units[:] = alone
        for step, layer in enumerate(self.beside, 1):
            starts = [edge + step * place for place in range(-REACH, REACH + 1)]
            seen = (np.concatenate([around[at:at + rows] for at in starts], axis=1) @ layer.factors)[:size]
            seen += layer.base
            units += np.maximum(seen, 0.0, out=seen)
        self.across.look(around[edge:edge + rows], size)
        units += np.maximum(units.max(axis=0), 0.0) @ self.whole.factors + self.whole.base
        return units

    def part(self, columns: NDArray[np.integer]) -> Part:
        """What is asked for the meanings at `columns`."""
        says, heeds = self.says.of(columns), self.heeds.of(columns)
        return Part(says, heeds, np.concatenate([says.factors, heeds.factors], axis=1))

    def told(self, words: Floats, family: str, part: Part) -> Floats:
        """[word, meaning]: what each word adds to the log odds for a machine of the family. `words`: as `read` gives
        them."""
        mine = words + self.families[family]
        says, heed = np.hsplit(np.maximum(mine, 0.0, out=mine) @ part.both, 2)
        share = np.exp(heed - heed.max(axis=0))
        share /= share.sum(axis=0)
        return np.asarray(says * share)

    def _alone(self, said: Sequence[Placed]) -> Floats:
        """[word, unit]: each word by itself; a message of no words is one unknown word."""
        other = self.words[OTHER]
        units = self.word.rows(np.array([self.words.get(it.word, other) for it in said] or [other]))
        meant = {at: self.concepts[it.concept] for at, it in enumerate(said) if it.concept in self.concepts}
        if meant:
            units[list(meant)] += self.concept.rows(np.array(list(meant.values())))
        marked = [(at, self.marks[mark]) for at, it in enumerate(said) for mark in it.marks if mark in self.marks]
        if marked:
            has = np.zeros((len(units), len(self.marks)), dtype=np.float32)
            has[tuple(zip(*marked, strict=True))] = 1.0
            units += has @ self._each_mark
        return units

    @cached_property
    def _each_mark(self) -> Floats:
        return self.mark.rows(np.arange(len(self.marks)))
