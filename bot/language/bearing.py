"""What complaints have to do with each other: rivals for the same words, and what a denial says of others."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from functools import cache
from typing import Final

from bot.language.lexicon import data
from bot.language.meaning import Guess

LOSES: Final = 0.3
"""What is left of the probability of a rival that fits less well."""


@cache
def _rivals() -> frozenset[tuple[str, str]]:
    return frozenset(pair for a, b in data("rivals")["pairs"] for pair in ((a, b), (b, a)))


@cache
def _same() -> tuple[tuple[str, str], ...]:
    return tuple((a, b) for a, b in data("rivals")["denied"])


@cache
def _implied() -> dict[str, dict[str, list[str]]]:
    return {f: dict(said) for f, said in data("denials").items()}


def without_rivals(guesses: Sequence[Guess]) -> list[Guess]:
    """Guesses (best first) with those lowered that a better one stands for: 'slow spin' is no 'no spin' as well."""
    kept: list[Guess] = []
    for guess in guesses:
        beaten = any((guess.id, other.id) in _rivals() for other in kept)
        kept.append(Guess(guess.id, round(guess.p * LOSES, 3)) if beaten else guess)
    return sorted(kept, key=lambda g: -g.p)


def only_likelier(denied: Mapping[str, float]) -> tuple[str, ...]:
    """What is denied, by chance, without the less likely of two that say the same: 'top burners work fine'."""
    gone = {min(pair, key=lambda name: (denied[name], name)) for pair in _same() if denied.keys() >= set(pair)}
    return tuple(sorted(denied.keys() - gone))


def with_implied(family: str | None, denied: Sequence[str], present: Collection[str]) -> tuple[str, ...]:
    """'dries ok' is no word on heat, but there is some. What is reported as `present` is not denied."""
    said = _implied().get(family or "", {})
    more = (also for d in denied for also in said.get(d, ()) if also not in present)
    return tuple(sorted({*denied, *more}))
