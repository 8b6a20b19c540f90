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
from bot.language.answers.likeness import Floats, Learned, choices_of, compared, learned, said_in
from bot.language.answers.said_for import SaidFor
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
    place = choices.results.index(result)
    rows, contained, own = [], 0.0, -math.inf
    for text in texts:
        said = said_in(index, held, text)
        if not said.traits:
            continue
        old = {guess.id: guess.p for guess in scored(index, family, check, text)}
        table, (shares, _) = compared(held, choices, said, old)
        heard = answer(index, family, check, text, unasked=True)
        p = min(SUREST, max(shares[place], heard.p if heard.result == result else 0.0))
        rows.append((math.log(p + 1e-9) - math.log(1 - p), float(table[place, 0]), float(table[place, LEADS])))
        contained = max(contained, _contained(choices, place, said.traits))
        own = max(own, _own(choices, place, said.traits))
    if not rows:
        return np.array([-20.0, 0.0, 0.0, -20.0, 0.0, 0.0])
    return np.array([*max(rows), rows[0][0], contained, own])


LEADS: Final = 6
"""Column of `among` that tells by how much the pack's phrase, taken as a whole, leads."""


def _contained(choices: SaidFor, place: int, said: frozenset[str]) -> float:
    """The largest share of an example that stands in what is said, less for one of little weight."""
    own = slice(*choices.lines[place:place + 2])
    weight, both = choices.sums[own], choices.in_common(choices.among(said))[0][own]
    shares = both / np.where(weight > 0, weight, 1.0) * np.minimum(1.0, weight / WHOLE)
    return float(shares.max(initial=0.0))


def _own(choices: SaidFor, place: int, traits: frozenset[str]) -> float:
    """Log of how much more often the trait most its own is said for one result than for the next."""
    counts = choices.counts[:, choices.among(traits)]
    shares = counts / np.maximum(1, np.diff(choices.lines))[:, None] + EVEN
    most = np.log(shares[place] / np.delete(shares, place, axis=0).max(axis=0)).max(initial=-math.inf)
    return max(float(most), 0.0) if counts.shape[1] < len(traits) else float(most)
