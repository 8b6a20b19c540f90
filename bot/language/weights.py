"""Learned weights: how much each trait of a message speaks for each meaning.

`data/weights.npz` and `data/weights.npy` are written by `python -m tests.benchmarks.language.train` from the labelled
messages and the phrases of the packs: one logistic regression a meaning, one small network for all meanings of all
families, which sees the single traits only and learns for seldom meanings from common ones, and another that sees the
words in their order (`order.py`). What is heard is half the mean of the first two, half the last. Complaints of a
firm's own are in none of them; phrases alone tell those.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from importlib.resources import files
from pathlib import Path
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from bot.language.layer import Floats, Layer
from bot.language.order import Order, Placed
from bot.language.traits import Span, Traits

COMMON: Final = "common"
"""The group of meanings that are asked before the family is known: 'family:x', and 'scope' (no complaint at all)."""
UNHEARD: Final = -6.0
"""Log odds of a meaning that nothing speaks for."""


class Rows(Mapping[str, int]):
    """Trait -> row of a matrix. `places`: trait -> place in `rows`, which is below 0 for a trait without a row; all
    matrices share one `places`, since most of their traits are the same."""

    def __init__(self, places: Mapping[str, int], rows: NDArray[np.int32]) -> None:
        self.places = places
        self.rows = rows

    @classmethod
    def of(cls, traits: Iterable[str]) -> Rows:
        """Rows in the order of the traits."""
        places = {trait: place for place, trait in enumerate(traits)}
        return cls(places, np.arange(len(places), dtype=np.int32))

    def among(self, traits: Iterable[str]) -> NDArray[np.int32]:
        """The rows of those traits that have one."""
        found = self.rows[[place for place in map(self.places.get, traits) if place is not None]]
        return found[found >= 0]

    def __getitem__(self, trait: str) -> int:
        row = int(self.rows[self.places[trait]])
        if row < 0:
            raise KeyError(trait)
        return row

    def __iter__(self) -> Iterator[str]:
        return (trait for trait, place in self.places.items() if self.rows[place] >= 0)

    def __len__(self) -> int:
        return int((self.rows >= 0).sum())


@dataclass(frozen=True, repr=False, eq=False)
class Net:
    """One hidden layer of rectified units between single traits and the meanings of all families together."""

    meanings: tuple[str, ...]
    rows: Rows
    inner: Layer
    families: Mapping[str, NDArray[np.float32]]
    """What is added to the hidden units for a machine of the family."""
    outer: Layer

    def heard(self, traits: Traits, family: str, columns: NDArray[np.intp]) -> NDArray[np.float32]:
        """Log odds of the meanings at `columns`."""
        units = np.maximum(self.inner.summed(self.rows.among(traits.names), traits.weight) + self.families[family], 0.0)
        outer = self.outer
        return np.asarray(units @ outer.matrix[:, columns] * outer.steps[columns] + outer.base[columns])


@dataclass(frozen=True, repr=False, eq=False)
class Group:
    """The meanings of one family: log odds by `layer`, or by it and the networks together."""

    family: str
    meanings: tuple[str, ...]
    rows: Rows
    layer: Layer
    net: Net | None
    order: Order

    def heard(self, traits: Traits, words: Floats) -> Floats:
        """Log odds, meaning by meaning, that the message says it; before calibration. `words`: as `read` gives them."""
        bag = [self.layer.summed(self.rows.among(traits.names), traits.weight)]
        if self.net is not None:
            bag.append(self.net.heard(traits, self.family, self._columns(self.net.meanings)))
        in_order = self.order.heard(words, self.family, self._columns(self.order.meanings))
        return np.asarray((sum(bag) / len(bag) + in_order) / 2, dtype=np.float32)

    def _columns(self, meanings: tuple[str, ...]) -> NDArray[np.intp]:
        """Where a network has the meanings of this family."""
        if meanings not in self._found:
            places = {meaning: place for place, meaning in enumerate(meanings)}
            self._found[meanings] = np.array([places[meaning] for meaning in self.meanings], dtype=np.intp)
        return self._found[meanings]

    @cached_property
    def _found(self) -> dict[tuple[str, ...], NDArray[np.intp]]:
        return {}

    @cached_property
    def kinds(self) -> Mapping[str, NDArray[np.bool_]]:
        """Kind ('complaint', 'denied') -> which of the meanings are of it."""
        return {kind: np.array([m.startswith(kind) for m in self.meanings]) for kind in ("complaint", "denied")}

    @cached_property
    def opposites(self) -> NDArray[np.intp]:
        """Place of 'denied:x' for 'complaint:x' and the other way; past the end where there is none."""
        places = {meaning: place for place, meaning in enumerate(self.meanings)}
        split = [meaning.partition(":") for meaning in self.meanings]
        swapped = [f"{'denied' if kind == 'complaint' else 'complaint'}:{name}" for kind, _, name in split]
        return np.array([places.get(m, len(places)) for m in swapped], dtype=np.intp)

    def most_telling(self, traits: Traits, meaning: str, most: int = 3) -> list[Span]:
        """Where the words stand that speak most for a meaning, strongest first."""
        column = self.meanings.index(meaning)
        told = sorted(((int(self.layer.matrix[self.rows[name], column]), span)
                       for name, span in zip(traits.names, traits.spans, strict=True) if name in self.rows),
                      key=lambda t: (-t[0], t[1]))
        return [span for step, span in told[:most] if step > 0 and span[1]]


def read(learned: Mapping[str, Group], said: Sequence[Placed]) -> Floats:
    """[word, unit]: the words of a message in their order, for `Group.heard` of whatever family."""
    return learned[COMMON].order.read(said)


@cache
def weights() -> Mapping[str, Group]:
    """Family (or 'common') -> its weights. The matrices are mapped, not read: a message looks at few of their rows."""
    folder = Path(str(files("bot.language").joinpath("data")))
    with np.load(folder / "weights.npz", allow_pickle=False) as file:
        stored = {name: file[name] for name in file.files}
    layers = _layers(stored, np.load(folder / "weights.npy", mmap_mode="r").view(np.ndarray))
    places = {trait: place for place, trait in enumerate(_lines(stored["traits"]))}
    rows = {name: Rows(places, stored[f"{name}.rows"]) for name in layers if f"{name}.rows" in stored}
    net = Net(_words(stored["net.meanings"]), rows["net"], layers["net"], _of_family(stored, "net"),
              layers["net.outer"])
    order = _order(stored, layers)
    return {name: Group(name, _words(stored[f"{name}.meanings"]), rows[name], layers[name],
                        net if name in net.families else None, order) for name in _words(stored["groups"])}


def _of_family(stored: Mapping[str, NDArray[Any]], network: str) -> dict[str, Floats]:
    return dict(zip(_words(stored[f"{network}.families"]), stored[f"{network}.of_family"], strict=True))


def _order(stored: Mapping[str, NDArray[Any]], layers: Mapping[str, Layer]) -> Order:
    words, concepts, marks = ({name: row for row, name in enumerate(_lines(stored[f"order.{kind}"]))}
                              for kind in ("words", "concepts", "marks"))
    beside = tuple(its for name, its in layers.items() if name.startswith("order.beside"))
    return Order(_words(stored["order.meanings"]), words, concepts, marks, layers["order.word"],
                 layers["order.concept"], layers["order.mark"], beside,
                 _of_family(stored, "order"), layers["order.says"], layers["order.heeds"])


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
