"""Shares with intervals: a small number is shown as a small number."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Final

Z: Final = 1.959964
"""Standard normal quantile of a two-sided 95 % interval."""


@dataclass(frozen=True, slots=True)
class Share:
    """`count` of `total`, with its 95 % interval by Wilson's score (E. B. Wilson, JASA 22, 1927)."""

    count: int
    total: int

    @property
    def value(self) -> float | None:
        """0..1; None where there is nothing to count."""
        return self.count / self.total if self.total else None

    @property
    def interval(self) -> tuple[float, float]:
        """Lower and upper end, 0..1."""
        if not self.total:
            return 0.0, 1.0
        n, p = self.total, self.count / self.total
        middle = (p + Z * Z / (2 * n)) / (1 + Z * Z / n)
        half = Z / (1 + Z * Z / n) * sqrt(p * (1 - p) / n + Z * Z / (4 * n * n))
        return max(0.0, middle - half), min(1.0, middle + half)


@dataclass(frozen=True, slots=True)
class Middle:
    """A median with the interval of the order statistics that hold it with 95 %; quartiles for the spread."""

    values: tuple[float, ...]

    @property
    def value(self) -> float | None:
        """The median; None of nothing."""
        return quantile(self.values, 0.5) if self.values else None

    @property
    def interval(self) -> tuple[float, float] | None:
        """Lower and upper end of the median's interval; None below six values, where there is none."""
        n = len(self.values)
        if n < 6:
            return None
        low = max(0, int((n - Z * sqrt(n)) / 2))
        ranked = sorted(self.values)
        return ranked[low], ranked[n - 1 - low]


def quantile(values: tuple[float, ...], q: float) -> float:
    """The q-quantile by linear interpolation."""
    ranked = sorted(values)
    place = q * (len(ranked) - 1)
    low = int(place)
    high = min(low + 1, len(ranked) - 1)
    return ranked[low] + (ranked[high] - ranked[low]) * (place - low)
