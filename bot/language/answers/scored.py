"""How well words fit the phrases that a pack has for each result of a check."""

from __future__ import annotations

from dataclasses import dataclass

from rapidfuzz import fuzz

from bot.language.answers.known import known
from bot.language.answers.likeness import own_words
from bot.language.answers.meant import keys_among, traits_of_all
from bot.language.complaints.patterns import keys_of, kind_weight
from bot.language.index import Index
from bot.language.meaning import Guess
from bot.language.words.forms import stem
from bot.language.words.text import tokens_of


@dataclass(frozen=True, slots=True)
class _Choice:
    result: str
    keys: tuple[frozenset[str], ...]
    words: tuple[str, ...]


def _choices(index: Index, family: str, check: str) -> list[_Choice]:
    found = index.answers.get((family, check))
    if found is None:
        found = []
        entry = index.knowledge.packs[family].checks[check]
        for name in entry.results:
            said = own_words(entry, name)
            plain = tuple(" ".join(t.word for t in tokens_of(p) if not t.is_mark) for p in said)
            keys = tuple(keys_among(traits) for traits in traits_of_all(index, known(), said))
            found.append(_Choice(name, keys, plain))
        index.answers[(family, check)] = found
    return list(found)


def scored(index: Index, family: str, check: str, text: str) -> list[Guess]:
    """Results by how well the text fits one of their phrases: the same concepts, or nearly the same letters."""
    words, clauses = index.read(text)
    have, plain = keys_of(clauses), " ".join(words)
    found = []
    for choice in _choices(index, family, check):
        score = 0.0
        for keys, said in zip(choice.keys, choice.words, strict=True):
            alike = 0.7 + 0.3 * _same_words(plain, said)
            score = max(score, _concepts(index, have, keys) * alike, _letters(plain, said))
            if score >= 1.0:
                break
        found.append(Guess(choice.result, round(min(score, 0.99), 3)))
    return sorted((g for g in found if g.p > 0.1), key=lambda g: -g.p)


def _concepts(index: Index, have: frozenset[str], keys: frozenset[str]) -> float:
    if not keys or not have:
        return 0.0

    def weight(found: frozenset[str]) -> float:
        return sum(index.weights.get(k, 2.0) * kind_weight(k, index.kinds) for k in found)

    both = weight(have & keys)
    opposite = {k for k in keys if (k.rstrip("-") if k.endswith("-") else k + "-") in have}
    if opposite:
        both -= weight(frozenset(opposite))
    return max(0.0, 0.95 * (0.6 * both / weight(keys) + 0.4 * both / weight(have)))


def _same_words(plain: str, said: str) -> float:
    """Share of words in common, so that 'squeals' is nearer to 'squeals' than to 'rattles', both of them noises."""
    one, two = {stem(w) for w in plain.split()}, {stem(w) for w in said.split()}
    return len(one & two) / max(1, min(len(one), len(two)))


def _letters(plain: str, said: str) -> float:
    if plain == said:
        return 1.0
    if len(said) < 4 or len(plain) < 4:
        return 0.97 if said and f" {said} " in f" {plain} " and len(plain) < 30 and len(said) > 1 else 0.0
    ratio = fuzz.ratio(plain[:200], said) / 100
    return ratio if ratio > 0.8 else 0.0
