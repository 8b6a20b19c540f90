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
    "complaint": (-5.6, 3.41, 3.06, -0.38, 0.83, 2.92, -0.61, 0.22, -0.3, 1.88, -0.6, -0.83, 2.45, -1.52, 0.24, 0.74, 0.02),
    "denied": (-10.3, 5.13, 1.1, 0.68, -0.79, 0.91, 1.06, 0.91, 0.73, 1.87, -0.26, 1.36, -0.6, 4.21, 1.56, -2.76, -0.51),
}
"""Intercept, then one factor for each of `inputs`."""


def inputs(match: Match, clauses: int, scope: bool) -> tuple[float, ...]:
    """What the curve looks at: score, cover, share explained, margin, belief, two clauses, keys of the pattern, a
    verb or event in it, a denied one, log of the number of clauses, talk of prices or appointments, weight and
    trust of the pattern, praise in the clause, an event that happens, a head in a side clause."""
    heads = [f for f in match.features if f.kind in ("function", "event")]
    return (match.score, match.cover, match.explained, match.margin, match.belief, float(len(match.span) > 1),
            min(match.size, 4) / 4, float(bool(heads)), float(any(f.sign < 0 for f in heads)),
            math.log(max(clauses, 1)), float(scope), min(match.weight, 8.0) / 8, match.trust, float(match.praised),
            float(any(f.kind == "event" and f.sign > 0 for f in heads)),
            float(any(f.subordinate for f in heads)))


def complaint_probability(match: Match, clauses: int = 1, scope: bool = False) -> float:
    """Probability that the matched meaning was meant in a message of so many clauses."""
    if not match.plain:
        return 0.15 * match.score
    constants = CONSTANTS[match.meaning.partition(":")[0]]
    z = constants[0] + sum(c * x for c, x in zip(constants[1:], inputs(match, clauses, scope), strict=False))
    return 1 / (1 + math.exp(-z))
