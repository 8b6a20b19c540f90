"""Matrices of learned weights, kept as whole numbers."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]


@dataclass(frozen=True, repr=False, eq=False)
class Layer:
    """Whole numbers in steps: [row, column] of `matrix` times `steps`, plus `base`."""

    matrix: NDArray[np.int8]
    steps: Floats
    base: Floats

    def of(self, columns: NDArray[np.integer]) -> Layer:
        """Those columns alone."""
        return Layer(np.ascontiguousarray(self.matrix[:, columns]), self.steps[columns], self.base[columns])

    def rows(self, places: NDArray[np.integer]) -> Floats:
        """Those rows."""
        found = np.asarray(self.matrix[places] * self.steps, dtype=np.float32)
        found += self.base
        return found

    def summed(self, rows: NDArray[np.integer], weight: float = 1.0) -> Floats:
        """Those rows summed, each counting `weight`."""
        total = self.matrix[rows].sum(axis=0, dtype=np.float32) * self.steps * weight + self.base
        return np.asarray(total, dtype=np.float32)

    @cached_property
    def factors(self) -> Floats:
        """The matrix in its own numbers, kept."""
        return np.asarray(self.matrix * self.steps, dtype=np.float32)
