"""Where an answer lies among all others by what it means: what is said for one result lies near each other.

What the network for messages (`learned/order.py`) makes of the words in their order, and the traits of the answer, are
put into one vector of length 1. How was learned over all checks at once, so that an answer lies nearer to what others
said for its result than to what was said for the other results of the check (nearest support, as in Snell et al. 2017,
arXiv 1703.05175, with a soft maximum in the place of the mean): `python -m tests.benchmarks.language.answers --write`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from bot.language.answers.known import Known
from bot.language.complaints.patterns import keys_of
from bot.language.index import Index
from bot.language.learned.layer import Floats
from bot.language.learned.order import placed
from bot.language.learned.weights import COMMON
from bot.language.parsed import parse
from bot.language.words.forms import stem

SHARP: Final = 8.0
"""How soft the maximum over all that is said for a result is."""
FAR: Final = -2.0
"""Nearness to a result that nothing is said for."""
TINY: Final = 1e-6
LONGEST: Final = 40
"""Words that are looked at; what is asked has been answered by then."""
LAYERS: Final = ("each", "loud", "heed", "heed_base", "taken", "inner", "inner_base", "outer", "outer_base", "none",
                 "none_base")


class Spot(NamedTuple):
    """Where an answer lies, and log odds of its naming no result at all, one for each of NO_RESULT."""

    at: Floats
    none: Floats


@dataclass(frozen=True, repr=False, eq=False)
class Meant:
    """The network. `rows`: trait -> row of `each` [trait, number] and of `loud` [trait], how much it counts. `heed`
    [unit, head] and `taken` [head x unit, number]: the words, as far as each head heeds them. `inner`, `outer`: one
    layer after both. `none` [number, kind]. `firm`: what nearness is multiplied by to be log odds."""

    rows: Mapping[str, int]
    each: NDArray[np.float16]
    loud: Floats
    heed: Floats
    heed_base: Floats
    taken: Floats
    inner: Floats
    inner_base: Floats
    outer: Floats
    outer_base: Floats
    none: Floats
    none_base: Floats
    firm: float


def spot_of(index: Index, held: Meant, text: str) -> Spot:
    """Where a text lies."""
    return spot_from(held, words_of(index, text), answer_traits(index, text))


def spot_from(held: Meant, words: Floats, traits: frozenset[str]) -> Spot:
    """The same, by what `words_of` and `answer_traits` give."""
    heeded = words @ held.heed + held.heed_base
    share = np.exp(heeded - heeded.max(axis=0))
    whole = (share / share.sum(axis=0)).T.dot(words).reshape(-1) @ held.taken
    rows = [held.rows[trait] for trait in sorted(traits) if trait in held.rows]
    if rows:
        whole += held.loud[rows] @ held.each[rows].astype(np.float32) / np.float32(np.sqrt(len(rows)))
    whole = whole + np.maximum(whole @ held.inner + held.inner_base, 0.0) @ held.outer + held.outer_base
    return Spot(whole / max(float(np.linalg.norm(whole)), TINY), whole @ held.none + held.none_base)


def words_of(index: Index, text: str) -> Floats:
    """[word, unit]: the words of a text, each with its neighbours, as the network for messages sees them."""
    return np.maximum(index.learned[COMMON].order.read(placed(parse(index, text))[:LONGEST]), 0.0)


def answer_traits(index: Index, text: str) -> frozenset[str]:
    """The concepts of an answer and its words by their stems."""
    words, clauses = index.read(text)
    return frozenset({"'" + stem(w) for w in words} | keys_of(clauses))


def keys_among(traits: frozenset[str]) -> frozenset[str]:
    """The concepts of an answer without its words."""
    return frozenset(trait for trait in traits if trait[0] != "'")


def traits_of_all(index: Index, held: Known, phrases: Sequence[str]) -> list[frozenset[str]]:
    """The traits of phrases; only those that are new to the program are read."""
    return [answer_traits(index, phrase) if traits is None else traits
            for phrase, traits in zip(phrases, held.traits(phrases), strict=True)]


def places_of(index: Index, held: Meant, known: Known, phrases: Sequence[str]) -> Floats:
    """[phrase, number]: where phrases lie; only those that are new to the program are worked out."""
    found, there = known.find(phrases)
    for row in np.flatnonzero(~there):
        found[row] = spot_of(index, held, phrases[int(row)]).at
    return found


def nearness(at: Floats, places: Floats) -> tuple[float, float, float]:
    """Cosine of the nearest of what is said for a result, the mean of the nearest three, and a soft maximum of all."""
    if not len(places):
        return FAR, FAR, FAR
    alike = np.sort(places @ at)[::-1]
    soft = np.log(np.mean(np.exp(SHARP * alike))) / SHARP
    return float(alike[0]), float(alike[:3].mean()), float(soft)


def shares_of(held: Meant, near: Sequence[float], none: Floats) -> tuple[Floats, Floats]:
    """Logs of the share of each result by its soft nearness, and of each of NO_RESULT."""
    odds = np.concatenate([held.firm * np.maximum(np.array(near, dtype=np.float32), FAR), none])
    odds -= odds.max()
    odds -= np.log(np.exp(odds).sum())
    return odds[:len(near)], odds[len(near):]


@cache
def meant() -> Meant:
    """The network as it is stored."""
    with _file("answers_meant.npz").open("rb") as file:
        stored = np.load(file, allow_pickle=False)
        rows = {trait: row for row, trait in enumerate(str(stored["traits"]).split("\n"))}
        layers = {name: stored[name].astype(np.float32) for name in LAYERS if name != "each"}
        return Meant(rows, stored["each"], **layers, firm=float(stored["firm"]))


def _file(name: str) -> Path:
    return Path(str(files("bot.language").joinpath("data", name)))
