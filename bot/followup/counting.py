"""Counts of confirmed visits, fading, and how much they say beside the pack. Pure; numpy alone.

A firm's share of a fault is (n + A g) / (N + A): n its cases, g the pack's share, N all cases, and A the number of
cases that the pack is worth. A is the one under which the counts are likeliest, the pack's shares being the mean of a
Dirichlet distribution from which the firm's were drawn (the Dirichlet-multinomial marginal, as in Minka, "Estimating a
Dirichlet distribution", 2000).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from bot.followup.cases import Case

Floats = NDArray[np.float64]

HALF_LIFE: Final = 300.0
"""Cases after which one counts half: firms, machines and crews change."""
CAP: Final = 0.7
"""Log-odds that one release may move a chance by."""
_STEPS: Final = 40
_BISECTIONS: Final = 60


@dataclass(frozen=True, slots=True, eq=False)
class Group:
    """One distribution that was counted: `counts` may be fractions, `base` is what the pack says; same axis."""

    counts: Floats
    base: Floats


def in_time(cases: Iterable[Case]) -> tuple[Case, ...]:
    """The cases, oldest first; the order in which they come is of no account."""
    return tuple(sorted(cases, key=lambda case: (case.at, case.job)))


def fading(cases: Sequence[Case]) -> Floats:
    """[cases] what each counts now, given them oldest first: its own weight, halved every HALF_LIFE cases since."""
    weights = np.array([case.weight for case in cases])
    since = weights.sum() - np.cumsum(weights)
    faded: Floats = weights * 0.5 ** (since / HALF_LIFE)
    return faded


def shrunk(group: Group, worth: float) -> Floats:
    """The pack's distribution, moved by the counts; `worth`: cases that the pack is worth."""
    moved: Floats = (group.counts + worth * group.base) / (group.counts.sum() + worth)
    return moved


def worth(groups: Sequence[Group], least: float, most: float) -> float:
    """How many cases the pack is worth, `least` to `most`: where the counts of all groups are likeliest.

    `most` where nothing was counted. A coarse look finds the hump, a golden section its top.
    """
    counted = _Counted(groups)
    if not counted.totals:
        return most
    places = np.linspace(math.log(least), math.log(most), _STEPS)
    heights = [counted.log_marginal(math.exp(place)) for place in places]
    top = int(np.argmax(heights))
    low, high = float(places[max(0, top - 1)]), float(places[min(_STEPS - 1, top + 1)])
    ratio = (math.sqrt(5) - 1) / 2
    while high - low > 1e-3:
        left, right = high - ratio * (high - low), low + ratio * (high - low)
        if counted.log_marginal(math.exp(left)) >= counted.log_marginal(math.exp(right)):
            high = right
        else:
            low = left
    return math.exp((low + high) / 2)


class _Counted:
    """What was counted of several distributions, without what was never seen."""

    def __init__(self, groups: Iterable[Group]) -> None:
        there = [group for group in groups if group.counts.sum() > 0]
        self.totals = [float(group.counts.sum()) for group in there]
        self._seen = [(count, base) for group in there
                      for count, base in zip(group.counts.tolist(), group.base.tolist(), strict=True) if count > 0]

    def log_marginal(self, amount: float) -> float:
        """Log-likelihood of the counts, the distributions being drawn around the pack's with this concentration."""
        whole = math.lgamma(amount) * len(self.totals) - sum(math.lgamma(amount + total) for total in self.totals)
        return whole + sum(math.lgamma(count + amount * base) - math.lgamma(amount * base)
                           for count, base in self._seen)


def within(wanted: Floats, now: Floats, cap: float = CAP) -> Floats:
    """The distribution nearest to `wanted` in kind that moves no chance of `now` by more than `cap` log-odds.

    `wanted` times one factor, cut off at the bounds, so that it sums to 1. Both must be positive and sum to 1.
    """
    low, high = _moved(now, -cap), _moved(now, cap)
    less, more = -60.0, 60.0
    for _ in range(_BISECTIONS):
        middle = (less + more) / 2
        if np.clip(wanted * math.exp(middle), low, high).sum() < 1:
            less = middle
        else:
            more = middle
    cut: Floats = np.clip(wanted * math.exp((less + more) / 2), low, high)
    return cut


def _moved(chances: Floats, by: float) -> Floats:
    odds = chances / (1 - np.minimum(chances, 1 - 1e-12)) * math.exp(by)
    moved: Floats = odds / (1 + odds)
    return moved
