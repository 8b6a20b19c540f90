"""Every policy against the exact optimum on small problems, in four regimes."""

from __future__ import annotations

from collections.abc import Callable, Iterable

import numpy as np

from tests.benchmarks.diagnosis.instances import MIDDLE, REGIMES, SMALL, TEST, problem
from tests.benchmarks.diagnosis.optimum import brute_force, optimum
from tests.benchmarks.diagnosis.policies import POLICIES, Policy, follow

Ratios = dict[str, dict[str, np.ndarray]]


def checked_by_brute_force(count: int) -> float:
    """Largest relative difference of the two exact solvers on tiny problems."""
    from tests.benchmarks.diagnosis.instances import Size  # noqa: PLC0415

    worst = 0.0
    for i in range(count):
        p = problem(Size(4, 3, 3, 2), REGIMES[i % 4], TEST + 500_000 + i, impossible=i % 2 == 1)
        exact, other = optimum(p), brute_force(p)
        worst = max(worst, abs(exact - other) / other)
    return worst


def ratios(count: int, first: int = TEST, policies: dict[str, Policy] = POLICIES,
           regimes: Iterable[str] = REGIMES, tell: Callable[[str], None] = print) -> Ratios:
    """Regime -> policy -> cost over optimum of each of `count` problems."""
    found: Ratios = {}
    for regime in regimes:
        rows: dict[str, list[float]] = {name: [] for name in policies}
        for i in range(count):
            p = problem(SMALL[i % len(SMALL)], regime, first + i, impossible=i % 3 == 2)
            best = optimum(p)
            for name, policy in policies.items():
                rows[name].append(follow(p, policy) / best)
        found[regime] = {name: np.array(values) for name, values in rows.items()}
        tell(table(regime, found[regime]))
    return found


def middle(count: int, policies: dict[str, Policy], first: int = TEST + 700_000) -> dict[str, np.ndarray]:
    """The same on problems of middle size: 20 faults, 9 checks, 7 repairs."""
    rows: dict[str, list[float]] = {name: [] for name in policies}
    for i in range(count):
        p = problem(MIDDLE, REGIMES[i % 4], first + i)
        best = optimum(p)
        for name, policy in policies.items():
            rows[name].append(follow(p, policy) / best)
    return {name: np.array(values) for name, values in rows.items()}


def table(regime: str, rows: dict[str, np.ndarray]) -> str:
    """Mean, 95th percentile and worst of each policy."""
    lines = [f"\n{regime:<42}{'mean':>9}{'p95':>9}{'worst':>9}"]
    for name, values in rows.items():
        lines.append(f"  {name:<40}{values.mean():9.4f}{np.quantile(values, 0.95):9.4f}{values.max():9.4f}")
    return "\n".join(lines)
