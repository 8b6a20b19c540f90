"""Which complaints a clause reports or denies: coverage of patterns, explaining away, one meaning at a time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from bot.language.complaints.patterns import OK, kind_weight
from bot.language.index import Floats, Index, Phrasing, Table
from bot.language.words.scope import Clause, Feature

UNKNOWN_WEIGHT: Final = 2.0
"""Weight of a word that no phrase of the knowledge contains."""
LEAST: Final = 0.12
MOST_SPANS: Final = 60
ASIDE: Final = 0.3
"""A complaint from this score on makes a hum beside it an aside."""
ASIDES: Final = {"complaint:noisy": frozenset({"hum", "click", "sound", "pop"}),
                 "complaint:error_code": frozenset({"flash", "beep"})}
SAID: Final = frozenset({"function", "event", "state"})
_HINDERS: Final = frozenset({"barely", "slow", "too", "keeps", "first_symptom"})


@dataclass(frozen=True, slots=True)
class Match:
    """One meaning found in a span of clauses. `score` 0..1; `margin` to the next other meaning of the same words."""

    meaning: str
    score: float
    cover: float
    explained: float
    margin: float
    belief: float
    """Share of this meaning when the words are weighed one by one, without patterns."""
    size: int
    """Keys of the pattern."""
    weight: float
    """How much the pattern's words tell, all together."""
    trust: float
    praised: bool
    """True when a clause of the span says that something is fine."""
    features: tuple[Feature, ...]
    span: tuple[int, ...]
    fine: tuple[Feature, ...]
    """Those of the features that stand in a clause that says that something is fine."""
    plain: bool
    """False where the words stand in a side remark, a guess, the past or a condition."""


@dataclass(slots=True)
class _Item:
    feature: Feature
    keys: tuple[tuple[str, float], ...]
    weight: float


def matches(index: Index, phrases: Phrasing, clauses: Sequence[Clause]) -> list[Match]:
    """What phrases that nothing was learned from say of a message, and any phrase of which it says that it is not that:
    greedily, the best explanation first, then what the words left over say."""
    found: list[Match] = []
    if not (phrases.new_keys or any(clause.not_that for clause in clauses)):
        return found
    for span in _spans(clauses):
        said = [clauses[i] for i in span]
        items = _items(index, said)
        if any(key in phrases.new_keys for item in items for key, _ in item.keys) or (
                items and any(clause.not_that for clause in said)):
            found += _span_matches(index, phrases.table, items, said, span)
    found.sort(key=_value, reverse=True)
    return _without_asides(_explain(found))


def _value(match: Match) -> float:
    return match.score * (1 + 0.15 * len(match.features)) * (0.93 if len(match.span) > 1 else 1.0)


def _spans(clauses: Sequence[Clause]) -> list[tuple[int, ...]]:
    usable = [i for i, c in enumerate(clauses) if c.features and not c.past][:MOST_SPANS]
    spans: list[tuple[int, ...]] = [(i,) for i in usable]
    spans += [(a, b) for a, b in pairwise(usable)
              if b == a + 1 and len(clauses[a].features) + len(clauses[b].features) < 12]
    return spans


def _items(index: Index, clauses: Sequence[Clause]) -> list[_Item]:
    items: list[_Item] = []
    seen: set[str] = set()
    for clause in clauses:
        for feature in clause.features:
            key = feature.key
            if feature.kind in ("appliance", "number") or key in seen:
                continue
            seen.add(key)
            keys = [(key, 0.5 if clause.ok and len(clauses) > 1 else 1.0)]
            if clause.ok:
                keys.append((key + OK, 1.0))
                if feature.kind == "event" and feature.sign > 0:
                    keys = [(key, 0.4), (key + "-", 0.9)]
            if feature.sign < 0 and feature.kind in ("thing", "other"):
                keys.append((feature.concept, 0.6))
            if clause.only and feature.kind == "function" and feature.sign > 0 and not feature.subordinate:
                keys.append((feature.concept + "-", 0.85))
            keys += index.lexicon.implies.get(key, ())
            weight = index.weights.get(key, UNKNOWN_WEIGHT) * kind_weight(key, index.kinds)
            items.append(_Item(feature, tuple(keys), weight * _load(feature, key in index.weights)))
        if clause.ok and "ok" not in seen:
            seen.add("ok")
            items.append(_Item(Feature("ok", "state", 1, 0, 0), (("ok", 1.0),), 0.3))
        if clause.only and "only" not in seen:
            seen.add("only")
            items.append(_Item(Feature("only", "state", 1, 0, 0), (("only", 1.0),), 0.3))
    return items


def _load(feature: Feature, known: bool) -> float:
    """How much a word asks to be explained: what is said counts, what it is said of and where hardly."""
    if feature.kind == "other":
        return 0.4 if known else 0.12
    load = 0.4 if feature.kind == "thing" else 0.6 if feature.kind == "function" and feature.sign > 0 else 1.0
    return load * (0.4 if feature.subordinate else 1.0)


def _span_matches(index: Index, table: Table, items: list[_Item], clauses: Sequence[Clause], span: tuple[int, ...],
                  ) -> list[Match]:
    size = len(table.owner)
    cover, explained = np.zeros(size), np.zeros(size)
    for item in items:
        for key, strength in item.keys:
            places = table.postings.get(key)
            if places is not None:
                cover[places] += strength * index.weights[key] * kind_weight(key, index.kinds)
                explained[places] += strength * item.weight
    whole = sum(item.weight for item in items)
    cover = np.minimum(cover / table.total, 1.0)
    share = np.minimum(explained / whole, 1.0)
    score = table.trust * cover ** 2 * (0.35 + 0.65 * share)
    return _best(index, table, items, clauses, span, score, cover, share)


def _best(index: Index, table: Table, items: list[_Item], clauses: Sequence[Clause], span: tuple[int, ...],
          score: Floats, cover: Floats, share: Floats) -> list[Match]:
    tops = np.maximum.reduceat(score, table.starts)
    order = [int(m) for m in np.argsort(-tops)[:8] if tops[m] >= LEAST]
    if not order:
        return []
    ends = [*table.starts[1:], len(score)]
    belief = _belief(table, items)
    found: list[Match] = []
    for meaning in order:
        start = int(table.starts[meaning])
        place = start + int(np.argmax(score[start:ends[meaning]]))
        if not (table.new[place] or any(c.not_that for c in clauses)):
            continue
        keys = table.keys[place]
        used = tuple(i.feature for i in items if any(k in keys for k, _ in i.keys))
        if len(span) > 1 and (cover[place] < 0.9 or not _uses_all(used, clauses)):
            continue
        others = [tops[m] for m in order if m != meaning and table.meanings[m] != table.meanings[meaning]]
        name = table.meanings[meaning]
        if any(c.not_that for c in clauses):
            name = name.replace("complaint:", "denied:")
        plain = _plain(name, used, clauses)
        if name.startswith("denied:") and not plain:
            continue
        margin = float(tops[meaning]) - float(max(others, default=0.0))
        found.append(Match(name, float(score[place]), float(cover[place]), float(share[place]), margin,
                           float(belief[meaning]), int(table.size[place]), float(table.total[place]),
                           float(table.trust[place]), any(c.ok for c in clauses), used, span,
                           tuple(f for c in clauses if c.ok for f in c.features), plain))
    return found


def _belief(table: Table, items: Sequence[_Item]) -> Floats:
    total = np.zeros(len(table.meanings))
    for item in items:
        for key, strength in item.keys[:1]:
            row = table.rows.get(key)
            if row is not None:
                total += strength * table.said[row]
    parts = np.exp(total - total.max())
    return np.asarray(parts / parts.sum())


def _uses_all(used: Sequence[Feature], clauses: Sequence[Clause]) -> bool:
    return all(any(f in clause.features for f in used if f.start or f.end) for clause in clauses)


def _plain(name: str, used: Sequence[Feature], clauses: Sequence[Clause]) -> bool:
    """A denial by saying that something works must be said outright, with nothing that takes it back."""
    if any(c.guess for c in clauses):
        return False
    if not name.startswith("denied:"):
        return True
    for clause in clauses:
        works = [f for f in clause.features if f.kind == "function" and f.sign > 0 and f in used]
        if works and not clause.ok:
            if clause.only or clause.trying or clause.soft or any(f.subordinate for f in works):
                return False
            if any((f.kind == "event" and f.sign > 0) or f.concept in _HINDERS or f.sign < 0
                   for f in clause.features if f not in used):
                return False
    return True


def _stays(feature: Feature, match: Match) -> bool:
    """'runs but no heat': what runs may be said to run, besides being part of what was complained of."""
    if feature.concept == "code" and match.meaning != "complaint:error_code":
        return True
    complained = len(match.span) > 1 and match.meaning.startswith("complaint:")
    if complained and feature in match.fine:
        return True
    well = feature.kind == "function" or feature.concept in ("cold", "frozen", "quiet")
    return complained and well and feature.sign > 0


def _explain(found: list[Match]) -> list[Match]:
    """Keep matches that say something with words not yet used by a better one."""
    kept: list[Match] = []
    consumed: set[tuple[int, int]] = set()
    for match in found:
        said = [f for f in match.features if f.kind in SAID and f.end] or [f for f in match.features if f.end]
        fresh = [f for f in said if (f.start, f.end) not in consumed]
        if not fresh or len(fresh) * 2 < len(said):
            continue
        kept.append(match)
        consumed.update((f.start, f.end) for f in match.features if f.end and not _stays(f, match))
    return kept


def _without_asides(kept: list[Match]) -> list[Match]:
    """'hums but wont drain', 'stops and blinks': a hum or a blink beside a complaint is how it shows, no second one."""
    said = [m for m in kept if m.meaning.startswith("complaint:") and m.plain and not _is_aside(m)]
    places = {place for m in said if m.score >= ASIDE for at in m.span for place in (at - 1, at, at + 1)}
    return [m for m in kept if not (_is_aside(m) and places & set(m.span))]


def _is_aside(match: Match) -> bool:
    """A meaning that rests on a mere sound or blink alone."""
    mere = ASIDES.get(match.meaning)
    said = [f for f in match.features if f.kind in ("function", "event") and f.end]
    return mere is not None and bool(said) and all(f.concept in mere or (f.sign > 0 and f.kind == "function")
                                                   for f in said)
