"""Learned weights: how much each trait of a message speaks for each meaning.

`data/weights.npz` and `data/weights.npy` are written by `python -m tests.benchmarks.language.train` from the labelled
messages and the phrases of the packs: one small network that sees the bag of single traits, and one that sees the words
in their order (`order.py`), each for all meanings of all families, so that seldom meanings learn from common ones. What
is heard is a mean of both. Complaints of a firm's own are in neither; phrases alone tell those.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from importlib.resources import files
from pathlib import Path
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from bot.language.learned.across import Across
from bot.language.learned.layer import Floats, Layer
from bot.language.learned.order import REACH, Order, Part, Placed
from bot.language.learned.traits import Traits

COMMON: Final = "common"
"""The group of meanings that are asked before the family is known: 'family:x', and 'scope' (no complaint at all)."""
UNHEARD: Final = -6.0
"""Log odds of a meaning that nothing speaks for."""
BAG: Final = {"complaint": 0.25, "denied": 0.15}
BAG_ELSE: Final = 0.4
"""Share of the bag of traits in what is heard, by kind of meaning. By messages that nothing was learned from."""
BESIDE: Final = 0.4
"""A word beside the most telling one is shown with it if it says at least this share as much."""


class Rows(dict[str, int]):
    """Trait -> row of a matrix."""

    @classmethod
    def of(cls, traits: Iterable[str]) -> Rows:
        """Rows in the order of the traits."""
        return cls({trait: place for place, trait in enumerate(traits)})

    def among(self, traits: Iterable[str]) -> NDArray[np.intp]:
        """The rows of those traits that have one."""
        return np.array([row for row in map(self.get, traits) if row is not None], dtype=np.intp)


@dataclass(frozen=True, repr=False, eq=False)
class Net:
    """One hidden layer of rectified units between single traits and all meanings."""

    meanings: tuple[str, ...]
    rows: Rows
    inner: Layer
    families: Mapping[str, Floats]
    """What is added to the hidden units for a machine of the family."""
    outer: Layer

    def units(self, traits: Traits) -> Floats:
        """The hidden units before a family is known."""
        return self.inner.summed(self.rows.among(traits.names), traits.weight)

    def heard(self, units: Floats, family: str, outer: Layer) -> Floats:
        """Log odds of the meanings of `outer`, for a machine of the family."""
        return np.asarray(np.maximum(units + self.families[family], 0.0) @ outer.factors + outer.base)


@dataclass(frozen=True)
class Heard:
    """What the networks make of a message before a family is known: hidden units of its traits, and its words, each
    with its neighbours."""

    units: Floats
    words: Floats


@dataclass(frozen=True, repr=False, eq=False)
class Group:
    """The meanings of one family (or those of all), as both networks have them."""

    family: str
    meanings: tuple[str, ...]
    net: Net
    order: Order

    def heard(self, message: Heard) -> Floats:
        """Log odds, meaning by meaning, that the message says it; before calibration."""
        return self.odds(message, self.told(message))

    def told(self, message: Heard) -> Floats:
        """[word, meaning]: what each word adds to the log odds, by the words in their order."""
        return self.order.told(message.words, self.family, self._part)

    def odds(self, message: Heard, told: Floats) -> Floats:
        """The same as `heard`, where it is known what each word adds (`told`)."""
        bag = self.net.heard(message.units, self.family, self._outer)
        in_order = told.sum(axis=0) + self._part.says.base
        return np.asarray(in_order + self._bag * (bag - in_order), dtype=np.float32)

    def most_telling(self, told: Floats, meaning: str) -> tuple[int, int] | None:
        """Places of the first and the last of the words that speak most for a meaning; None where none does."""
        adds = told[:, self._place_of[meaning]]
        best = int(np.argmax(adds))
        if adds[best] <= 0:
            return None
        first = last = best
        while first > 0 and best - first < REACH and adds[first - 1] >= BESIDE * adds[best]:
            first -= 1
        while last + 1 < len(adds) and last - best < REACH and adds[last + 1] >= BESIDE * adds[best]:
            last += 1
        return first, last

    @cached_property
    def _place_of(self) -> Mapping[str, int]:
        return {meaning: place for place, meaning in enumerate(self.meanings)}

    @cached_property
    def _bag(self) -> Floats:
        return np.array([BAG.get(m.partition(":")[0], BAG_ELSE) for m in self.meanings], dtype=np.float32)

    @cached_property
    def _outer(self) -> Layer:
        return self.net.outer.of(_places(self.net.meanings, self.meanings))

    @cached_property
    def _part(self) -> Part:
        return self.order.part(_places(self.order.meanings, self.meanings))

    @cached_property
    def kinds(self) -> Mapping[str, slice]:
        """Kind ('complaint', 'denied') -> where the meanings of it stand, one after the other."""
        found = {}
        for kind in ("complaint", "denied"):
            mine = [place for place, meaning in enumerate(self.meanings) if meaning.startswith(kind)]
            found[kind] = slice(mine[0], mine[-1] + 1) if mine else slice(0, 0)
        return found

    @cached_property
    def opposites(self) -> NDArray[np.intp]:
        """Place of 'denied:x' for 'complaint:x' and the other way; past the end where there is none."""
        places = {meaning: place for place, meaning in enumerate(self.meanings)}
        split = [meaning.partition(":") for meaning in self.meanings]
        swapped = [f"{'denied' if kind == 'complaint' else 'complaint'}:{name}" for kind, _, name in split]
        return np.array([places.get(m, len(places)) for m in swapped], dtype=np.intp)


def _places(known: Sequence[str], wanted: Iterable[str]) -> NDArray[np.intp]:
    places = {meaning: place for place, meaning in enumerate(known)}
    return np.array([places[meaning] for meaning in wanted], dtype=np.intp)


def read(learned: Mapping[str, Group], traits: Traits, said: Sequence[Placed]) -> Heard:
    """A message as the networks see it, for `Group.heard` of whatever family."""
    common = learned[COMMON]
    return Heard(common.net.units(traits), common.order.read(said))


@cache
def learned_phrases() -> frozenset[int]:
    """Marks (`patterns.phrase_mark`) of the packs' phrases that the weights were learned from."""
    return frozenset(_stored()["phrases"].tolist())


@cache
def _stored() -> Mapping[str, NDArray[Any]]:
    with np.load(_folder() / "weights.npz", allow_pickle=False) as file:
        return {name: file[name] for name in file.files}


def _folder() -> Path:
    return Path(str(files("bot.language").joinpath("data")))


@cache
def weights() -> Mapping[str, Group]:
    """Family (or 'common') -> its weights. The matrices are mapped, not read: a message looks at few of their rows."""
    stored = _stored()
    layers = _layers(stored, np.load(_folder() / "weights.npy", mmap_mode="r").view(np.ndarray))
    net = Net(_words(stored["net.meanings"]), Rows.of(_lines(stored["traits"])), layers["net"],
              _of_family(stored, "net"), layers["net.outer"])
    order = _order(stored, layers)
    return {name: Group(name, _words(stored[f"{name}.meanings"]), net, order) for name in _words(stored["groups"])}


def _of_family(stored: Mapping[str, NDArray[Any]], network: str) -> dict[str, Floats]:
    return dict(zip(_words(stored[f"{network}.families"]), stored[f"{network}.of_family"], strict=True))


def _order(stored: Mapping[str, NDArray[Any]], layers: Mapping[str, Layer]) -> Order:
    words, concepts, marks = ({name: row for row, name in enumerate(_lines(stored[f"order.{kind}"]))}
                              for kind in ("words", "concepts", "marks"))
    beside = tuple(its for name, its in layers.items() if name.startswith("order.beside"))
    across = Across(layers["order.asks"], layers["order.gives"], stored["order.apart"], layers["order.inner"],
                    layers["order.outer"])
    return Order(_words(stored["order.meanings"]), words, concepts, marks, layers["order.word"],
                 layers["order.concept"], layers["order.mark"], beside, across,
                 layers["order.whole"], _of_family(stored, "order"), layers["order.says"], layers["order.heeds"])


def _lines(stored: NDArray[Any]) -> list[str]:
    return str(stored.item().decode()).split("\n")


def _words(stored: NDArray[Any]) -> tuple[str, ...]:
    return tuple(str(stored).split())


def _layers(stored: Mapping[str, NDArray[Any]], matrices: NDArray[np.int8]) -> dict[str, Layer]:
    """Name -> layer; the matrices stand one after the other."""
    found: dict[str, Layer] = {}
    start = 0
    for name in _words(stored["layers"]):
        shape = stored[f"{name}.shape"]
        end = start + int(shape.prod())
        found[name] = Layer(matrices[start:end].reshape(shape), stored[f"{name}.steps"], stored[f"{name}.base"])
        start = end
    return found
