"""What a text means as a whole: a transformer of three layers (Vaswani et al. 2017, arXiv 1706.03762), read in numpy.

It began as a pretrained sentence model of six layers (MiniLM, Wang et al. 2020, arXiv 2002.10957), learned what typed
answers mean, and taught half of its layers: `python -m tests.benchmarks.language.reader --teacher FOLDER --write`. All
matrices are whole numbers in steps; they are mapped, and only in its own numbers while it is used.
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

from bot.language.learned.layer import Floats, Layer
from bot.language.reader.pieces import pieces_of

LAYERS, UNITS, HEADS, NUMBERS = 3, 384, 12, 128
TINY: Final = 1e-12
PARTS: Final = ("asks", "mixes", "widens", "narrows")
"""The matrices of a layer: what each piece looks for, has and gives; what comes of the heads; the inner layer's two."""


class Norm(NamedTuple):
    """What a layer's numbers are brought back to."""

    scale: Floats
    base: Floats


class Spot(NamedTuple):
    """Where a text lies, of length 1, and log odds of its naming no result, one for each of NO_RESULT."""

    at: Floats
    none: Floats


@dataclass(frozen=True, repr=False, eq=False)
class Encoder:
    """`words` [piece, unit] in steps of `word_steps` [piece]; `places` [place, unit]; each layer by PARTS, with the two
    norms that follow on "mixes" and "narrows"; `spots` [unit, number]; `none` [unit, kind]."""

    words: NDArray[np.int8]
    word_steps: Floats
    places: Floats
    first: Norm
    layers: Sequence[Mapping[str, Layer]]
    norms: Sequence[tuple[Norm, Norm]]
    spots: Layer
    none: Layer

    def read(self, text: str) -> Spot:
        """Where a text lies."""
        rows = pieces_of(text)
        units = _normed(self.words[rows] * self.word_steps[rows, None] + self.places[:len(rows)], self.first)
        for layer, (after_mixing, after_all) in zip(self.layers, self.norms, strict=True):
            mixed = _through(layer["mixes"], _looked_around(_through(layer["asks"], units)))
            units = _normed(units + mixed, after_mixing)
            units = _normed(units + _through(layer["narrows"], _bent(_through(layer["widens"], units))), after_all)
        whole = units.mean(axis=0, keepdims=True)
        at = _through(self.spots, whole)[0]
        return Spot(at / max(float(np.linalg.norm(at)), TINY), _through(self.none, whole)[0])


def _through(layer: Layer, units: Floats) -> Floats:
    """Through one matrix; its own numbers are not kept, for there are five million of them."""
    found: Floats = units @ layer.matrix.astype(np.float32) * layer.steps + layer.base
    return found


def _looked_around(asked: Floats) -> Floats:
    """[piece, unit]: what each piece takes from the others, head by head, from what all look for, have and give."""
    many, size = len(asked), UNITS // HEADS
    looks, has, gives = asked.reshape(many, 3, HEADS, size).transpose(1, 2, 0, 3)
    heed = looks @ has.transpose(0, 2, 1) / np.float32(size ** 0.5)
    share = np.exp(heed - heed.max(axis=2, keepdims=True))
    share /= share.sum(axis=2, keepdims=True)
    found: Floats = (share @ gives).transpose(1, 0, 2).reshape(many, UNITS)
    return found


def _bent(units: Floats) -> Floats:
    """GELU by its formula with tanh (Hendrycks & Gimpel 2016, arXiv 1606.08415)."""
    found: Floats = 0.5 * units * (1 + np.tanh(np.float32(0.7978845608) * (units + np.float32(0.044715) * units ** 3)))
    return found


def _normed(units: Floats, norm: Norm) -> Floats:
    """Mean 0 and spread 1 in each piece, then scaled (Ba et al. 2016, arXiv 1607.06450)."""
    apart = units - units.mean(axis=1, keepdims=True)
    spread = np.sqrt((apart ** 2).mean(axis=1, keepdims=True) + np.float32(TINY))
    found: Floats = apart / spread * norm.scale + norm.base
    return found


@cache
def encoder() -> Encoder:
    """The weights as they are stored."""
    flat = np.load(_file("reader.npy"), mmap_mode="r").view(np.ndarray)
    words = np.load(_file("reader_words.npy"), mmap_mode="r").view(np.ndarray)
    with _file("reader.npz").open("rb") as file:
        stored = dict(np.load(file, allow_pickle=False))
    shapes = {"asks": (UNITS, 3 * UNITS), "mixes": (UNITS, UNITS), "widens": (UNITS, 4 * UNITS),
              "narrows": (4 * UNITS, UNITS)}
    layers, start = [], 0
    for number in range(LAYERS):
        layer = {}
        for part in PARTS:
            size = shapes[part][0] * shapes[part][1]
            layer[part] = Layer(flat[start:start + size].reshape(shapes[part]), stored[f"{part}{number}_steps"],
                                stored[f"{part}{number}_base"])
            start += size
        layers.append(layer)
    norms = [(Norm(*stored[f"mixed{number}"]), Norm(*stored[f"norm{number}"])) for number in range(LAYERS)]
    spots, none = (Layer(stored[name], stored[f"{name}_steps"], stored[f"{name}_base"]) for name in ("spots", "none"))
    return Encoder(words, stored["word_steps"], stored["places"], Norm(*stored["first"]), layers, norms, spots, none)


def _file(name: str) -> Path:
    return Path(str(files("bot.language").joinpath("data", name)))
