"""Which complaints a message tells, before what bears on them is heard: weighed over all families it may be about."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from bot.language.complaints.bearing import only_likelier
from bot.language.complaints.matching import Match, matches
from bot.language.index import Index
from bot.language.learned.layer import Floats
from bot.language.learned.weighing import Setting, aside_chance, chances
from bot.language.learned.weights import Group, Heard
from bot.language.machine.family import WASHERS, Machine
from bot.language.meaning import Clue, Guess
from bot.language.words.scope import Clause
from bot.language.words.text import Token

FAMILY_SURE: Final = 0.9
"""Below this the family is asked for."""
SURE: Final = 0.6
BEST: Final = 0.2
"""The best guess is listed from here on, though not confident."""
FAINT: Final = 0.02
"""A family less likely than this is not looked at."""
ASIDE: Final = 0.2
"""From this probability on a message is taken to report no trouble of a machine."""
DENIED: Final = 0.5
HEARD: Final = 0.01
"""Guesses below this are not worth keeping."""
FAINTEST: Final = 1e-4
"""And what is less likely of one family is not worth adding up over all."""
SHOWN: Final = 0.2
"""From here on it is shown which words led there."""
NAMES_COUNT: Final = 0.5
LEARNED: Final = 1.0
EITHER: Final = 0.3
"""How much log odds of a family count: by its names and parts, learned, and learned of one washer against the other."""
_NOTHING: Final = np.empty(0, dtype=np.float32)


@dataclass(frozen=True, slots=True)
class Line:
    """A message and what is known of it before its complaints are weighed.

    `family`: what was known before. `clauses`: without the words that told a danger. `message`, `common`: as the
    networks see it, and the log odds of what is common to all families. `traits`: how many there are.
    """

    family: str | None
    machine: Machine
    clauses: Sequence[Clause]
    tokens: Sequence[Token]
    message: Heard
    common: Mapping[str, float]
    traits: int
    setting: Setting
    danger: bool


@dataclass(frozen=True, slots=True)
class Weighed:
    """Complaints told (`guesses`) and denied. `shares`: how likely each family is meant; `told`: the one that is sure.
    `aside`: the message reports no trouble of a machine."""

    shares: Mapping[str, float]
    told: str | None
    guesses: list[Guess]
    denied: tuple[str, ...]
    clues: list[Clue]
    aside: bool


def weigh(index: Index, line: Line) -> Weighed:
    """The complaints of a line, with their probabilities over all families that may be meant."""
    if line.family is not None and line.family in index.tables:
        shares: Mapping[str, float] = {line.family: 1.0}
    else:
        shares = families(line.common, line.machine.shares(), line.machine.named)
    found = {f: matches(index, index.tables[f], line.clauses) for f, share in shares.items() if share > FAINT}
    told_of = {f: index.learned[f].told(line.message) for f in found if f in index.learned}
    heard = {f: index.learned[f].odds(line.message, adds) for f, adds in told_of.items()}
    said = {f: _of_pack(index, f, chances(index.learned.get(f), heard.get(f, _NOTHING), found[f], line.setting))
            for f in found}
    own = any(said[f].get(m.meaning, 0.0) >= SURE for f in heard for m in found[f])
    aside = not line.danger and not own and aside_chance(
        [(index.learned[f], odds) for f, odds in heard.items()], line.setting, line.traits) >= ASIDE
    best = max(shares, key=shares.__getitem__)
    sure = shares[best] >= FAMILY_SURE and (line.family or _tells(line.machine, said, best))
    guesses, denied, clues = _complaints(index.learned, shares, said, found, told_of, line.tokens)
    return Weighed(shares, best if sure else None, guesses, denied, clues, aside)


def _tells(machine: Machine, said: Mapping[str, Mapping[str, float]], best: str) -> bool:
    return bool(machine.named) or any(p >= BEST for p in said.get(best, {}).values())


def _of_pack(index: Index, family: str, said: Mapping[str, float]) -> dict[str, float]:
    """Without complaints that the pack no longer has."""
    own = index.own[family]
    return {meaning: p for meaning, p in said.items() if meaning in own}


def families(heard: Mapping[str, float], shares: Mapping[str, float], named: Collection[str],
             ) -> dict[str, float]:
    """Families of which the words are said gain. Who says washer and no more (`named`) may mean either: what was
    learned of the two counts less between them."""
    learned = {f: heard.get(f"family:{f}", 0.0) for f in shares}
    if set(named) == {"washer"} and learned.keys() >= set(WASHERS):
        middle = sum(learned[f] for f in WASHERS) / 2
        learned |= {f: middle + EITHER * (learned[f] - middle) for f in WASHERS}
    odds = {f: NAMES_COUNT * math.log(max(share, 1e-9)) + LEARNED * learned[f] for f, share in shares.items()}
    top = max(odds.values())
    parts = {f: math.exp(v - top) for f, v in odds.items()}
    whole = sum(parts.values())
    return {f: v / whole for f, v in parts.items()}


def _complaints(learned: Mapping[str, Group], shares: Mapping[str, float], said: Mapping[str, Mapping[str, float]],
                found: Mapping[str, Sequence[Match]], told_of: Mapping[str, Floats], tokens: Sequence[Token],
                ) -> tuple[list[Guess], tuple[str, ...], list[Clue]]:
    """Probabilities averaged over the families that may be meant. `told_of`: what each word adds, by family."""
    sides: dict[str, dict[str, float]] = {"complaint": {}, "denied": {}}
    clues: dict[str, Clue] = {}
    for family, told in said.items():
        for meaning, p in told.items():
            if p < FAINTEST:
                continue
            kind, _, name = meaning.partition(":")
            chance = shares[family] * p
            sides[kind][name] = sides[kind].get(name, 0.0) + chance
            if chance > SHOWN and meaning not in clues:
                spot = _phrase_of(found[family], meaning)
                if spot is None and family in told_of and tokens:
                    spot = _words_of(learned[family], told_of[family], meaning, tokens)
                if spot is not None:
                    clues[meaning] = Clue(*spot, "", meaning)
    present, absent = sides["complaint"], sides["denied"]
    guesses = sorted((Guess(name, round(min(p, 0.999), 3)) for name, p in present.items()
                      if p > absent.get(name, 0.0) and p >= HEARD), key=lambda g: -g.p)
    denied = only_likelier({n: p for n, p in absent.items() if p >= DENIED and p > present.get(n, 0.0)})
    return guesses, denied, list(clues.values())


def _phrase_of(found: Sequence[Match], meaning: str) -> tuple[int, int] | None:
    """Where the phrases of a meaning stand that matched."""
    spots = [(f.start, f.end) for m in found if m.meaning == meaning for f in m.features if f.end]
    return (min(spots)[0], max(end for _, end in spots)) if spots else None


def _words_of(group: Group, told: Floats, meaning: str, tokens: Sequence[Token]) -> tuple[int, int] | None:
    """Where the words stand that the learned weights rest on for a meaning."""
    places = group.most_telling(told, meaning) if meaning in group.meanings else None
    return (tokens[places[0]].start, tokens[places[1]].end) if places else None
