"""Knowing that it does not know: does the evidence fit together at all?

surprise = sum_i log P(e_i) - log P(e): positive when the answers go together worse than chance would have it under
the known faults. How much is much depends on how many answers there are; the quantiles come from simulated visits
of known faults (see thresholds).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from bot.diagnosis.compiled import Floats
from bot.diagnosis.thresholds import MISFIT_LEAST, MISFIT_LEVELS, MISFIT_NATS


def surprise(prior: Floats, told: Sequence[Floats], stretches: Sequence[tuple[list[Floats], int | None]],
             failures: Sequence[Floats], joint: Floats) -> float:
    """Nats. `prior` [H], `told` factors of complaints, `stretches` of checks, `failures` [H] chance that each repair
    done would not cure, `joint` [H] prior times all of it."""
    after = prior * np.prod(told, axis=0) if told else prior
    after = after / after.sum()
    apart = float(np.log(max((prior * np.prod(told, axis=0)).sum() if told else 1.0, 1e-300)))
    for likelihood in [*(factor for seen, _ in stretches for factor in seen), *failures]:
        apart += float(np.log(max(after @ likelihood, 1e-300)))
    return apart - float(np.log(max(joint.sum(), 1e-300)))


def misfit(nats: float, answers: int) -> float:
    """0..1: the share of visits of known faults with as many answers whose evidence fits together better."""
    if answers < 2:
        return 0.0
    row = np.maximum(MISFIT_NATS[min(answers, len(MISFIT_NATS) - 1)], MISFIT_LEAST)
    return float(np.interp(nats, row, MISFIT_LEVELS, left=0.0, right=1.0))
