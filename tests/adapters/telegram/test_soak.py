"""A small load with faults; the large one is a benchmark (`python -m tests.benchmarks.telegram`)."""

from __future__ import annotations

from pathlib import Path

from tests.benchmarks.telegram.soak import Load, soak


async def test_nothing_is_lost_doubled_or_out_of_order(tmp_path: Path) -> None:
    """A tenth of all calls fail in every way there is, and the bot crashes once meanwhile."""
    verdict = await soak(tmp_path, Load(techs=12, messages=6, rate=0.1, seed=3, pause=0.12, crashes=1))
    assert verdict.good, verdict
    assert sum(verdict.faults.values()) > 5
