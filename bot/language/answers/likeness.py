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
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

from bot.language.answers.known import Known, known
from bot.language.answers.meant import (
    Meant,
    Spot,
    answer_traits,
    meant,
    nearness,
    places_of,
    shares_of,
    spot_of,
    traits_of_all,
)
from bot.language.answers.typed import NO_RESULT, typed_for
from bot.language.index import Index
from bot.language.words.text import word_set
from knowledge.likelihood import probability
from knowledge.schema import Check

Floats = NDArray[np.float64]
_GOOD: Final = word_set("good ok okay fine normal bien perfect alright great new solid clean tight free works working "
                        "yes yep yeah yup si sound proper")
_BAD: Final = word_set("bad broken busted shot gone burnt cooked toast dead fried bust cracked torn bent rusty melted "
                       "stuck loose off wrong worn")
_NOT: Final = word_set("no not never nope nah none nothing without isnt dont doesnt wont cant didnt aint neither nor "
                       "sin nunca wasnt arent")
SHRUNK: Final = 8.0
"""A trait's share among the answers of a result is drawn to its share among all answers by so many of them."""
NEAREST: Final = 3
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


class Said(NamedTuple):
    """An answer as it is compared."""

    traits: frozenset[str]
    spot: Spot


@dataclass(frozen=True, slots=True)
class Choice:
    """One result and all that is known to be said for it."""

    result: str
    usual: float
    """Chance of it on a machine without any of the check's faults."""
    said: tuple[frozenset[str], ...]
    lengths: tuple[float, ...]
    counts: Mapping[str, int]
    places: NDArray[np.float32]
    """[phrase, number]: where each lies."""


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
    found: Said | None = index.compared.get(text)
    if found is None:
        if len(index.compared) >= KEPT:
            index.compared.clear()
        found = index.compared[text] = Said(answer_traits(index, text), spot_of(index, held.meant, text))
    return found


def likeness(index: Index, family: str, check: str, text: str, old: Mapping[str, float]) -> Likeness:
    """What an answer to a check is most like. `old`: result -> how well one of its phrases fits as a whole, 0 to 1."""
    held = learned()
    choices, said = choices_of(index, family, check, held), said_in(index, held, text)
    shares, none = compared(held, choices, said, old)[1]
    if not any(old.values()) and not any(trait in choice.counts for choice in choices for trait in said.traits):
        shares, none = [0.0] * len(choices), [float(kind == "other") for kind in NO_RESULT]  # 'blub': of nothing known
    ranked = sorted(zip([c.result for c in choices], shares, strict=True), key=lambda r: -r[1])
    return Likeness(tuple(ranked), dict(zip(NO_RESULT, none, strict=True)))


def compared(held: Learned, choices: Sequence[Choice], said: Said,
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


def choices_of(index: Index, family: str, check: str, held: Learned) -> tuple[Choice, ...]:
    """The results of a check with all that is said for each; read when the check is first answered."""
    found: tuple[Choice, ...] | None = index.said.get((family, check))
    if found is None:
        found = choices_from(index, held, index.knowledge.packs[family].checks[check], typed_for(family, check))
        index.said[family, check] = found
    return found


def choices_from(index: Index, held: Learned, entry: Check, typed: Mapping[str, Sequence[str]]) -> tuple[Choice, ...]:
    """The results of a check with the pack's own words and with what was typed for each."""
    usual = _usual_chances(entry)
    return tuple(_choice(index, held, name, usual[name], [*own_words(entry, name), *typed.get(name, ())])
                 for name in entry.results)


def _choice(index: Index, held: Learned, result: str, usual: float, phrases: Sequence[str]) -> Choice:
    """A result with what is said for it."""
    said = tuple(traits_of_all(index, held.known, phrases))
    counts: dict[str, int] = {}
    for one in said:
        for trait in one:
            counts[trait] = counts.get(trait, 0) + 1
    places = places_of(index, held.meant, held.known, list(dict.fromkeys(phrases)))
    return Choice(result, usual, said, tuple(_length(held, one) for one in said), counts, places)


def own_words(entry: Check, result: str) -> list[str]:
    """What the pack itself says of a result."""
    its = entry.results[result]
    return [its.label, its.says, result.replace("_", " "), *(p for phrases in its.phrases.values() for p in phrases)]


def _usual_chances(entry: Check) -> dict[str, float]:
    """Chance of each result on a machine without any of the faults that the check is about."""
    normal = entry.likelihoods.get("normal", {})
    told = {name: probability(normal[name]) for name in entry.results if name in normal}
    left = max(1.0 - sum(told.values()), 0.01) / max(1, len(entry.results) - len(told))
    return {name: told.get(name, left) for name in entry.results}


def among(held: Learned, choices: Sequence[Choice], said: Said, old: Mapping[str, float]) -> Floats:
    """[result, comparison]: the likenesses, by how much each leads the best other, what the tone of it says, how near
    it lies to what is said for the result and by how much nearer than to the next, and log of its share by that."""
    alike = np.array([[old.get(c.result, 0.0), *_alike(held, c, said.traits)] for c in choices])
    near = np.array([nearness(said.spot.at, c.places) for c in choices], dtype=np.float64)
    named = shares_of(held.meant, near[:, -1].tolist(), said.spot.none)[0]
    share = named - np.log(np.exp(named).sum())
    return np.hstack([alike, _lead(alike), _tone(choices, said.traits), near * WIDER, _lead(near) * WIDER,
                      np.maximum(share, LEAST)[:, None]])


def _lead(table: Floats) -> Floats:
    """By how much each row leads the best other, column by column."""
    best = np.sort(table, axis=0)[-2:]
    ahead: Floats = table - np.where(table == best[1], best[0], best[1])
    return ahead


def _tone(choices: Sequence[Choice], traits: frozenset[str]) -> Floats:
    """[result, input]: whether the words are those of praise or of a fault, and how usual each result is."""
    words = {t[1:] for t in traits if t[0] == "'"}
    good, bad, no = bool(words & _GOOD), bool(words & _BAD), bool(words & _NOT)
    most = max(c.usual for c in choices)
    tone = []
    for place, c in enumerate(choices):
        well = c.usual == most
        tone.append([good and well, bad and well, good and not well, bad and not well, no and well,
                     math.log(c.usual + 0.02), 1 / len(choices), place == 0, place == len(choices) - 1])
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


def _alike(held: Learned, mine: Choice, traits: frozenset[str]) -> list[float]:
    """Share of the answer that is said for the result at all; log likelihood ratio of its traits (naive Bayes); the
    nearest of what is said for it, by the weight in common; nearest and mean of the nearest three, by cosine."""
    weight = {trait: weighs(held, trait) for trait in traits}
    whole = sum(weight.values()) or 1.0
    length = _length(held, traits)
    cover = sum(w for t, w in weight.items() if t in mine.counts) / whole
    ratio = sum(_ratio(held, mine, t) for t in traits) / math.sqrt(1 + len(traits))
    common, cosines = 0.0, []
    for said, other in zip(mine.said, mine.lengths, strict=True):
        both = [weight[t] for t in said & traits]
        cosines.append(sum(w * w for w in both) / (length * other) if both else 0.0)
        if both:
            rest = sum(weighs(held, t) for t in said)
            common = max(common, sum(both) / (1 + math.sqrt(rest * whole)))
    cosines.sort(reverse=True)
    best = cosines[:NEAREST]
    return [cover, ratio, common, best[0] if best else 0.0, sum(best) / len(best) if best else 0.0]


def _ratio(held: Learned, mine: Choice, trait: str) -> float:
    """Log of the share of a result's answers with the trait over its share in all answers, shrunk."""
    overall = math.exp(-weighs(held, trait))
    return math.log((mine.counts.get(trait, 0) + SHRUNK * overall) / (len(mine.said) + SHRUNK) / overall)


def weighs(held: Learned, trait: str) -> float:
    """Log of how seldom a trait is said."""
    place = held.places.get(trait)
    return held.rest if place is None else float(held.seldom[place])


def _length(held: Learned, traits: frozenset[str]) -> float:
    return math.sqrt(sum(weighs(held, t) ** 2 for t in traits)) or 1.0
