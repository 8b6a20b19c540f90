"""Danger comes before everything else: gas, carbon monoxide, fire, injury, shock, refrigerant, flood."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final, get_args

from bot.language.clauses import Clause, Feature
from bot.language.lexicon import data
from bot.language.meaning import Hazard
from bot.language.text import Token

ORDER: Final[tuple[Hazard, ...]] = get_args(Hazard)
"""Gravest first, as the contract lists them."""


@dataclass(frozen=True, slots=True)
class Danger:
    """A hazard and the words that told it."""

    hazard: Hazard
    start: int
    end: int


@cache
def _rules() -> dict[Hazard, tuple[tuple[str, ...], ...]]:
    return {h: tuple(tuple(line.split()) for line in data("hazards")["frames"].get(h, ())) for h in ORDER}


@cache
def _phrases() -> dict[Hazard, tuple[tuple[str, ...], ...]]:
    return {h: tuple(tuple(p.split()) for p in data("hazards")["phrases"].get(h, ())) for h in ORDER}


@cache
def _harmless() -> tuple[tuple[str, ...], ...]:
    return tuple(tuple(p.split()) for p in data("hazards")["harmless"])


def dangers_of(tokens: Sequence[Token], words: Sequence[str], clauses: Sequence[Clause]) -> list[Danger]:
    """All hazards reported as present, gravest first. Denied and past ones are none."""
    found: list[Danger] = []
    harmless = any(_place(words, phrase) is not None for phrase in _harmless())
    for hazard in ORDER:
        for clause in clauses:
            spot = None if clause.past or clause.not_that else _in_clause(hazard, clause)
            if spot is not None:
                found.append(Danger(hazard, *spot))
                break
        else:
            spot = None if harmless else _in_words(hazard, tokens, words, clauses)
            if spot is not None:
                found.append(Danger(hazard, *spot))
    return found


def _in_clause(hazard: Hazard, clause: Clause) -> tuple[int, int] | None:
    for frame in _rules()[hazard]:
        used: list[Feature] = []
        for key in frame:
            hit = next((f for f in clause.features if f.key == key), None)
            if hit is None:
                break
            used.append(hit)
        else:
            return min(f.start for f in used), max(f.end for f in used)
    return None


def _in_words(hazard: Hazard, tokens: Sequence[Token], words: Sequence[str], clauses: Sequence[Clause],
              ) -> tuple[int, int] | None:
    for phrase in _phrases()[hazard]:
        place = _place(words, phrase)
        if place is None or _is_denied(words, place) or _is_past(tokens[place], clauses):
            continue
        return tokens[place].start, tokens[place + len(phrase) - 1].end
    return None


def _place(words: Sequence[str], phrase: tuple[str, ...]) -> int | None:
    first = phrase[0]
    for place in range(len(words) - len(phrase) + 1):
        if words[place] == first and tuple(words[place:place + len(phrase)]) == phrase:
            return place
    return None


_NOT: Final = frozenset("no not never without didnt isnt dont wasnt nobody nadie sin nunca aint doesnt cant".split())


def _is_denied(words: Sequence[str], place: int) -> bool:
    return any(w in _NOT for w in words[max(0, place - 3):place])


def _is_past(token: Token, clauses: Sequence[Clause]) -> bool:
    return any(c.past and any(f.start <= token.end and f.end >= token.start for f in c.features) for c in clauses)
