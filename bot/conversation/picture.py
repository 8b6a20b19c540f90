"""A drawing that goes with a message, as what stands in it. How it is drawn, and where, is not the core's business."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Verdict = Literal["good", "suspect", "bad"]
"""What a band says of the part: a good one reads so, reads so now and then, or does not."""


@dataclass(frozen=True, slots=True)
class Band:
    """One band: its ends as fractions 0..1 of the drawing's width, what it means, and whether the reading is in it.

    `low`, `high`: the readings at its ends in words, empty where it has no end. `open`: no continuity, a box of its own
    at the right.
    """

    left: float
    right: float
    name: str
    verdict: Verdict
    hit: bool
    low: str = ""
    high: str = ""
    open: bool = False

    @property
    def span(self) -> str:
        """From where to where, in words."""
        if self.open:
            return "OL"
        if self.low and self.high:
            return f"{self.low} to {self.high}"
        return f"{self.low} and more" if self.low else f"up to {self.high}"


@dataclass(frozen=True, slots=True)
class OnBands:
    """A reading with its bands. `at`: where it stands, 0..1, between `least` and `most` with 95 % confidence.

    `less_leads`: what is left without the meter's leads, in words, where that is not the same.
    """

    check: str
    value: str
    at: float
    least: float
    most: float
    bands: tuple[Band, ...]
    less_leads: str = ""

    @property
    def hit(self) -> Band | None:
        """The band that the reading was put into."""
        return next((band for band in self.bands if band.hit), None)


@dataclass(frozen=True, slots=True)
class Picture:
    """Readings on their bands, one a row. No name, address or word of a customer stands in it."""

    rows: tuple[OnBands, ...]
