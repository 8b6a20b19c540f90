"""A look across a whole message: what each word takes from the others, wherever they stand.

What one thing of a list is said to be, all of it is: 'fills, drains, spins, all good'. Attention with several heads
(Vaswani et al. 2017, arXiv 1706.03762), how far the words are apart added to it (Shaw et al. 2018, arXiv 1803.02155),
and a layer for each word after it, both before-normalised and added to what was there.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from bot.language.learned.layer import Floats, Layer

HEADS: Final = 4
MOST: Final = 160
"""Words and marks that are looked at; a longer story has told its trouble by then."""
FARTHEST: Final = 12
"""Words that stand farther apart than this count as so far apart."""
TINY: Final = 1e-5
"""Keeps numbers that are all the same from being divided by nothing."""


@dataclass(frozen=True, repr=False, eq=False)
class Across:
    """The layers of the look."""

    asks: Layer
    """[unit, 3 x head x place]: what each word asks, what it answers to, and what it gives."""
    gives: Layer
    """[head x place, unit]"""
    apart: Floats
    """[head, 2 x FARTHEST + 1]: what counts for words so far apart, FARTHEST before to FARTHEST behind."""
    inner: Layer
    outer: Layer
    """[unit, unit] each: the layer after it."""

    def look(self, units: Floats, size: int) -> None:
        """Adds to the units [word, unit] what each word takes from the others. Rows from `size` on are no words: they
        are there since products of some numbers of rows take less time; what comes to stand in them means nothing."""
        units += self._taken(units, size) @ self.gives.factors
        units += self.gives.base
        hidden = evened(units) @ self.inner.factors
        hidden += self.inner.base
        units += np.maximum(hidden, 0.0, out=hidden) @ self.outer.factors
        units += self.outer.base

    def _taken(self, units: Floats, size: int) -> Floats:
        """[word, head x place]"""
        asked = evened(units) @ self.asks.factors
        asked += self.asks.base
        asks, answers, gives = asked[:size].reshape(size, 3, HEADS, -1).transpose(1, 2, 0, 3)
        heed = asks @ answers.transpose(0, 2, 1)
        heed *= np.float32(asks.shape[-1] ** -0.5)
        heed += self._by_distance[:, :size, :size]
        heed -= heed.max(axis=2, keepdims=True)
        share = np.exp(heed, out=heed)
        share /= share.sum(axis=2, keepdims=True)
        taken = np.zeros((len(units), HEADS, asks.shape[-1]), dtype=np.float32)
        np.matmul(share, gives, out=taken[:size].transpose(1, 0, 2))
        return taken.reshape(len(units), -1)

    @cached_property
    def _by_distance(self) -> Floats:
        """[head, word, word]: what counts for how far each two words of the longest message are apart."""
        return np.asarray(self.apart[:, distances(MOST)], dtype=np.float32)


def distances(size: int) -> NDArray[np.intp]:
    """[word, word]: column of `Across.apart` for each two of so many words."""
    places = np.arange(size)
    return np.asarray(np.clip(places[None, :] - places[:, None], -FARTHEST, FARTHEST) + FARTHEST)


def evened(units: Floats) -> Floats:
    """Each word's units around nothing and of one spread."""
    wide = np.float32(1 / units.shape[1])
    around = units - np.add.reduce(units, axis=1, keepdims=True) * wide
    spread = np.einsum("wu,wu->w", around, around) * wide + np.float32(TINY)
    around /= np.sqrt(spread)[:, None]
    return np.asarray(around, dtype=np.float32)
