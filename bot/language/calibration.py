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
    "complaint": (
        -4.19, 5.67, 0.88, -0.88, 1.09, 2.98, -0.73, 0.56, -0.65, 2.06, -0.65, -0.97, 1.42, -1.81,
        0.63, 1.51, 0.34, -1.57),
    "denied": (
        -6.66, 5.18, -1.20, -0.50, 0.87, 1.29, -0.15, -1.07, 0.40, 0.08, -0.13, -1.57, 1.37, 3.06,
        1.59, -2.27, -1.41, -1.56),
}
"""Intercept, then one factor for each of `inputs`."""


def inputs(match: Match, clauses: int, scope: bool, lost: bool) -> tuple[float, ...]:
    """What the curve looks at: score, cover, share explained, margin, belief, two clauses, keys of the pattern, a
    verb or event in it, a denied one, log of the number of clauses, talk of prices or appointments, weight and
    trust of the pattern, praise in the clause, an event that happens, a head in a side clause, no word
    on which machine it is."""
    heads = [f for f in match.features if f.kind in ("function", "event")]
    return (match.score, match.cover, match.explained, match.margin, match.belief, float(len(match.span) > 1),
            min(match.size, 4) / 4, float(bool(heads)), float(any(f.sign < 0 for f in heads)),
            math.log(max(clauses, 1)), float(scope), min(match.weight, 8.0) / 8, match.trust, float(match.praised),
            float(any(f.kind == "event" and f.sign > 0 for f in heads)),
            float(any(f.subordinate for f in heads)), float(lost))


def complaint_probability(match: Match, clauses: int = 1, scope: bool = False, lost: bool = False) -> float:
    """Probability that the matched meaning was meant in a message of so many clauses."""
    if not match.plain:
        return 0.15 * match.score
    constants = CONSTANTS[match.meaning.partition(":")[0]]
    z = constants[0] + sum(c * x for c, x in zip(constants[1:], inputs(match, clauses, scope, lost), strict=False))
    return 1 / (1 + math.exp(-z))
