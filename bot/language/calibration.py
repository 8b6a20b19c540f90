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
        -6.38, 4.53, 3.32, -0.96, 0.44, 2.94, -0.60, -0.20, -0.52, 2.01, -0.49, -1.06, 2.69,
        -1.25, 0.07, 1.13, 0.25, -1.51),
    "denied": (
        -10.07, 5.66, 0.45, 0.16, -0.56, 0.75, 1.12, 1.55, 0.59, 1.20, -0.10, 0.25, 0.37, 3.92,
        1.27, -2.45, -0.21, -1.49),
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
