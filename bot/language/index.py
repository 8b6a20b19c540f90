"""The knowledge's phrases and the grammar's frames, compiled for fast matching: one table a family."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from bot.language.complaints.patterns import (
    FRAME_TRUST,
    WORKS_TRUST,
    Pattern,
    family_words,
    heard,
    kind_weight,
    patterns_of,
    vocabulary_of,
    weights_of,
)
from bot.language.learned.weights import Group, learned_phrases, weights
from bot.language.machine.variants import Builds, builds_of, variant_table
from bot.language.recent import recent
from bot.language.words.lexicon import Lexicon, lexicon
from bot.language.words.phrases import Phrases
from bot.language.words.scope import Clause
from bot.language.words.spelling import Speller
from bot.language.words.spoken import Spoken, spoken_results
from bot.language.words.text import tokens_of
from bot.language.words.units import units_of
from knowledge.building import unsearched
from knowledge.schema import Knowledge

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
RECENT: Final = 512


@dataclass(frozen=True, slots=True)
class Table:
    """Patterns of one family. A pattern is a set of keys; `owner` says which meaning it stands for."""

    family: str
    meanings: tuple[str, ...]
    """'complaint:no_spin' or 'denied:no_spin'."""
    owner: Ints
    total: Floats
    """Weight of all keys of each pattern."""
    size: Ints
    trust: Floats
    postings: dict[str, Ints]
    starts: Ints
    """First pattern of each meaning (patterns are sorted by meaning)."""
    keys: tuple[frozenset[str], ...]
    new: npt.NDArray[np.bool_]
    """Which patterns are of phrases that nothing was learned from."""
    said: Floats
    """[key, meaning]: log of how much likelier a key is in phrases of a meaning than in all phrases."""
    rows: dict[str, int]


@dataclass(repr=False, eq=False)
class Phrasing:
    """All patterns of one family. Most messages need no table of them: it is made for the first that does."""

    family: str
    patterns: Sequence[Pattern]
    weights: Mapping[str, float]

    @cached_property
    def new_keys(self) -> frozenset[str]:
        """Keys of the patterns that nothing was learned from."""
        known = {(p.meaning, p.keys) for p in self.patterns if not p.new}
        return frozenset(key for p in self.patterns if p.new and (p.meaning, p.keys) not in known for key in p.keys)

    @cached_property
    def table(self) -> Table:
        """The patterns, compiled."""
        return _table(self.family, self.patterns, self.weights)


@dataclass(repr=False)
class Index:
    """Everything that understanding needs, built from the knowledge once."""

    lexicon: Lexicon
    speller: Speller
    tables: dict[str, Phrasing]
    weights: dict[str, float]
    kinds: dict[str, str]
    knowledge: Knowledge
    learned: Mapping[str, Group]
    """Family (or 'common') -> how much traits of a message speak for each meaning."""
    families: dict[str, dict[str, float]] = field(default_factory=dict)
    """Key -> family -> log likelihood ratio of the word being said of that family."""
    variants: dict[str, Phrases[tuple[str, str]]] = field(default_factory=dict)
    builds: dict[str, Builds] = field(default_factory=dict)
    """Words of the pack's author that name a build, and those of them that name it when nothing else is said with them;
    these are read when a message first asks for them."""
    own: dict[str, frozenset[str]] = field(default_factory=dict)
    """Family -> what its complaints may mean: 'complaint:no_spin', 'denied:no_spin'."""
    spoken: dict[str, Spoken] = field(default_factory=dict)
    """What states a result of a check, read when a message first asks for it."""
    answers: dict[tuple[str, str], Any] = field(default_factory=dict)
    """Phrases of a check's results, read when the check is first answered."""
    telling: dict[tuple[str, str], dict[str, frozenset[str]]] = field(default_factory=dict)
    """(family, check) -> result -> words of this result and of no other, worked out when first asked for."""
    phrases_of: dict[tuple[str, str], list[tuple[str, str, frozenset[str]]]] = field(default_factory=dict)
    """(family, check) -> result, phrase of its own of two words or more, its stems; worked out when first asked for."""
    plainly_said: dict[tuple[str, str], frozenset[str]] = field(default_factory=dict)
    """(family, complaint) -> words that say the complaint and no more, worked out when first asked for."""
    said_alone: dict[tuple[str, str], frozenset[str]] = field(default_factory=dict)
    """(family, complaint) -> words that are the complaint by themselves, worked out when first asked for."""
    sounds_like: dict[tuple[str, str, str], dict[str, frozenset[str]]] = field(default_factory=dict)
    """(family, check, complaint) -> result that bare words of the complaint sound like -> what it says beside them."""
    names: dict[str, re.Pattern[str]] = field(default_factory=dict)
    """Family -> what its machine is called."""
    said: dict[tuple[str, str], Any] = field(default_factory=dict)
    """What is known to be said for each result, read at the same time."""
    places: dict[str, Any] = field(default_factory=dict)
    """Family -> where all that is known to be said at its machine lies, worked out when first asked for."""
    compared: dict[str, Any] = field(default_factory=dict)
    """What is compared of the last few answers."""
    spots: dict[str, Any] = field(default_factory=dict)
    """Where the last few answers lie as they are read whole."""
    understood: dict[Any, Any] = field(default_factory=dict)
    """What the last few messages mean: the desk asks before the visit does."""
    answered: dict[Any, Any] = field(default_factory=dict)
    """What the last few texts say in answer to a check."""
    readings: dict[str, tuple[Sequence[str], Sequence[Clause]]] = field(default_factory=dict)
    """How the last few texts are read: one message and its parts are looked at for many checks."""

    def builds_of(self, family: str) -> Builds:
        """Words that name how a machine is built when nothing else is said with them."""
        if family not in self.builds:
            self.builds[family] = builds_of(self.knowledge.packs[family])
        return self.builds[family]

    def spoken_of(self, family: str) -> Spoken:
        """Words that state results of checks."""
        if family not in self.spoken:
            self.spoken[family] = spoken_results(self.knowledge.packs[family])
        return self.spoken[family]

    def parse(self, text: str) -> Sequence[Clause]:
        """Clauses of a text, spelling mended."""
        return self.read(text)[1]

    def read(self, text: str) -> tuple[Sequence[str], Sequence[Clause]]:
        """Words of a text, spelling mended and marks left out, and its clauses."""
        return recent(self.readings, text, RECENT, lambda: self._read(text))

    def _read(self, text: str) -> tuple[Sequence[str], Sequence[Clause]]:
        tokens, words = self.speller.spelled(tokens_of(text))
        plain = [w for t, w in zip(tokens, words, strict=True) if not t.is_mark]
        return tuple(plain), tuple(heard(units_of(tokens, words, self.lexicon)))


@unsearched()
def build_index(knowledge: Knowledge, learned: Mapping[str, Group] | None = None) -> Index:
    """The index over all families of the knowledge. Takes some tenths of a second."""
    words = _with_names(lexicon(), knowledge)
    read: dict[str, frozenset[str]] = {}
    told = learned_phrases() if learned is None else frozenset[int]()
    raw = {family: list(patterns_of(pack, words, read, told)) for family, pack in knowledge.packs.items()}
    telling = weights_of(raw)
    speller = Speller(words, vocabulary_of(knowledge))
    tables = {family: Phrasing(family, found, telling) for family, found in raw.items()}
    made = Index(words, speller, tables, telling, dict(words.kinds), knowledge,
                 weights() if learned is None else learned)
    made.families = family_words(raw)
    made.variants = {family: variant_table(pack) for family, pack in knowledge.packs.items()}
    made.own = {family: frozenset(f"{kind}:{name}" for kind in ("complaint", "denied") for name in pack.complaints)
                for family, pack in knowledge.packs.items()}
    return made


def _with_names(words: Lexicon, knowledge: Knowledge) -> Lexicon:
    """The lexicon with the names that the packs give to machines; what it knows already goes first."""
    made = words.copy()
    for pack in knowledge.packs.values():
        for name in (n for names in pack.family.names.values() for n in names):
            made.add_name(name, f"family:{pack.family.id}")
    for key, entry in knowledge.common.handoff_only.items():
        for name in (n for names in entry.phrases.values() for n in names):
            made.add_name(name, f"handoff:{key}")
    return made


def _trusts(spots: list[tuple[str, frozenset[str]]], best: Mapping[tuple[str, frozenset[str]], float],
            postings: Mapping[str, Iterable[int]], kinds: Mapping[str, str]) -> Floats:
    """How far a pattern can be believed: of the patterns that contain its keys, the share with the same meaning."""
    sets = {key: set(places) for key, places in postings.items()}
    names = [meaning.partition(":")[2] for meaning, _ in spots]
    named: dict[str, set[int]] = defaultdict(set)
    for place, name in enumerate(names):
        named[name].add(place)
    telling = {k for k in postings if kinds.get(k.rstrip("-")) in ("function", "event", "state") or k.endswith("-")}
    trust = np.ones(len(spots))
    for place, (spot, name) in enumerate(zip(spots, names, strict=True)):
        believed, keys = best[spot], spot[1]
        if believed >= WORKS_TRUST:
            continue
        above = set.intersection(*(sets[k] for k in keys))
        share = (len(above & named[name]) + 1) / (len(above) + 1)
        trust[place] = believed * share ** (0.2 if believed == FRAME_TRUST else 0.5)
        if telling.isdisjoint(keys):
            trust[place] *= 0.6 if len(keys) == 1 else 0.8
    return trust


def _said(spots: list[tuple[str, frozenset[str]]], rank: Mapping[str, int]) -> tuple[Floats, dict[str, int]]:
    """Smoothed log likelihood ratios of keys, as a naive Bayes classifier uses them."""
    rows = {key: place for place, key in enumerate(sorted({k for _, keys in spots for k in keys}))}
    counts, sizes = np.zeros((len(rows), len(rank))), np.zeros(len(rank))
    for meaning, keys in spots:
        sizes[rank[meaning]] += 1
        for key in keys:
            counts[rows[key], rank[meaning]] += 1
    overall = (counts.sum(axis=1) + 0.5) / (sizes.sum() + 1)
    rate = (counts + 2.0 * overall[:, None]) / (sizes + 2.0)[None, :]
    return np.log(rate / overall[:, None]), rows


def _table(family: str, found: Sequence[Pattern], weights: Mapping[str, float]) -> Table:
    kinds = lexicon().kinds
    best: dict[tuple[str, frozenset[str]], float] = {}
    known: set[tuple[str, frozenset[str]]] = set()
    for pattern in found:
        spot = (pattern.meaning, pattern.keys)
        best[spot] = max(best.get(spot, 0.0), pattern.trust)
        if not pattern.new:
            known.add(spot)
    spots = sorted(best, key=lambda s: (s[0], sorted(s[1])))
    meanings = tuple(sorted({meaning for meaning, _ in spots}))
    rank = {meaning: place for place, meaning in enumerate(meanings)}
    owner = np.array([rank[meaning] for meaning, _ in spots], dtype=np.int64)
    postings: dict[str, list[int]] = defaultdict(list)
    for place, (_, keys) in enumerate(spots):
        for key in keys:
            postings[key].append(place)
    weight = {key: weights[key] * kind_weight(key, kinds) for key in postings}
    total = np.array([sum(weight[k] for k in keys) for _, keys in spots])
    return Table(family, meanings, owner, total, np.array([len(keys) for _, keys in spots], dtype=np.int64),
                 _trusts(spots, best, postings, kinds),
                 {k: np.array(v, dtype=np.int64) for k, v in postings.items()},
                 np.searchsorted(owner, np.arange(len(meanings))), tuple(keys for _, keys in spots),
                 np.array([spot not in known for spot in spots], dtype=bool), *_said(spots, rank))
