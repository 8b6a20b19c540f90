"""From scores of matching to probabilities that hold.

A logistic curve over what matching found and how the message is built; one curve for complaints, one for denials.
The constants are fitted on the labelled messages without the frozen third; `python -m tests.benchmarks.language.fit`
derives them again and shows the k-fold figures.
"""

from __future__ import annotations

import math
from typing import Final

from bot.language.matching import Match

CONSTANTS: Final = {
    "complaint": (-6.9, 2.83, 3.81, 0.05, 0.87, 2.45, -0.61, 2.04, 0.28, 1.71, -0.79, -0.64),
    "denied": (-9.02, 5.26, 2.65, -0.29, 0.71, 0.07, -1.03, 5.51, 0.68, 1.54, -0.02, 1.28),
}
"""Intercept, then one factor for each of `inputs`."""


def inputs(match: Match, clauses: int, scope: bool) -> tuple[float, ...]:
    """What the curve looks at: score, cover, share explained, margin, belief, two clauses, keys of the pattern, a
    said verb or event in it, log of the number of clauses, talk of prices or appointments."""
    heads = [f for f in match.features if f.kind in ("function", "event")]
    return (match.score, match.cover, match.explained, match.margin, match.belief, float(len(match.span) > 1),
            min(match.size, 4) / 4, float(bool(heads)), float(any(f.sign < 0 for f in heads)),
            math.log(max(clauses, 1)), float(scope))


def complaint_probability(match: Match, clauses: int = 1, scope: bool = False) -> float:
    """Probability that the matched meaning was meant in a message of so many clauses."""
    if not match.plain:
        return 0.15 * match.score
    constants = CONSTANTS[match.meaning.partition(":")[0]]
    z = constants[0] + sum(c * x for c, x in zip(constants[1:], inputs(match, clauses, scope), strict=False))
    return 1 / (1 + math.exp(-z))
