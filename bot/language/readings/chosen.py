"""Which number of an answer is its reading: '14 on it, twin gives 300', 'four wires in the plug', 'nothing gets by'.

An answer to a meter offers its numbers, a reading of nothing, an open circuit, and that no number of it is a reading,
so that its words tell. Which of them is meant is learned from what stands around each number and from all the words,
from typed answers of which the result is known: `python -m tests.benchmarks.language.chosen --write`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from math import log10
from pathlib import Path
from typing import Final, Literal, NamedTuple
from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from bot.language.meaning import Asked
from bot.language.readings.amounts import Amount
from bot.language.readings.numbers import Lexeme
from bot.language.readings.quantities import measures
from bot.language.words.runs import runs_of

Kind = Literal["number", "open", "zero", "words"]
KINDS: Final[tuple[Kind, ...]] = ("open", "zero", "words")
"""What may be meant beside the numbers."""
SIDES: Final = 3
"""Words before and after a number that are looked at."""
LONGEST: Final = 40
RUNS: Final = (4, 5)
"""Letters of a run, for slips of the thumb."""
SMALL: Final = 6
"""Up to here a whole number may count something."""


class Choice(NamedTuple):
    """What may be the reading: a number of the answer by its place, or one of KINDS; and how likely it is meant."""

    kind: Kind
    place: int
    p: float


@dataclass(frozen=True, repr=False, eq=False)
class Weights:
    """What each trait weighs, in whole steps."""

    rows: NDArray[np.int8]
    step: float


def chosen(asked: Asked, items: Sequence[Lexeme], amounts: Sequence[Amount], question: str) -> Sequence[Choice]:
    """All that may be the reading, likeliest first. `question`: that of the check, whose own numbers are none."""
    words = tuple(item.text for item in items)
    scores = np.array([_score(traits) for traits in traits_of(asked, words, tuple(amounts), question)])
    shares: NDArray[np.float64] = np.exp(scores - scores.max())
    shares /= shares.sum()
    kinds = [*(("number", place) for place in range(len(amounts))), *((kind, -1) for kind in KINDS)]
    found = [Choice(kind, place, float(p)) for (kind, place), p in zip(kinds, shares, strict=True)]
    return sorted(found, key=lambda choice: -choice.p)


def traits_of(asked: Asked, words: Sequence[str], amounts: Sequence[Amount], question: str) -> list[list[list[str]]]:
    """[number or kind][group] what is known of each of them."""
    said = _as_said(words, amounts)
    many = f"{min(len(amounts), 3)}"
    numbers = [[[f"n{trait}" for trait in _around(said, amount)],
                [f"n{trait}" for trait in _of(asked, amount, place, amounts, words, question)]]
               for place, amount in enumerate(amounts)]
    pairs = [f"{one} {other}" for one, other in zip(("^", *said), (*said, "$"), strict=True)][:LONGEST]
    groups = [list(said[:LONGEST]), pairs, sorted(set(runs_of(said[:LONGEST], RUNS)))]
    return [*numbers, *([[f"{kind}{many}{asked}", f"{kind}{many}"],
                         *([f"{kind}:{gram}" for gram in group] for group in groups if group)] for kind in KINDS)]


def _as_said(words: Sequence[str], amounts: Sequence[Amount]) -> tuple[str, ...]:
    """The words with what is a figure as one sign, small ones told apart: 'got four wires' is 'got #4 wires'."""
    signs = {amount.first: _sign(amount) for amount in amounts}
    return tuple(signs.get(place, "#" if any(c.isdigit() for c in word) else word) for place, word in enumerate(words))


def _sign(amount: Amount) -> str:
    whole = amount.unit is None and float(amount.value).is_integer() and 0 <= amount.value <= SMALL
    return f"#{amount.value:g}" if whole else "#"


def _around(said: Sequence[str], amount: Amount) -> Iterator[str]:
    before = [*("^" for _ in range(SIDES)), *said[:amount.first]][-SIDES:]
    after = [*said[amount.last + 1:], *("$" for _ in range(SIDES))][:SIDES]
    for far, (left, right) in enumerate(zip(reversed(before), after, strict=True), 1):
        yield from (f"-{far}{left}", f"+{far}{right}", f"-{left}", f"+{right}")
    yield from (f"-2 {before[-2]} {before[-1]}", f"+2 {after[0]} {after[1]}", f"± {before[-1]} {after[0]}",
                f"± {_sign(amount)} {before[-1]}", f"± {_sign(amount)} {after[0]}")


def _of(asked: Asked, amount: Amount, place: int, amounts: Sequence[Amount], words: Sequence[str],
        question: str) -> Iterator[str]:
    """What the number itself is like, and where among the others it stands."""
    unit = "bare" if amount.unit is None else "its" if amount.unit.measures == measures(asked) else "foreign"
    others = [a for a in amounts if a is not amount]
    size = round(log10(abs(amount.value) + 1e-3))
    yield from (unit, f"{asked}", f"size{size}", f"{asked}{size}", f"{unit}{size}", _sign(amount),
                f"spelled{amount.spelled}", f"{_sign(amount)}{amount.spelled}{unit}",
                f"many{min(len(amounts), 3)}", f"at{min(place, 3)}of{min(len(amounts), 4)}",
                f"last{place == len(amounts) - 1}", f"alone{len(words) == amount.last - amount.first + 1}",
                f"point{'.' in words[amount.first]}{unit}")
    if words[amount.first] in question.lower().replace(",", " ").split():
        yield from ("asked", f"asked{_sign(amount)}")
    if any(a.unit is not None for a in others):
        yield f"{unit}beside"
    if others:
        yield f"least{amount.value <= min(a.value for a in others)}"
        yield f"spelled{amount.spelled}beside{any(a.spelled for a in others)}"


def rows_of(traits: Sequence[Sequence[str]], many: int) -> list[list[int]]:
    """The rows of each group's traits, of `many`; what share a row by chance is learned together."""
    return [[crc32(trait.encode()) % many for trait in group] for group in traits if group]


def _score(traits: Sequence[Sequence[str]]) -> float:
    held = weights()
    total = 0.0
    for rows in rows_of(traits, len(held.rows)):
        total += int(held.rows[rows].sum(dtype=np.int64)) / len(rows) ** 0.5
    return held.step * total


@cache
def weights() -> Weights:
    """The weights as they are stored."""
    with _file().open("rb") as file:
        stored = np.load(file, allow_pickle=False)
        return Weights(stored["rows"], float(stored["step"]))


def _file() -> Path:
    return Path(str(files("bot.language").joinpath("data", "chosen.npz")))
