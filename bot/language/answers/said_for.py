"""What is known to be said for each result of a check: the pack's own words, and what others have typed for it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from bot.language.answers.known import Known
from bot.language.answers.meant import Meant, places_of, traits_of_all
from bot.language.index import Index
from knowledge.likelihood import probability
from knowledge.schema import Check

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
SHRUNK: Final = 8.0
"""A trait's share among the answers of a result is drawn to its share among all answers by so many of them."""
NEAREST: Final = 3


class Weights(NamedTuple):
    """Logs of how seldom traits are said: `seldom` by the `places` of the traits; `rest` of one never seen."""

    places: Mapping[str, int]
    seldom: Floats
    rest: float

    def of(self, trait: str) -> float:
        """Log of how seldom a trait is said."""
        place = self.places.get(trait)
        return self.rest if place is None else float(self.seldom[place])


@dataclass(frozen=True, repr=False, eq=False)
class SaidFor:
    """R results of a check, P lines said for them, result by result, in which V traits come up."""

    results: tuple[str, ...]
    usual: tuple[float, ...]
    """[R] chance of each on a machine without any of the check's faults."""
    traits: Mapping[str, int]
    """Trait -> its place, 0 to V - 1."""
    weights: Floats
    """[V] logs of how seldom the traits are said."""
    of: Ints
    """The traits of all lines, one line after another."""
    starts: Ints
    """[P] where in `of` each line begins."""
    sums: Floats
    """[P] weight of each line ..."""
    lengths: Floats
    """... and the root of the sum of the squares of its traits' weights."""
    lines: Ints
    """[R + 1] where in `starts` each result's lines begin, and their number."""
    counts: Ints
    """[R, V] in how many of a result's lines each trait comes up."""
    places: NDArray[np.float32]
    """[line, number] where each line lies by what it means, a line said twice standing once; ..."""
    bounds: Ints
    """... [R + 1] where in `places` each result's begin, and their number."""

    def says(self, result: str, trait: str) -> bool:
        """Whether a trait comes up in what is said for a result."""
        place = self.traits.get(trait)
        return place is not None and bool(self.counts[self.results.index(result), place])

    def among(self, traits: frozenset[str]) -> Ints:
        """Places of those of the traits that come up."""
        found = [place for trait in traits if (place := self.traits.get(trait)) is not None]
        return np.array(sorted(found), dtype=np.int64)

    def in_common(self, places: Ints) -> tuple[Floats, Floats]:
        """[P] weight of the given traits in each line, and the sum of the squares of their weights."""
        mine = np.zeros(len(self.weights))
        mine[places] = self.weights[places]
        found = mine.take(self.of)
        return np.add.reduceat(found, self.starts), np.add.reduceat(found * found, self.starts)


def said_for(index: Index, weights: Weights, lie: tuple[Meant, Known], entry: Check,
             phrases: Mapping[str, Sequence[str]]) -> SaidFor:
    """All that is said for each result. `phrases`: result -> lines, at least one of words each."""
    texts = [text for result in entry.results for text in phrases[result]]
    told = traits_of_all(index, lie[1], texts)
    vocabulary = sorted(frozenset().union(*told))
    numbers = {trait: place for place, trait in enumerate(vocabulary)}
    seldom = np.array([weights.of(trait) for trait in vocabulary])
    result_of = np.repeat(np.arange(len(entry.results)), [len(phrases[result]) for result in entry.results])
    worded = np.array([bool(traits) for traits in told])  # a line of marks alone has nothing to compare
    sizes = np.array([len(traits) for traits in told])[worded]
    of = np.array([numbers[trait] for traits in told for trait in sorted(traits)], dtype=np.int64)
    starts = np.cumsum(sizes) - sizes
    counts = np.zeros((len(entry.results), len(vocabulary)), dtype=np.int64)
    np.add.at(counts, (np.repeat(result_of[worded], sizes), of), 1)
    once = [list(dict.fromkeys(phrases[result])) for result in entry.results]
    usual = _usual_chances(entry)
    heavy = seldom[of]
    return SaidFor(
        tuple(entry.results), tuple(usual[result] for result in entry.results), numbers, seldom, of, starts,
        np.add.reduceat(heavy, starts), np.sqrt(np.add.reduceat(heavy * heavy, starts)),
        np.searchsorted(result_of[worded], np.arange(len(entry.results) + 1)), counts,
        places_of(index, *lie, [text for texts in once for text in texts]), np.cumsum([0, *map(len, once)]))


def _usual_chances(entry: Check) -> dict[str, float]:
    """Chance of each result on a machine without any of the faults that the check is about."""
    normal = entry.likelihoods.get("normal", {})
    told = {name: probability(normal[name]) for name in entry.results if name in normal}
    left = max(1.0 - sum(told.values()), 0.01) / max(1, len(entry.results) - len(told))
    return {name: told.get(name, left) for name in entry.results}


def alike(held: SaidFor, weights: Weights, traits: frozenset[str]) -> Floats:
    """[R, 5] share of an answer that is said for the result at all; log likelihood ratio of its traits (naive Bayes);
    the nearest of what is said for it, by the weight in common; nearest and mean of the nearest three, by cosine."""
    own = [weights.of(trait) for trait in traits]
    whole, length = sum(own) or 1.0, math.sqrt(sum(weight * weight for weight in own)) or 1.0
    there = held.among(traits)
    mine, counts = held.weights[there], held.counts[:, there]
    cover = (counts > 0) @ mine / whole
    both, squares = held.in_common(there)
    common = np.where(both > 0, both / (1 + np.sqrt(held.sums * whole)), 0.0)
    cosines = squares / (length * np.where(held.lengths > 0, held.lengths, 1.0))
    ratio = _ratio(held, mine, counts, len(traits))
    table = np.empty((len(held.results), 5))
    for row, (first, last) in enumerate(pairwise(held.lines.tolist())):
        best = np.sort(cosines[first:last])[::-1][:NEAREST]
        table[row] = (cover[row], ratio[row], common[first:last].max(initial=0.0), *(
            (best[0], best.sum() / len(best)) if len(best) else (0.0, 0.0)))
    return table


def _ratio(held: SaidFor, mine: Floats, counts: Ints, traits: int) -> Floats:
    """[R] log of the share of a result's answers with a trait over its share in all answers, shrunk, over the traits;
    of one that comes up nowhere only the shrinking is left."""
    overall, many = np.exp(-mine), np.diff(held.lines)[:, None]
    known: Floats = np.log((counts + SHRUNK * overall) / (many + SHRUNK) / overall).sum(axis=1)
    unknown = (traits - len(mine)) * np.log(SHRUNK / (many[:, 0] + SHRUNK))
    ratio: Floats = (known + unknown) / math.sqrt(1 + traits)
    return ratio
