"""From scores of matching to probabilities that hold.

A logistic curve over what matching found and how the message is built; one curve for complaints, one for denials.
The constants are fitted on the open labelled messages, never on the second set;
`python -m tests.benchmarks.language.fit` derives them again and shows the k-fold figures.
"""

from __future__ import annotations

import math
from typing import Final

from bot.language.matching import Match

CONSTANTS: Final = {
    "complaint": (
        -6.74, 5.74, 3.09, -0.91, 1.53, 2.77, -1.37, 1.75, -0.84, 1.99, -0.56, -0.83, 1.29, -1.68,
        0.60, 1.43, 0.24, -1.74),
    "denied": (
        -8.87, 5.58, -0.01, 0.41, 0.05, 0.83, -0.18, 0.95, 0.75, 0.88, -0.19, -1.41, 0.13, 3.27,
        1.13, -1.45, -1.39, -1.60),
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
