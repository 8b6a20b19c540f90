"""What a line says of where the job stands: the part is here, she agreed, it is in, it works, still at it.

There are few such things to say at each point of a visit and no end of words for them, so they are learned: words,
pairs of neighbouring words and runs of letters (for slips of the thumb) each weigh for or against each of them,
whatever the machine, and only those that can be said at that point compete. Learned from lines by people who saw a
scene and what was to be said and nothing of the program: `python -m tests.benchmarks.language.status --write`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache, lru_cache
from importlib.resources import files
from pathlib import Path
from typing import Final, NamedTuple
from zlib import crc32

import numpy as np

from bot.language.learned.layer import Floats, Layer
from bot.language.words.runs import runs_of
from bot.language.words.text import tokens_of


class Status(StrEnum):
    """What may be said of a job. Not each of them at each point."""

    PART_HERE = "part_here"
    ORDER = "order"
    HERE_AND_AGREED = "here_and_agreed"
    AGREED = "agreed"
    DECLINED = "declined"
    LATER = "later"
    COVERED = "covered"
    DOUBT = "doubt"
    CLEAN_ONLY = "clean_only"
    DO_IT = "do_it"
    DONE = "done"
    WORKS = "works"
    SAME = "same"
    PARTLY = "partly"
    OTHER = "other"
    UNTESTED = "untested"
    WAIT = "wait"
    ASK = "ask"
    STUCK = "stuck"
    WRONG_PART = "wrong_part"
    NOT_COME = "not_come"
    HERE_NOT_NOW = "here_not_now"
    ALL_DONE = "all_done"
    CANNOT = "cannot"
    NO_TOOL = "no_tool"
    UNSURE = "unsure"
    ANSWER = "answer"
    ELSE = "else"


class Said(NamedTuple):
    """What a line says, and how likely it is that it does."""

    status: Status
    p: float


SURE: Final = 0.6
"""From here on what was learned goes before what patterns hear: .90 right by folds over families, many of the lines
written to be told apart by their small words alone."""
LIKELY: Final = 0.5
"""From here on it is taken where nothing else was heard: of those between the two, .63 are right."""
NOTHING: Final = Said(Status.ELSE, 0.0)
LONGEST: Final = 60
"""Words that are looked at."""
RUNS: Final = (3, 4, 5)
"""Letters of a run; a word counts with a border at both ends."""


@dataclass(frozen=True, repr=False, eq=False)
class Weights:
    """`layer` [gram, status]: what each gram weighs; its base is not used. `base` [point, status]: what stands before
    any word, far below 0 where a status cannot be meant. `words`: those that were met more than once; of a line without
    any of them nothing is known."""

    layer: Layer
    base: Floats
    points: Mapping[str, int]
    statuses: Sequence[Status]
    words: frozenset[str]


def said_at(point: str, text: str) -> Said:
    """The likeliest thing that a line says at a point: the kind of the open question. NOTHING at other points."""
    chances = chances_at(point, text)
    if not chances:
        return NOTHING
    status = max(chances, key=chances.__getitem__)
    return Said(status, chances[status])


@lru_cache(maxsize=256)
def chances_at(point: str, text: str) -> Mapping[Status, float]:
    """How likely each thing is that can be said at a point; they add up to 1. Empty at points that have none, and of
    lines of which no word is known."""
    held = weights()
    if point not in held.points or held.words.isdisjoint(token.word for token in tokens_of(text)):
        return {}
    heard = held.base[held.points[point]].copy()
    for rows in rows_of(text, len(held.layer.matrix)):
        heard += held.layer.matrix[rows].sum(axis=0, dtype=np.float32) * held.layer.steps / np.float32(len(rows) ** 0.5)
    shares = np.exp(heard - heard.max())
    shares /= shares.sum()
    return {status: float(p) for status, p in zip(held.statuses, shares, strict=True) if p > 0.0}


def rows_of(text: str, many: int) -> list[list[int]]:
    """The rows of a text's words, of its pairs of words and of its runs of letters, each once, of `many` rows. What
    share a row by chance is learned together (Weinberger et al. 2009, arXiv 0902.2206)."""
    words = [token.word for token in tokens_of(text)][:LONGEST]
    pairs = [f"{one} {other}" for one, other in zip(["^", *words], [*words, "$"], strict=True)]
    return [sorted({crc32(f"{kind}{gram}".encode()) % many for gram in grams})
            for kind, grams in zip("wpr", (words, pairs, list(runs_of(words, RUNS))), strict=True) if grams]


@cache
def weights() -> Weights:
    """The weights as they are stored."""
    with _file().open("rb") as file:
        stored = np.load(file, allow_pickle=False)
        points = {point: row for row, point in enumerate(str(stored["points"]).split())}
        statuses = [Status(name) for name in str(stored["statuses"]).split()]
        layer = Layer(stored["matrix"], stored["steps"], np.zeros(len(statuses), np.float32))
        return Weights(layer, stored["base"], points, statuses, frozenset(str(stored["words"]).split()))


def _file() -> Path:
    return Path(str(files("bot.language").joinpath("data", "status.npz")))
