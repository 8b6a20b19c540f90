"""Words for how likely something is, and the numbers they stand for: the one place that maps them.

The numbers are expert shorthand, not measurements; a pack may write a number where one is known, and the
firm's own record replaces both in time (see DEVELOPERS.md, "Where the numbers come from").
"""

from __future__ import annotations

from typing import Final, Literal, get_args

Word = Literal["always", "usually", "often", "sometimes", "rarely", "never"]

WORDS: Final[dict[str, float]] = {
    "always": 0.97,
    "usually": 0.85,
    "often": 0.60,
    "sometimes": 0.30,
    "rarely": 0.08,
    "never": 0.01,
}
assert set(WORDS) == set(get_args(Word))

Likelihood = Word | float


def probability(value: Likelihood) -> float:
    """The probability (0 to 1) that a word or a plain number stands for."""
    return WORDS[value] if isinstance(value, str) else float(value)


def distribution(said: dict[str, Likelihood], outcomes: tuple[str, ...], floor: float = 0.01) -> dict[str, float]:
    """Probabilities over all `outcomes` of a check, from what an author said of some of them.

    Outcomes that were not mentioned share what the others leave, at least `floor` each; the whole sums to 1.
    """
    given = {outcome: probability(likelihood) for outcome, likelihood in said.items()}
    rest = [outcome for outcome in outcomes if outcome not in given]
    left = max(0.0, 1.0 - sum(given.values()))
    filled = given | {outcome: max(floor, left / len(rest)) for outcome in rest}
    filled = {outcome: max(floor / 2, filled[outcome]) for outcome in outcomes}
    total = sum(filled.values())
    return {outcome: value / total for outcome, value in filled.items()}
