"""How sure a finding is said to be: the belief, as often as it proved right."""

from __future__ import annotations

import numpy as np

from bot.diagnosis.thresholds import STATED

_BELIEF, _SAID = zip(*STATED, strict=True)


def stated(belief: float) -> float:
    """The chance (0..1) that is told for a belief (0..1): rises with it, and is the same below .84."""
    return float(np.interp(belief, _BELIEF, _SAID))
