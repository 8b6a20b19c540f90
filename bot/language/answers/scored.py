"""How well words fit the phrases that a pack has for each result of a check."""

from __future__ import annotations

from typing import NamedTuple

from rapidfuzz import fuzz

from bot.language.answers.known import known
from bot.language.answers.likeness import own_words
from bot.language.answers.meant import keys_among, traits_of_all
from bot.language.complaints.patterns import keys_of, kind_weight
from bot.language.index import Index
from bot.language.meaning import Guess
from bot.language.words.forms import stem
from bot.language.words.text import tokens_of


class _Line(NamedTuple):
    """One way to say a result."""

    keys: frozenset[str]
    weight: float
    """Of its concepts."""
    words: str
    stems: frozenset[str]


def _lines(index: Index, family: str, check: str) -> dict[str, list[_Line]]:
    found: dict[str, list[_Line]] | None = index.answers.get((family, check))
    if found is None:
        entry = index.knowledge.packs[family].checks[check]
        found = index.answers[family, check] = {}
        for name in entry.results:
            said = own_words(entry, name)
            found[name] = [_line(index, phrase, keys_among(traits))
                           for phrase, traits in zip(said, traits_of_all(index, known(), said), strict=True)]
    return found


def _line(index: Index, phrase: str, keys: frozenset[str]) -> _Line:
    words = [token.word for token in tokens_of(phrase) if not token.is_mark]
    return _Line(keys, sum(_weight(index, key) for key in keys), " ".join(words), frozenset(map(stem, words)))


def scored(index: Index, family: str, check: str, text: str) -> list[Guess]:
    """Results by how well the text fits one of their phrases: the same concepts, or nearly the same letters."""
    words, clauses = index.read(text)
    plain, have = " ".join(words), {key: _weight(index, key) for key in keys_of(clauses)}
    against = {_opposite(key): _weight(index, _opposite(key)) for key in have}
    whole, stems = sum(have.values()), frozenset(map(stem, words))
    found = []
    for result, lines in _lines(index, family, check).items():
        score = 0.0
        for line in lines:
            both = sum(have[key] for key in line.keys & have.keys()) - sum(
                against[key] for key in line.keys & against.keys())
            if both > 0:
                alike = 0.7 + 0.3 * _in_common(stems, line.stems)
                score = max(score, 0.95 * (0.6 * both / line.weight + 0.4 * both / whole) * alike)
            score = max(score, _letters(plain, line.words))
            if score >= 1.0:
                break
        found.append(Guess(result, round(min(score, 0.99), 3)))
    return sorted((g for g in found if g.p > 0.1), key=lambda g: -g.p)


def _weight(index: Index, key: str) -> float:
    return index.weights.get(key, 2.0) * kind_weight(key, index.kinds)


def _opposite(key: str) -> str:
    """The concept denied, or no longer."""
    return key.rstrip("-") if key.endswith("-") else f"{key}-"


def _in_common(one: frozenset[str], two: frozenset[str]) -> float:
    """Share of words in common, so that 'squeals' is nearer to 'squeals' than to 'rattles', both of them noises."""
    return len(one & two) / max(1, min(len(one), len(two)))


def _letters(plain: str, said: str) -> float:
    if plain == said:
        return 1.0
    if len(said) < 4 or len(plain) < 4:
        return 0.97 if said and f" {said} " in f" {plain} " and len(plain) < 30 and len(said) > 1 else 0.0
    ratio = fuzz.ratio(plain[:200], said) / 100
    return ratio if ratio > 0.8 else 0.0
