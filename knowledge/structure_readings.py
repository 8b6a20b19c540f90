"""Structural checks of what is measured: bands without gaps, expectations with their constants."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Final

from knowledge.schema import Band, Check
from knowledge.source import Place

Note = tuple[Place, str, bool]
"""Where, what, and whether it keeps the family from loading."""

CONSTANTS: Final[dict[str, tuple[str, ...]]] = {
    "heater": ("watts", "volts"),
    "thermistor": ("r25", "beta"),
    "platinum": ("r0",),
    "copper": ("r25",),
}
"""What each model of a good part needs in `default` (formulas: schema.Expectation)."""


def check_bands(place: Place, check: Check) -> Iterator[Note]:
    """Bands meet without gap or overlap, and reach from nothing to infinity."""
    banded = [(rid, result.band) for rid, result in check.results.items() if result.band is not None]
    if check.reading is None:
        if banded:
            yield (*place, "results"), "bands need a `reading` with its quantity", True
        return
    if not banded:
        yield (*place, "results"), "a reading needs a `band` in its results", True
        return
    for rid, band in banded:
        if not band.open and band.low is not None and band.high is not None and band.low >= band.high:
            yield (*place, "results", rid, "band"), f"the band goes from {band.low} to {band.high}: swap them", True
            return
    ranges = sorted((b for _, b in banded if not b.open), key=lambda b: b.low if b.low is not None else -1e99)
    for below, above in pairwise(ranges):
        if below.high != above.low or below.high is None:
            yield (*place, "results"), f"bands leave a gap or overlap at {below.high} / {above.low}", True
    if ranges and not _unbounded(ranges):
        yield (*place, "results"), "the lowest band has no `from`, the highest no `to`", True


def check_reading(place: Place, check: Check) -> Iterator[Note]:
    """An expectation names the constants of its model, and relative bands have one to be relative to."""
    reading = check.reading
    if reading is None:
        return
    if reading.relative and reading.expect is None and reading.matches is None:
        yield (*place, "reading"), "relative bands need `expect` or `matches`: what they are multiples of", True
    expect = reading.expect
    if expect is not None:
        lacking = [name for name in CONSTANTS[expect.model] if name not in expect.default]
        if lacking:
            yield (*place, "reading", "expect"), f"`default` of a {expect.model} needs {', '.join(lacking)}", True
    if reading.plausible is not None and reading.plausible.open:
        yield (*place, "reading", "plausible"), "write `from` and `to`: a range of numbers", True


def _unbounded(ranges: list[Band]) -> bool:
    return ranges[0].low in (None, 0) and ranges[-1].high is None
