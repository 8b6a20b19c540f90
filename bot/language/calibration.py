"""From scores of matching to probabilities that hold.

A logistic curve over the match's score, cover, share explained and margin. The constants are fitted on the
labelled messages (without the frozen third); `python -m tests.benchmarks.language.fit` derives them again.
"""

from __future__ import annotations

import math
from typing import Final

from bot.language.matching import Match

CONSTANTS: Final = (-5.2, 4.0, 2.5, 1.0, 1.0)
"""Intercept, score, cover, share explained, margin."""


def inputs(match: Match) -> tuple[float, float, float, float]:
    """What the curve looks at: each 0..1 (margin -1..1)."""
    return match.score, match.cover, match.explained, match.margin


def complaint_probability(match: Match) -> float:
    """Probability that the matched meaning was meant."""
    if not match.plain:
        return 0.15 * match.score
    z = CONSTANTS[0] + sum(c * x for c, x in zip(CONSTANTS[1:], inputs(match), strict=True))
    return 1 / (1 + math.exp(-z))
