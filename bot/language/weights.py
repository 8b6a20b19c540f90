"""Learned weights: how much each trait of a message speaks for each meaning.

`data/weights.npz` is written by `python -m tests.benchmarks.language.train` from the labelled messages and the phrases
of the packs: one logistic regression a meaning. Complaints of a firm's own are not in it; phrases alone tell those.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from importlib.resources import files
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from bot.language.traits import Span, Traits

COMMON: Final = "common"
"""The group of meanings that are asked before the family is known: 'family:x', and 'scope' (no complaint at all)."""
UNHEARD: Final = -6.0
"""Log odds of a meaning that nothing speaks for."""


@dataclass(frozen=True, repr=False, eq=False)
class Group:
    """The meanings of one family. `matrix`: [trait, meaning] in steps of `steps`; `base`: log odds without traits."""

    meanings: tuple[str, ...]
    rows: Mapping[str, int]
    matrix: NDArray[np.int8]
    steps: NDArray[np.float32]
    base: NDArray[np.float32]

    def heard(self, traits: Traits) -> NDArray[np.float32]:
        """Log odds, meaning by meaning, that the message says it; before calibration."""
        places = [row for row in map(self.rows.get, traits.names) if row is not None]
        total = self.matrix[places].sum(axis=0, dtype=np.float32) * self.steps * traits.weight + self.base
        return np.asarray(total, dtype=np.float32)

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
        told = sorted(((int(self.matrix[self.rows[name], column]), span)
                       for name, span in zip(traits.names, traits.spans, strict=True) if name in self.rows),
                      key=lambda t: (-t[0], t[1]))
        return [span for step, span in told[:most] if step > 0 and span[1]]


@cache
def weights() -> Mapping[str, Group]:
    """Family (or 'common') -> its weights."""
    with files("bot.language").joinpath("data", "weights.npz").open("rb") as file:
        stored = np.load(file, allow_pickle=False)
        return {name: _group(stored, name) for name in str(stored["groups"]).split()}


def _group(stored: Any, name: str) -> Group:
    rows = {trait: place for place, trait in enumerate(str(stored[f"{name}.traits"]).split("\n"))}
    return Group(tuple(str(stored[f"{name}.meanings"]).split()), rows, stored[f"{name}.matrix"],
                 stored[f"{name}.steps"], stored[f"{name}.base"])
