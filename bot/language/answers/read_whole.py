"""Which result of a check an answer names, read as a whole by the encoder (`reader/`), beside the comparisons.

For each result of the checks that were known when it was learned there is a place, near which the answers lie that name
it. A check that was not known then, or whose results are others now, is left to the comparisons alone.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Final

import numpy as np

from bot.language.answers.typed import NO_RESULT
from bot.language.index import Index
from bot.language.learned.layer import Floats
from bot.language.reader.encoder import Spot, encoder
from bot.language.recent import recent

KEPT: Final = 256
KNOWN: Final = 0.985
"""From here on comparison alone knows the words for a result."""
ELSEWHERE: Final = 0.25
"""From here on comparison is left alone, which doubts that they answer this check: so a result is taken for .026 of the
answers to another check, as by comparison alone, and else for .041."""
LEAST: Final = 1e-6
"""Chances below this say no more."""
Chances = tuple[list[float], list[float]]
"""Of each result of a check, and of each of NO_RESULT."""


@dataclass(frozen=True, repr=False, eq=False)
class Places:
    """`starts`: family, check -> its first row and its results in the order of the rows; `rows` [result, number];
    `firm`: what nearness is multiplied by to be log odds; `among`, `between`: powers to which the chances by comparison
    and by reading are taken before they are multiplied, of each result among all and of naming one at all."""

    starts: Mapping[tuple[str, str], tuple[int, tuple[str, ...]]]
    rows: Floats
    firm: float
    among: Floats
    between: Floats


def with_reading(index: Index, spot: tuple[str, str], results: Sequence[str], text: str, chances: Chances) -> Chances:
    """Chances of the results of a check, and of each of NO_RESULT, by comparison and by reading; as they are where
    nothing was learned of it, where the words are known for a result, and where they answer something else: lines that
    answer another check are a small part of what reading was learned from. `spot`: family, check."""
    if max(chances[0]) >= KNOWN or chances[1][NO_RESULT.index("other")] >= ELSEWHERE:
        return chances
    held, read = places(), read_whole(index, spot, results, text)
    if read is None:
        return chances
    return shared(together(held.among, held.between, np.array([_logs(chances), _logs(read)])))


def together(among: Floats, between: Floats, heard: Floats) -> Floats:
    """Log odds of each result and each of NO_RESULT of both: `heard` [2, result and kind] logs of the chances."""
    many = heard.shape[1] - len(NO_RESULT)
    named = np.logaddexp.reduce(heard[:, :many], axis=1)
    which = among @ (heard[:, :many] - named[:, None])
    found: Floats = np.concatenate([which - np.logaddexp.reduce(which) + between @ named, between @ heard[:, many:]])
    return found


def read_whole(index: Index, spot: tuple[str, str], results: Sequence[str], text: str) -> Chances | None:
    """The same by reading alone; None where nothing was learned of the check."""
    held = places()
    start, known = held.starts.get(spot, (0, ()))
    if set(known) != set(results):
        return None
    said: Spot = recent(index.spots, text, KEPT, lambda: encoder().read(text))
    near = held.rows[start:start + len(known)] @ said.at * held.firm
    return shared(np.concatenate([near[[known.index(result) for result in results]], said.none]))


def _logs(chances: Chances) -> Floats:
    found: Floats = np.log(np.maximum(np.concatenate(chances), LEAST)).astype(np.float32)
    return found


def shared(odds: Floats) -> Chances:
    """Log odds as chances that add up to 1."""
    found = np.exp(odds - odds.max())
    found /= found.sum()
    return found[:-len(NO_RESULT)].tolist(), found[-len(NO_RESULT):].tolist()


@cache
def places() -> Places:
    """What is stored."""
    path = Path(str(files("bot.language").joinpath("data", "reader_results.npz")))
    with path.open("rb") as file:
        stored = np.load(file, allow_pickle=False)
        starts: dict[tuple[str, str], tuple[int, tuple[str, ...]]] = {}
        for line in str(stored["checks"]).split("\n"):
            family, check, start, *results = line.split()
            starts[family, check] = int(start), tuple(results)
        rows = stored["rows"] * stored["steps"][:, None]
        return Places(starts, rows.astype(np.float32), float(stored["firm"]), stored["among"], stored["between"])
