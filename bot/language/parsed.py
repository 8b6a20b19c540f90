"""A message after spelling, units and clauses."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bot.language.complaints.patterns import heard
from bot.language.complaints.plainly import otherwise, put_plainly
from bot.language.index import Index
from bot.language.learned.traits import Traits, traits_of
from bot.language.words.scope import Clause
from bot.language.words.text import Token, codes_shown, tokens_of
from bot.language.words.units import Unit, units_of


@dataclass(frozen=True, slots=True)
class Parsed:
    """A message after spelling, units and clauses: what all parts of understanding work on."""

    text: str
    tokens: Sequence[Token]
    words: Sequence[str]
    units: Sequence[Unit]
    clauses: Sequence[Clause]


def parse(index: Index, text: str) -> Parsed:
    """Tokens, mended words, units and clauses of a text."""
    tokens, words = index.speller.spelled(tokens_of(text))
    shown = codes_shown(text)
    units = units_of(tokens, words, index.lexicon, shown)
    plain = put_plainly(tokens, words, units)
    if plain:
        tokens, words = otherwise(plain, tokens, words)
        units = units_of(tokens, words, index.lexicon, shown)
    return Parsed(text, tokens, words, units, heard(units))


def traits_in(parsed: Parsed, clauses: Sequence[Clause]) -> Traits:
    """What a message is weighed by, addresses left out."""
    places = [(unit.start, unit.end) for unit in parsed.units if unit.is_address]
    kept = [at for at, token in enumerate(parsed.tokens) if not any(a <= token.start < b for a, b in places)]
    return traits_of(clauses, [parsed.tokens[at] for at in kept], [parsed.words[at] for at in kept])
