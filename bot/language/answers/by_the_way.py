"""How likely a message that was no answer tells a result all the same.

As an answer 'motor hums' is hardly ever meant otherwise; in a complaint the same words stand beside others, on other
parts of the machine. What tells the two apart was learned from some thousand such messages, judged by eye.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import numpy as np

from bot.language.answers.answer import answer
from bot.language.answers.likeness import (
    Choice,
    Floats,
    Learned,
    choices_of,
    compared,
    learned,
    said_in,
    weighs,
)
from bot.language.answers.scored import scored
from bot.language.index import Index

WHOLE: Final = 8.0
"""Weight of an example, in nats, from which on it says enough by itself: two or three words that are seldom said."""
SUREST: Final = 0.999
EVEN: Final = 0.02
"""Added to the shares of two results that are compared."""


def told_by_the_way(index: Index, family: str, check: str, result: str, texts: Sequence[str]) -> float:
    """Chance that a message tells a result. `texts`: all of it, then its parts, if it has more than one."""
    held = learned()
    return chance_of(held, traits_of_telling(index, held, family, check, result, texts))


def chance_of(held: Learned, traits: Floats) -> float:
    """By what was learned of such messages."""
    return 1 / (1 + math.exp(-float(held.aside[:-1] @ traits + held.aside[-1])))


def traits_of_telling(index: Index, held: Learned, family: str, check: str, result: str,
                      texts: Sequence[str]) -> Floats:
    """[6] of the part that says the result best: log odds of it, its phrase as a whole and by how much that leads, log
    odds of the whole message; and over all parts, how much of an example stands there and the word most its own."""
    choices = choices_of(index, family, check, held)
    place = next(n for n, choice in enumerate(choices) if choice.result == result)
    rows, contained, own = [], 0.0, -math.inf
    for text in texts:
        said = said_in(index, held, text)
        if not said.traits:
            continue
        old = {guess.id: guess.p for guess in scored(index, family, check, text)}
        table, (shares, _) = compared(held, choices, said, old)
        heard = answer(index, family, check, text)
        p = min(SUREST, max(shares[place], heard.p if heard.result == result else 0.0))
        rows.append((math.log(p + 1e-9) - math.log(1 - p), float(table[place, 0]), float(table[place, LEADS])))
        contained = max(contained, _contained(held, choices[place], said.traits))
        own = max(own, *(_own(choices, place, trait) for trait in said.traits))
    if not rows:
        return np.array([-20.0, 0.0, 0.0, -20.0, 0.0, 0.0])
    return np.array([*max(rows), rows[0][0], contained, own])


LEADS: Final = 6
"""Column of `among` that tells by how much the pack's phrase, taken as a whole, leads."""


def _contained(held: Learned, choice: Choice, said: frozenset[str]) -> float:
    """The largest share of an example that stands in what is said, less for one of little weight."""
    most = 0.0
    for example in choice.said:
        weight = sum(weighs(held, trait) for trait in example)
        both = sum(weighs(held, trait) for trait in example & said)
        if both:
            most = max(most, both / weight * min(1.0, weight / WHOLE))
    return most


def _own(choices: Sequence[Choice], place: int, trait: str) -> float:
    """Log of how much more often a trait is said for one result than for the next."""
    shares = [choice.counts.get(trait, 0) / max(1, len(choice.said)) + EVEN for choice in choices]
    return math.log(shares[place] / max(share for n, share in enumerate(shares) if n != place))
