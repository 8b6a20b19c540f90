"""From scores to probabilities that hold.

Two steps, each a logistic curve with one set of constants for complaints and one for denials: from what matching found
to the chance that a phrase was meant, then from that and the learned weights to the chance that is given out. The
constants are fitted on the labelled messages, each by weights that have not seen it, never on the frozen set:
`python -m tests.benchmarks.language.train` derives them again.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from bot.language.matching import Match

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
        0.154, 0.320, 0.583, 0.058, 0.251, 0.030, 0.009, -0.148, 0.283, -0.089, -0.068, 0.098),
    "denied": (
        0.172, 0.504, 0.484, 0.204, 0.088, -0.013, 0.025, -0.099, 0.739, 0.065, -0.005, 0.116),
    "aside": (
        4.787, 1.055, -0.239, 0.055, 0.615, 1.303, -2.351, -0.746),
}
"""Intercept, then one factor for each of `inputs` (for 'aside': `aside_inputs`) of bot.language.weighing."""


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


def phrase_chance(match: Match, clauses: int, scope: bool, lost: bool) -> float:
    """Probability that the matched phrase was meant in a message of so many clauses."""
    if not match.plain:
        return 0.15 * match.score
    return float(curve(PHRASE[match.meaning.partition(":")[0]], np.array(
        [phrase_inputs(match, clauses, scope, lost)]))[0])


def curve(constants: Sequence[float], given: NDArray[np.floating]) -> NDArray[np.floating]:
    """The logistic curve: [case, input] -> probability of each case."""
    z = np.clip(given @ np.array(constants[1:]) + constants[0], -500, 500)
    return np.asarray(1 / (1 + np.exp(-z)))
