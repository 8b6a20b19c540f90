"""Which result of a check an answer is most like: the pack's own words for each, and what others have typed for it.

What an answer is compared by are its concepts and its plain words, each counting by how seldom it is said, and where it
lies by what it means (`meant.py`). How much each comparison counts was learned from answers of people who had not seen
the ones compared with, over all checks at once: a check that nothing was learned of, such as a firm's own, is weighed
by the same numbers on its phrases alone.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from itertools import pairwise
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from bot.language.answers.known import Known, known
from bot.language.answers.meant import Meant, Spot, answer_traits, meant, nearness, shares_of, spot_of
from bot.language.answers.measured import ELECTRICAL, quantity_of
from bot.language.answers.read_whole import with_reading
from bot.language.answers.said_for import SaidFor, Weights, alike, said_for
from bot.language.answers.typed import NO_RESULT, typed_for
from bot.language.index import Index
from bot.language.recent import recent
from bot.language.words.text import word_set
from knowledge.schema import Check

Floats = NDArray[np.float64]
_GOOD: Final = word_set("good ok okay fine normal bien perfect alright great new solid clean tight free works working "
                        "yes yep yeah yup si sound proper")
_BAD: Final = word_set("bad broken busted shot gone burnt cooked toast dead fried bust cracked torn bent rusty melted "
                       "stuck loose off wrong worn")
_NOT: Final = word_set("no not never nope nah none nothing without isnt dont doesnt wont cant didnt aint neither nor "
                       "sin nunca wasnt arent")
KEPT: Final = 256
LIKENESSES: Final = 6
"""Columns of `among` that compare words; then come by how much each leads, the tone, and where the answer lies."""
NEAR: Final = slice(21, 24)
"""Columns that tell how near the answer lies."""
WIDER: Final = 5.0
"""Cosines are small beside the other comparisons."""
LEAST: Final = -9.0
"""Logs of shares below this say no more."""


@dataclass(frozen=True, repr=False, eq=False)
class Learned:
    """`seldom`: trait -> log of how seldom it is said; `rest`: the same of one never seen. `kinds`: [trait, kind] log
    odds of the answers that name no result; `among`: weights of the comparisons; `between`: [kind, input] weights of
    naming a result at all against NO_RESULT; `aside`: weights of a result that is told by the way."""

    places: Mapping[str, int]
    seldom: Floats
    rest: float
    kinds: Floats
    base: Floats
    among: Floats
    between: Floats
    aside: Floats
    meant: Meant
    known: Known

    @property
    def weights(self) -> Weights:
        """How seldom traits are said."""
        return Weights(self.places, self.seldom, self.rest)


class Said(NamedTuple):
    """An answer as it is compared."""

    traits: frozenset[str]
    spot: Spot


@dataclass(frozen=True, slots=True)
class Likeness:
    """Chances of each result, best first, and of each kind of answer that names none; they sum to 1."""

    results: tuple[tuple[str, float], ...]
    none: Mapping[str, float]


@cache
def learned() -> Learned:
    """The weights, written by `python -m tests.benchmarks.language.answers --write`."""
    with files("bot.language").joinpath("data", "answers.npz").open("rb") as file:
        stored = np.load(file, allow_pickle=False)
        names = str(stored["traits"]).split("\n")
        return Learned({name: place for place, name in enumerate(names)}, stored["seldom"].astype(np.float64),
                       float(stored["rest"]), stored["kinds"].astype(np.float64), stored["base"], stored["among"],
                       stored["between"], stored["aside"], meant(), known())


def said_in(index: Index, held: Learned, text: str) -> Said:
    """What is compared of an answer; the last few are kept, since one line is looked at for many checks."""
    said: Said = recent(index.compared, text, KEPT,
                        lambda: Said(answer_traits(index, text), spot_of(index, held.meant, text)))
    return said


def likeness(index: Index, family: str, check: str, text: str, old: Mapping[str, float], *,
             unasked: bool = False) -> Likeness:
    """What an answer to a check is most like. `old`: result -> how well one of its phrases fits as a whole, 0 to 1.
    `unasked`: by comparison alone."""
    results, shares, none = by_comparison(index, family, check, text, old)
    if any(shares) and not unasked and not _metered(index.knowledge.packs[family].checks[check], text):
        shares, none = with_reading(index, (family, check), results, text, (shares, none))
    ranked = sorted(zip(results, shares, strict=True), key=lambda r: -r[1])
    return Likeness(tuple(ranked), dict(zip(NO_RESULT, none, strict=True)))


def _metered(entry: Check, text: str) -> bool:
    """Whether volts or ohms are told to a check that asks for no meter: '240 at the outlet' is no look behind it."""
    return "meter" not in entry.tools and quantity_of(text) in ELECTRICAL


def by_comparison(index: Index, family: str, check: str, text: str, old: Mapping[str, float]
                  ) -> tuple[Sequence[str], list[float], list[float]]:
    """The results of a check, the chance of each and of each of NO_RESULT, by comparisons alone."""
    held = learned()
    choices, said = choices_of(index, family, check, held), said_in(index, held, text)
    if not any(old.values()) and said.traits.isdisjoint(choices.traits):
        return choices.results, [0.0] * len(choices.results), [float(kind == "other") for kind in NO_RESULT]  # 'blub'
    return choices.results, *compared(held, choices, said, old)[1]


def compared(held: Learned, choices: SaidFor, said: Said,
             old: Mapping[str, float]) -> tuple[Floats, tuple[list[float], list[float]]]:
    """The comparisons with each result, and what comes of them."""
    table = among(held, choices, said, old)
    return table, chances(held, table, between(held, said, table))


def chances(held: Learned, table: Floats, inputs: Floats) -> tuple[list[float], list[float]]:
    """Chance of each result by its row of `table`, and of each of NO_RESULT by `inputs`; all of them sum to 1."""
    odds = table @ held.among
    shares = np.exp(odds - odds.max())
    shares /= shares.sum()
    kinds = np.exp(np.append(held.between @ np.append(inputs, 1.0), 0.0))
    kinds /= kinds.sum()
    return (shares * kinds[-1]).tolist(), kinds[:-1].tolist()


def choices_of(index: Index, family: str, check: str, held: Learned) -> SaidFor:
    """The results of a check with all that is said for each; read when the check is first answered."""
    found: SaidFor | None = index.said.get((family, check))
    if found is None:
        found = choices_from(index, held, index.knowledge.packs[family].checks[check], typed_for(family, check))
        index.said[family, check] = found
    return found


def choices_from(index: Index, held: Learned, entry: Check, typed: Mapping[str, Sequence[str]]) -> SaidFor:
    """The results of a check with the pack's own words and with what was typed for each."""
    phrases = {name: [*own_words(entry, name), *typed.get(name, ())] for name in entry.results}
    return said_for(index, held.weights, (held.meant, held.known), entry, phrases)


def own_words(entry: Check, result: str) -> list[str]:
    """What the pack itself says of a result."""
    its = entry.results[result]
    return [its.label, its.says, result.replace("_", " "), *(p for phrases in its.phrases.values() for p in phrases)]


def among(held: Learned, choices: SaidFor, said: Said, old: Mapping[str, float]) -> Floats:
    """[result, comparison]: the likenesses, by how much each leads the best other, what the tone of it says, how near
    it lies to what is said for the result and by how much nearer than to the next, and log of its share by that."""
    whole = np.array([old.get(result, 0.0) for result in choices.results])
    words = np.hstack([whole[:, None], alike(choices, held.weights, said.traits)])
    near = np.array([nearness(said.spot.at, choices.places[first:last])
                     for first, last in pairwise(choices.bounds.tolist())], dtype=np.float64)
    named = shares_of(held.meant, near[:, -1].tolist(), said.spot.none)[0]
    share = named - np.log(np.exp(named).sum())
    return np.hstack([words, _lead(words), _tone(choices, said.traits), near * WIDER, _lead(near) * WIDER,
                      np.maximum(share, LEAST)[:, None]])


def _lead(table: Floats) -> Floats:
    """By how much each row leads the best other, column by column."""
    best = np.sort(table, axis=0)[-2:]
    ahead: Floats = table - np.where(table == best[1], best[0], best[1])
    return ahead


def _tone(choices: SaidFor, traits: frozenset[str]) -> Floats:
    """[result, input]: whether the words are those of praise or of a fault, and how usual each result is."""
    words = {t[1:] for t in traits if t[0] == "'"}
    good, bad, no = bool(words & _GOOD), bool(words & _BAD), bool(words & _NOT)
    most, count = max(choices.usual), len(choices.usual)
    tone = []
    for place, usual in enumerate(choices.usual):
        well = usual == most
        tone.append([good and well, bad and well, good and not well, bad and not well, no and well,
                     math.log(usual + 0.02), 1 / count, place == 0, place == count - 1])
    return np.array(tone, dtype=np.float64)


def between(held: Learned, said: Said, table: Floats) -> Floats:
    """What tells whether a result is named at all: log odds of the other kinds by the words, best of the likenesses,
    how near the nearest result lies and by how much nearer than the next, and logs of the shares by where it lies."""
    places = [held.places[t] for t in said.traits if t in held.places]
    odds = held.base + held.kinds[places].sum(axis=0) / max(1.0, math.sqrt(len(said.traits)))
    near = np.sort(table[:, NEAR], axis=0)[::-1]
    named, none = shares_of(held.meant, (near[:, -1] / WIDER).tolist(), said.spot.none)
    return np.concatenate([odds, table[:, :LIKENESSES].max(axis=0), [math.log(1 + len(said.traits))],
                           near[0], near[0] - near[1], np.maximum(none, LEAST),
                           [max(LEAST, float(np.log(np.exp(named).sum())))]])
