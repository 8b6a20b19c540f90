"""Phrases of the packs and frames of the grammar as patterns: sets of keys with a meaning."""

from __future__ import annotations

import math
import zlib
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Final, NamedTuple

from bot.language.complaints.frames import frames_for, sayings
from bot.language.complaints.temperatures import judge_temperatures
from bot.language.dangers.hazards import vocabulary as hazard_words
from bot.language.words.clauses import clauses_of
from bot.language.words.lexicon import Lexicon
from bot.language.words.scope import Clause
from bot.language.words.text import plain_words, tokens_of
from bot.language.words.units import Unit, units_of
from knowledge.schema import Knowledge, Pack

KIND_WEIGHT: Final[Mapping[str, float]] = {
    "function": 1.0, "event": 1.0, "state": 0.8, "thing": 0.6, "other": 0.45, "appliance": 0.3}
FRAME_TRUST: Final = 1.0
PHRASE_TRUST: Final = 0.95
WORKS_TRUST: Final = 1.01
"""A frame of `works` holds by itself: what else contains its words does not make it less sure."""
OK: Final = "=ok"
"""Mark of a key said to be well beside others that are not: 'freezer ok, fridge warm'."""


def heard(units: Sequence[Unit]) -> list[Clause]:
    """Clauses with temperatures judged."""
    clauses = clauses_of(units)
    judge_temperatures(clauses)
    return clauses


class Pattern(NamedTuple):
    """A set of keys that, said together, have a meaning: 'complaint:no_spin' or 'denied:no_spin'."""

    meaning: str
    keys: frozenset[str]
    trust: float
    new: bool = False
    """A phrase that nothing was learned from, such as a firm's own."""


def phrase_mark(family: str, meaning: str, phrase: str) -> int:
    """By which a phrase is known again as one that the weights were learned from."""
    return zlib.crc32(f"{family}/{meaning}/{phrase}".encode())


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


def patterns_of(pack: Pack, words: Lexicon, read: dict[str, frozenset[str]], learned: frozenset[int],
                ) -> Iterator[Pattern]:
    """All patterns of a pack. `read`: keys of phrases that were read before, for families that share them; `learned`:
    marks of the phrases that the weights were learned from."""
    resolved = _Resolved(words)
    for complaint, entry in pack.complaints.items():
        own: set[frozenset[str]] = set()
        for frame in frames_for(pack.family.id, complaint):
            keys = frozenset(k for k in (resolved[key] for key in frame) if k)
            own.add(keys)
            if keys:
                yield Pattern(f"complaint:{complaint}", keys, FRAME_TRUST)
        for frame in frames_for(pack.family.id, complaint, absent=True):
            yield Pattern(f"denied:{complaint}", frozenset(resolved[key] for key in frame), WORKS_TRUST)
        more = sayings().get(pack.family.id, {}).get(complaint, ())
        for kind, phrases in (("complaint", [*entry.phrases.values(), more]),
                              ("denied", list(entry.works_phrases.values()))):
            for phrase in (p for said in phrases for p in said):
                if phrase not in read:
                    read[phrase] = keys_of(parse_phrase(phrase, words))
                keys = read[phrase]
                if kind == "complaint":
                    keys = frozenset(k for k in keys if not (k.endswith("-") and words.kinds.get(k[:-1]) == "event"))
                if keys and keys != {"ok"} and not (kind == "denied" and keys in own):
                    meaning = f"{kind}:{complaint}"
                    new = phrase_mark(pack.family.id, meaning, phrase) not in learned
                    yield Pattern(meaning, keys, PHRASE_TRUST, new)


def parse_phrase(phrase: str, words: Lexicon) -> list[Clause]:
    tokens = tokens_of(phrase)
    return heard(units_of(tokens, [t.word for t in tokens], words))


class _Resolved(dict[str, str]):
    """Key of a frame -> key of a pattern: a frame may name a concept or simply a word."""

    def __init__(self, words: Lexicon) -> None:
        self.words = words

    def __missing__(self, key: str) -> str:
        if key.endswith(OK):
            found = self[key[: -len(OK)]] + OK
        else:
            name, denied = key.rstrip("-"), key.endswith("-")
            sense = self.words.sense(name) if name not in self.words.kinds else None
            found = (sense.concept if sense is not None else name) + ("-" if denied else "")
        self[key] = found
        return found


def weights_of(raw: Mapping[str, list[Pattern]]) -> dict[str, float]:
    """How much a key tells: log of how few complaints it is said of, over all families."""
    spread: dict[str, set[str]] = defaultdict(set)
    for family, found in raw.items():
        for pattern in found:
            said_of = f"{family}/{pattern.meaning}"
            for key in pattern.keys:
                spread[key].add(said_of)
    whole = len({f"{family}/{p.meaning}" for family, found in raw.items() for p in found}) or 1
    return {key: max(0.35, math.log((whole + 1) / (len(said) + 1))) for key, said in spread.items()}


def kind_weight(key: str, kinds: Mapping[str, str]) -> float:
    """Verbs and states carry more than the things they are said of."""
    return KIND_WEIGHT[kinds.get(key.removesuffix(OK).rstrip("-"), "other")]


def family_words(raw: Mapping[str, list[Pattern]]) -> dict[str, dict[str, float]]:
    """Log ratio of a key's rate in one family against its mean rate, smoothed."""
    counts: dict[str, dict[str, float]] = defaultdict(lambda: defaultdict(float))
    for family, found in raw.items():
        share = 1 / len(found) if found else 0.0
        for pattern in found:
            for key in pattern.keys:
                counts[key.rstrip("-")][family] += share
    told: dict[str, dict[str, float]] = {}
    for key, by_family in counts.items():
        rates = {f: by_family.get(f, 0.0) + 0.002 for f in raw}
        mean = sum(rates.values()) / len(rates)
        told[key] = {f: math.log(rate / mean) for f, rate in rates.items()}
    return told


def vocabulary_of(knowledge: Knowledge) -> set[str]:
    """All words that a pack's author wrote as something people type, and those of danger."""
    found: set[str] = hazard_words()
    for pack in knowledge.packs.values():
        said = [p for c in pack.complaints.values() for group in (c.phrases, c.works_phrases)
                for phrases in group.values() for p in phrases]
        said += [p for check in pack.checks.values() for result in check.results.values()
                 for phrases in result.phrases.values() for p in phrases]
        said += [p for axis in pack.family.variants.values() for value in axis.values.values()
                 for phrases in value.phrases.values() for p in phrases]
        found.update(word for part in set(" ".join(said).split()) for word in plain_words(part) if word.isalpha())
    return found
