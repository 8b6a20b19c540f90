"""A reading on the bands of its check, ready to be drawn."""

from __future__ import annotations

from dataclasses import dataclass
from math import log10

from bot.conversation.context import Firm
from bot.conversation.job import Fact
from bot.conversation.wording.amounts import reading as said
from bot.diagnosis.readings import expected
from knowledge.schema import Check


@dataclass(frozen=True, slots=True)
class Drawn:
    """One band: its ends as fractions 0..1 of the drawing's width, what it means, and whether the reading is in it."""

    left: float
    right: float
    name: str
    span: str
    hit: bool


@dataclass(frozen=True, slots=True)
class OnBands:
    """A reading with its bands. `at`: where it stands, 0..1."""

    check: str
    value: str
    at: float
    bands: tuple[Drawn, ...]


def on_bands(check: Check, fact: Fact, given: dict[str, float], firm: Firm) -> OnBands | None:
    """The reading of a result on its check's bands; None if the check has none or the result no number."""
    if check.reading is None or fact.number is None:
        return None
    scale = 1.0
    if check.reading.relative and check.reading.expect is not None:
        good = expected(check, given)
        scale = good.value if good is not None else 1.0
    spans = [(key, (r.band.low or 0.0) * scale, r.band.high * scale if r.band.high is not None else None, r.says)
             for key, r in check.results.items() if r.band is not None and not r.band.open]
    if not spans:
        return None
    ends = [end for _, low, high, _ in spans for end in (low, high) if end] + [fact.number]
    place = _axis([end for end in ends if end > 0])
    quantity = check.reading.quantity

    def words(low: float, high: float | None) -> str:
        upper = f"to {said(high, quantity, firm)}" if high is not None else "and more"
        return f"{said(low, quantity, firm)} {upper}"

    bands = tuple(Drawn(place(low), 1.0 if high is None else place(high), says, words(low, high), key == fact.value)
                  for key, low, high, says in sorted(spans, key=lambda each: each[1]))
    return OnBands(check.name, said(fact.number, quantity, firm), place(fact.number), bands)


class _axis:  # noqa: N801  a function with two numbers in it
    """Value -> 0..1, by its logarithm: readings of one check span decades. What is not positive stands at the left."""

    def __init__(self, values: list[float]) -> None:
        logs = [log10(value) for value in values] or [0.0]
        spread = max(max(logs) - min(logs), 0.3)
        self._low, self._width = min(logs) - 0.2 * spread, 1.4 * spread

    def __call__(self, value: float) -> float:
        return 0.0 if value <= 0 else min(1.0, max(0.0, (log10(value) - self._low) / self._width))
