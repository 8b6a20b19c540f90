"""From scores to probabilities that hold.

Logistic curves, each with one set of constants for complaints and one for denials: from what the learned weights say to
the chance that is given out, and, for phrases that nothing was learned from, from what matching found to the chance
that a phrase was meant. The first are fitted on labelled messages that the weights were not learned from
(`python -m tests.benchmarks.language.train` derives them again), the second on labelled messages at a time when all
phrases counted; neither on the frozen set.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from bot.language.complaints.matching import Match

PHRASE: Final = {
    "complaint": (
        -6.74, 5.74, 3.09, -0.91, 1.53, 2.77, -1.37, 1.75, -0.84, 1.99, -0.56, -0.83, 1.29, -1.68,
        0.60, 1.43, 0.24, -1.74),
    "denied": (
        -8.87, 5.58, -0.01, 0.41, 0.05, 0.83, -0.18, 0.95, 0.75, 0.88, -0.19, -1.41, 0.13, 3.27,
        1.13, -1.45, -1.39, -1.60),
}
"""Intercept, then one factor for each of `phrase_inputs`."""

WEIGHED: Final = {
    "complaint": (
        -0.026, 0.795, 0.268, 0.128, -0.075, 0.012, -0.014, -0.016, -0.033),
    "denied": (
        0.094, 0.878, 0.212, 0.047, -0.029, -0.022, 0.012, 0.015, -0.085),
    "aside": (
        0.556, 0.697, -0.239, -0.061, -0.458, 1.662, 0.068),
}
"""Intercept, then one factor for each of `inputs` (for 'aside': `aside_inputs`) of bot.language.learned.weighing."""


def phrase_inputs(match: Match, clauses: int, scope: bool, lost: bool) -> tuple[float, ...]:
    """What the first curve looks at: score, cover, share explained, margin, belief, two clauses, keys of the pattern, a
    verb or event in it, a denied one, log of the number of clauses, talk of prices or appointments, weight and
    trust of the pattern, praise in the clause, an event that happens, a head in a side clause, no word
    on which machine it is."""
    heads = [f for f in match.features if f.kind in ("function", "event")]
    return (match.score, match.cover, match.explained, match.margin, match.belief, float(len(match.span) > 1),
            min(match.size, 4) / 4, float(bool(heads)), float(any(f.sign < 0 for f in heads)),
            math.log(max(clauses, 1)), float(scope), min(match.weight, 8.0) / 8, match.trust, float(match.praised),
            float(any(f.kind == "event" and f.sign > 0 for f in heads)),
            float(any(f.subordinate for f in heads)), float(lost))


def phrase_chances(found: Sequence[Match], clauses: int, scope: bool, lost: bool) -> list[float]:
    """Probability of each matched phrase that it was meant, in a message of so many clauses."""
    told = [0.15 * match.score for match in found]
    for kind, constants in PHRASE.items():
        mine = [at for at, match in enumerate(found) if match.plain and match.meaning.startswith(kind)]
        if mine:
            given = np.array([phrase_inputs(found[at], clauses, scope, lost) for at in mine])
            for at, chance in zip(mine, curve(constants, given).tolist(), strict=True):
                told[at] = chance
    return told


def curve(constants: Sequence[float], given: NDArray[np.floating]) -> NDArray[np.floating]:
    """The logistic curve: [case, input] -> probability of each case."""
    against = -(given @ np.array(constants[1:]) + constants[0])
    return np.asarray(1 / (1 + np.exp(np.minimum(against, 500.0))))
