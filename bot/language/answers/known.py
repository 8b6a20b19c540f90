"""Texts that were read when the program was made: what others have typed, and the packs' own phrases. Where each lies
and which traits it has is stored, so that the first answer to a check waits for none of them to be read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from hashlib import blake2b
from importlib.resources import files
from pathlib import Path
from sys import intern
from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
STEP: Final = 1 / 127
"""Vectors are kept as whole numbers of such steps."""


@dataclass(frozen=True, repr=False, eq=False)
class Known:
    """Texts by `keys` in rising order: `places` [text, number] in whole steps of STEP, and the traits of text t, which
    are names[of[starts[t]:starts[t + 1]]]."""

    keys: NDArray[np.uint64]
    places: NDArray[np.int8]
    starts: NDArray[np.int64]
    of: NDArray[np.uint16]
    names: Sequence[str]

    def find(self, texts: Sequence[str]) -> tuple[Floats, NDArray[np.bool_]]:
        """[text, number] where texts lie, and which of them are known; the others lie nowhere yet."""
        rows = self._rows(texts)
        known = rows >= 0
        found = np.zeros((len(texts), self.places.shape[1]), dtype=np.float32)
        found[known] = self.places[rows[known]] * np.float32(STEP)
        return found, known

    def traits(self, texts: Sequence[str]) -> list[frozenset[str] | None]:
        """The traits of texts; None for one that is not known."""
        return [frozenset(self.names[n] for n in self.of[self.starts[row]:self.starts[row + 1]].tolist())
                if row >= 0 else None for row in self._rows(texts).tolist()]

    def _rows(self, texts: Sequence[str]) -> NDArray[np.int64]:
        """Where texts stand, -1 for one that is not known."""
        keys = keys_of_all(texts)
        rows = np.searchsorted(self.keys, keys)
        known = rows < len(self.keys)
        known[known] = self.keys[rows[known]] == keys[known]
        return np.where(known, rows, -1)


def known_of(texts: Sequence[str], places: NDArray[np.int8], traits: Sequence[frozenset[str]]) -> Known:
    """Texts with what is known of each, row by row."""
    keys = keys_of_all(texts)
    order = np.argsort(keys).tolist()
    names = sorted({trait for one in traits for trait in one})
    numbers = {name: number for number, name in enumerate(names)}
    of = [[numbers[trait] for trait in sorted(traits[row])] for row in order]
    return Known(keys[order], places[order],
                 np.cumsum([0, *map(len, of)]), np.array([n for one in of for n in one], dtype=np.uint16), names)


def keys_of_all(texts: Sequence[str]) -> NDArray[np.uint64]:
    """[text] what texts are found by."""
    digests = b"".join(blake2b(text.encode(), digest_size=8).digest() for text in texts)
    return np.frombuffer(digests, dtype=">u8").astype(np.uint64)


@cache
def known() -> Known:
    """What is stored. The places are mapped, not read: few are ever looked at."""
    places = np.load(_file("answers_known.npy"), mmap_mode="r").view(np.ndarray)
    with _file("answers_traits.npz").open("rb") as file:
        stored = np.load(file, allow_pickle=False)
        names = tuple(map(intern, str(stored["names"]).split("\n")))
        return Known(stored["keys"], places, np.cumsum([0, *stored["counts"].tolist()]), stored["of"], names)


def write_known(folder: Path, texts: Known) -> None:
    """Put it where the program reads it."""
    np.save(folder / "answers_known.npy", texts.places)
    np.savez_compressed(folder / "answers_traits.npz", keys=texts.keys, of=texts.of, names="\n".join(texts.names),
                        counts=np.diff(texts.starts).astype(np.uint8))


def _file(name: str) -> Path:
    return Path(str(files("bot.language").joinpath("data", name)))
