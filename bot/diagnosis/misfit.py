"""Knowing that it does not know: does the evidence fit together at all?

surprise = sum_i log P(e_i) - log P(e): positive when the answers go together worse than chance would have it under
the known faults. How much is much depends on how many answers there are; the quantiles come from simulated visits
of known faults (see thresholds). Only the answers since the last repair are weighed, against what was believed just
after it: that a repair did not cure makes what spoke for it odd, and that is no news about them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from bot.diagnosis.compiled import Floats
from bot.diagnosis.thresholds import MISFIT_LEAST, MISFIT_LEVELS, MISFIT_NATS


def surprise(start: Floats, answers: Sequence[Floats]) -> float:
    """Nats. `start` [H]: mass before the first of the answers, not normalised; `answers`: their factors [H]."""
    total = start.sum()
    if not answers or total <= 0:
        return 0.0
    before = start / total
    apart = sum(math.log(max(float(before @ likelihood), 1e-300)) for likelihood in answers)
    return apart - math.log(max(float(before @ np.prod(answers, axis=0)), 1e-300))


def misfit(nats: float, answers: int) -> float:
    """0..1: the share of visits of known faults with as many answers since the last repair whose evidence fits
    together better."""
    if answers < 2:
        return 0.0
    row = np.maximum(MISFIT_NATS[min(answers, len(MISFIT_NATS) - 1)], MISFIT_LEAST)
    return float(np.interp(nats, row, MISFIT_LEVELS, left=0.0, right=1.0))
