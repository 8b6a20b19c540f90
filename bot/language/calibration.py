"""From scores of matching to probabilities that hold.

A logistic curve over the match's score, cover, share explained, margin and whether it needed two clauses; one
curve for complaints, one for denials. The constants are fitted on the labelled messages without the frozen third;
`python -m tests.benchmarks.language.fit` derives them again and shows the k-fold figures.
"""

from __future__ import annotations

import math
from typing import Final

from bot.language.matching import Match

CONSTANTS: Final = {
    "complaint": (-3.98, 6.3, 0.5, -0.69, 1.16, -0.94),
    "denied": (-4.87, 2.88, 1.92, 0.96, 1.27, -0.27),
}
"""Intercept, score, cover, share explained, margin, two clauses."""


def inputs(match: Match) -> tuple[float, ...]:
    """What the curve looks at: each 0..1 (margin -1..1)."""
    return match.score, match.cover, match.explained, match.margin, float(len(match.span) > 1)


def complaint_probability(match: Match) -> float:
    """Probability that the matched meaning was meant."""
    if not match.plain:
        return 0.15 * match.score
    constants = CONSTANTS[match.meaning.partition(":")[0]]
    z = constants[0] + sum(c * x for c, x in zip(constants[1:], inputs(match), strict=True))
    return 1 / (1 + math.exp(-z))
