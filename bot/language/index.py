"""The knowledge's phrases and the grammar's frames, compiled for fast matching: one table a family."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

import numpy as np
import numpy.typing as npt

from bot.language.clauses import clauses_of
from bot.language.scope import Clause
from bot.language.units import Unit, units_of
from bot.language.frames import frames_for
from bot.language.hazards import vocabulary as hazard_words
from bot.language.lexicon import Lexicon, Sense, lexicon
from bot.language.spelling import Speller
from bot.language.temperatures import judge_temperatures
from bot.language.text import tokens_of
from knowledge.schema import Knowledge, Pack

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
KIND_WEIGHT: Final[Mapping[str, float]] = {
    "function": 1.0, "event": 1.0, "state": 0.8, "thing": 0.6, "other": 0.45, "appliance": 0.3}
FRAME_TRUST: Final = 1.0
PHRASE_TRUST: Final = 0.95
WORKS_TRUST: Final = 1.01
"""A frame of `works` holds by itself: what else contains its words does not make it less sure."""
OK: Final = "=ok"
"""Mark of a key said to be well beside others that are not: 'freezer ok, fridge warm'."""


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
    said: Floats
    """[key, meaning]: log of how much likelier a key is in phrases of a meaning than in all phrases."""
    rows: dict[str, int]


@dataclass
class Index:
    """Everything that understanding needs, built from the knowledge once."""

    lexicon: Lexicon
    speller: Speller
    tables: dict[str, Table]
    weights: dict[str, float]
    kinds: dict[str, str]
    knowledge: Knowledge
    families: dict[str, dict[str, float]] = field(default_factory=dict)
    """Key -> family -> log likelihood ratio of the word being said of that family."""
    variants: dict[str, Any] = field(default_factory=dict)
    spoken: dict[str, Any] = field(default_factory=dict)
    answers: dict[tuple[str, str], Any] = field(default_factory=dict)

    def parse(self, text: str) -> list[Clause]:
        """Clauses of a text, spelling mended."""
        tokens, words = self.speller.spelled(tokens_of(text))
        return heard(units_of(tokens, words, self.lexicon))


def heard(units: Sequence[Unit]) -> list[Clause]:
    """Clauses with temperatures judged."""
    clauses = clauses_of(units)
    judge_temperatures(clauses)
    return clauses


def build_index(knowledge: Knowledge) -> Index:
    """The index over all families of the knowledge. Takes well under half a second."""
    words = _with_names(lexicon(), knowledge)
    raw = {family: list(_patterns(pack, words)) for family, pack in knowledge.packs.items()}
    weights = _weights(raw)
    speller = Speller(words, _vocabulary(knowledge))
    tables = {family: _table(family, found, weights) for family, found in raw.items()}
    made = Index(words, speller, tables, weights, dict(words.kinds), knowledge)
    made.families = _family_words(raw)
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


@dataclass(frozen=True, slots=True)
class _Pattern:
    meaning: str
    keys: frozenset[str]
    trust: float


def keys_of(clauses: Iterable[Clause], *, with_ok: bool = True) -> frozenset[str]:
    """The keys of a phrase, all clauses together; the names of machines left out."""
    keys: set[str] = set()
    said = list(clauses)
    for clause in said:
        mine = {f.key for f in clause.features if f.kind not in ("appliance", "number")}
        if clause.ok and len(said) > 1:
            mine = {key + OK for key in mine}
        elif with_ok and clause.ok:
            mine.add("ok")
        keys |= mine
    return frozenset(keys)


def _patterns(pack: Pack, words: Lexicon) -> Iterator[_Pattern]:
    for complaint, entry in pack.complaints.items():
        for frame in frames_for(pack.family.id, complaint):
            keys = frozenset(k for k in (_resolve(key, words) for key in frame) if k)
            if keys:
                yield _Pattern(f"complaint:{complaint}", keys, FRAME_TRUST)
        for frame in frames_for(pack.family.id, complaint, absent=True):
            yield _Pattern(f"denied:{complaint}", frozenset(_resolve(key, words) for key in frame), WORKS_TRUST)
        for kind, phrases in (("complaint", entry.phrases), ("denied", entry.works_phrases)):
            for phrase in (p for said in phrases.values() for p in said):
                keys = keys_of(_parse(phrase, words))
                if kind == "complaint":
                    keys = frozenset(k for k in keys if not (k.endswith("-") and words.kinds.get(k[:-1]) == "event"))
                if keys and keys != {"ok"}:
                    yield _Pattern(f"{kind}:{complaint}", keys, PHRASE_TRUST)


def _parse(phrase: str, words: Lexicon) -> list[Clause]:
    tokens = tokens_of(phrase)
    return heard(units_of(tokens, [t.word for t in tokens], words))


def _resolve(key: str, words: Lexicon) -> str:
    """A frame may name a concept or simply a word."""
    if key.endswith(OK):
        return _resolve(key[: -len(OK)], words) + OK
    name, denied = key.rstrip("-"), key.endswith("-")
    if name not in words.kinds:
        sense: Sense | None = words.sense(name)
        name = sense.concept if sense is not None else name
    return name + "-" if denied else name


def _weights(raw: Mapping[str, list[_Pattern]]) -> dict[str, float]:
    """How much a key tells: log of how few complaints it is said of, over all families."""
    spread: dict[str, set[str]] = defaultdict(set)
    for family, found in raw.items():
        for pattern in found:
            for key in pattern.keys:
                spread[key].add(f"{family}/{pattern.meaning}")
    whole = len({f"{family}/{p.meaning}" for family, found in raw.items() for p in found}) or 1
    return {key: max(0.35, math.log((whole + 1) / (len(said) + 1))) for key, said in spread.items()}


def kind_weight(key: str, kinds: Mapping[str, str]) -> float:
    """Verbs and states carry more than the things they are said of."""
    return KIND_WEIGHT[kinds.get(key.removesuffix(OK).rstrip("-"), "other")]


def _trusts(spots: list[tuple[str, frozenset[str]]], best: Mapping[tuple[str, frozenset[str]], float],
            postings: Mapping[str, Iterable[int]], kinds: Mapping[str, str]) -> Floats:
    """How far a pattern can be believed: of the patterns that contain its keys, the share with the same meaning."""
    sets = {key: set(places) for key, places in postings.items()}
    trust = np.zeros(len(spots))
    for place, (meaning, keys) in enumerate(spots):
        above = set.intersection(*(sets[k] for k in keys))
        name = meaning.partition(":")[2]
        same = sum(spots[i][0].partition(":")[2] == name for i in above)
        if best[spots[place]] >= WORKS_TRUST:
            trust[place] = 1.0
            continue
        trust[place] = best[spots[place]] * ((same + 1) / (len(above) + 1)) ** (0.2 if best[spots[place]] == FRAME_TRUST else 0.5)
        if not any(kinds.get(k.rstrip("-")) in ("function", "event", "state") or k.endswith("-") for k in keys):
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


def _table(family: str, found: list[_Pattern], weights: Mapping[str, float]) -> Table:
    kinds = lexicon().kinds
    best: dict[tuple[str, frozenset[str]], float] = {}
    for pattern in found:
        spot = (pattern.meaning, pattern.keys)
        best[spot] = max(best.get(spot, 0.0), pattern.trust)
    spots = sorted(best, key=lambda s: (s[0], sorted(s[1])))
    meanings = tuple(sorted({meaning for meaning, _ in spots}))
    rank = {meaning: place for place, meaning in enumerate(meanings)}
    owner = np.array([rank[meaning] for meaning, _ in spots], dtype=np.int64)
    total = np.array([sum(weights[k] * kind_weight(k, kinds) for k in keys) for _, keys in spots])
    postings: dict[str, list[int]] = defaultdict(list)
    for place, (_, keys) in enumerate(spots):
        for key in keys:
            postings[key].append(place)
    return Table(family, meanings, owner, total, np.array([len(keys) for _, keys in spots], dtype=np.int64),
                 _trusts(spots, best, postings, kinds),
                 {k: np.array(v, dtype=np.int64) for k, v in postings.items()},
                 np.searchsorted(owner, np.arange(len(meanings))), tuple(keys for _, keys in spots),
                 *_said(spots, rank))


def _family_words(raw: Mapping[str, list[_Pattern]]) -> dict[str, dict[str, float]]:
    """Log ratio of a key's rate in one family against its mean rate, smoothed."""
    counts: dict[str, dict[str, float]] = defaultdict(lambda: defaultdict(float))
    totals: dict[str, float] = defaultdict(float)
    for family, found in raw.items():
        for pattern in found:
            for key in pattern.keys:
                counts[key.rstrip("-")][family] += 1 / len(found)
                totals[family] += 1 / len(found)
    told: dict[str, dict[str, float]] = {}
    for key, by_family in counts.items():
        rates = {f: by_family.get(f, 0.0) + 0.002 for f in raw}
        mean = sum(rates.values()) / len(rates)
        told[key] = {f: math.log(rate / mean) for f, rate in rates.items()}
    return told


def _vocabulary(knowledge: Knowledge) -> set[str]:
    found: set[str] = hazard_words()
    for pack in knowledge.packs.values():
        said = [p for c in pack.complaints.values() for group in (c.phrases, c.works_phrases)
                for phrases in group.values() for p in phrases]
        said += [p for check in pack.checks.values() for result in check.results.values()
                 for phrases in result.phrases.values() for p in phrases]
        said += [p for axis in pack.family.variants.values() for value in axis.values.values()
                 for phrases in value.phrases.values() for p in phrases]
        found.update(t.word for phrase in said for t in tokens_of(phrase) if t.word.isalpha())
    return found
