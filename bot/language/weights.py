"""Learned weights: how much each trait of a message speaks for each meaning.

`data/weights.npz` is written by `python -m tests.benchmarks.language.train` from the labelled messages and the phrases
of the packs: one logistic regression a meaning, and one small network for all meanings of all families, which sees the
single traits only and learns for seldom meanings from common ones. What is heard is the mean of the two. Complaints of
a firm's own are in neither; phrases alone tell those.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from importlib.resources import files
from sys import intern
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from bot.language.traits import Span, Traits

COMMON: Final = "common"
"""The group of meanings that are asked before the family is known: 'family:x', and 'scope' (no complaint at all)."""
UNHEARD: Final = -6.0
"""Log odds of a meaning that nothing speaks for."""


@dataclass(frozen=True, repr=False, eq=False)
class Layer:
    """Whole numbers in steps: [row, column] of `matrix` times `steps`, plus `base`."""

    matrix: NDArray[np.int8]
    steps: NDArray[np.float32]
    base: NDArray[np.float32]

    def summed(self, places: Sequence[int], weight: float) -> NDArray[np.float32]:
        """The rows at `places` summed, each counting `weight`."""
        total = self.matrix[places].sum(axis=0, dtype=np.float32) * self.steps * weight + self.base
        return np.asarray(total, dtype=np.float32)


@dataclass(frozen=True, repr=False, eq=False)
class Net:
    """One hidden layer of rectified units between single traits and the meanings of all families together."""

    meanings: tuple[str, ...]
    rows: Mapping[str, int]
    inner: Layer
    families: Mapping[str, NDArray[np.float32]]
    """What is added to the hidden units for a machine of the family."""
    outer: Layer

    def heard(self, traits: Traits, family: str, columns: NDArray[np.intp]) -> NDArray[np.float32]:
        """Log odds of the meanings at `columns`."""
        places = [row for row in map(self.rows.get, traits.names) if row is not None]
        units = np.maximum(self.inner.summed(places, traits.weight) + self.families[family], 0.0)
        outer = self.outer
        return np.asarray(units @ outer.matrix[:, columns] * outer.steps[columns] + outer.base[columns])


@dataclass(frozen=True, repr=False, eq=False)
class Group:
    """The meanings of one family: log odds by `layer`, or the mean of it and the network's."""

    family: str
    meanings: tuple[str, ...]
    rows: Mapping[str, int]
    layer: Layer
    net: Net | None

    def heard(self, traits: Traits) -> NDArray[np.float32]:
        """Log odds, meaning by meaning, that the message says it; before calibration."""
        told = self.layer.summed([row for row in map(self.rows.get, traits.names) if row is not None], traits.weight)
        if self.net is None:
            return told
        return np.asarray((told + self.net.heard(traits, self.family, self._columns)) / 2, dtype=np.float32)

    @cached_property
    def _columns(self) -> NDArray[np.intp]:
        """Where the network has the meanings of this family."""
        places = {meaning: place for place, meaning in enumerate(self.net.meanings)} if self.net is not None else {}
        return np.array([places[meaning] for meaning in self.meanings], dtype=np.intp)

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


@cache
def weights() -> Mapping[str, Group]:
    """Family (or 'common') -> its weights."""
    with files("bot.language").joinpath("data", "weights.npz").open("rb") as file:
        stored = np.load(file, allow_pickle=False)
        net = Net(tuple(str(stored["net.meanings"]).split()), _rows(stored, "net"), _layer(stored, "net.inner"),
                  dict(zip(str(stored["net.families"]).split(), stored["net.of_family"], strict=True)),
                  _layer(stored, "net.outer"))
        return {name: Group(name, tuple(str(stored[f"{name}.meanings"]).split()), _rows(stored, name),
                            _layer(stored, name), net if name in net.families else None)
                for name in str(stored["groups"]).split()}


def _rows(stored: Any, name: str) -> dict[str, int]:
    return {intern(trait): place for place, trait in enumerate(str(stored[f"{name}.traits"]).split("\n"))}


def _layer(stored: Any, name: str) -> Layer:
    return Layer(stored[f"{name}.matrix"], stored[f"{name}.steps"], stored[f"{name}.base"])
