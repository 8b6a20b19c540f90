"""Small drawings as SVG, made here: shares with intervals, the reliability plot, readings on their bands.

Sizes are in the drawing's own units; colours come from the style sheet by class. Each has a text that says the same.
"""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from bot.conversation.picture import OnBands
from bot.review.figures import Bin
from bot.review.intervals import Share


def share(value: Share) -> Markup:
    """A bar with the interval as a line through its end."""
    low, high = value.interval
    at = 200 * (value.value or 0.0)
    said = f"{value.count} of {value.total}, 95 % interval {100 * low:.0f} to {100 * high:.0f} %"
    if not value.total:
        return Markup('<svg class="bar" viewBox="0 0 200 14" role="img" aria-label="nothing to count">'
                      '<rect class="track" width="200" height="14" rx="3"/></svg>')
    return Markup(
        '<svg class="bar" viewBox="0 0 200 14" role="img" aria-label="{}"><rect class="track" width="200" height="14"'
        ' rx="3"/><rect class="fill" width="{:.1f}" height="14" rx="3"/><path class="whisker" d="M{:.1f} 7H{:.1f}'
        'M{:.1f} 3V11M{:.1f} 3V11"/></svg>').format(said, at, 200 * low, 200 * high, 200 * low, 200 * high)


def reliability(bins: Sequence[Bin]) -> Markup:
    """How sure the findings were (across) against how often they came true (up), with intervals."""
    def x(p: float) -> float:
        return 36 + 250 * p

    def y(p: float) -> float:
        return 262 - 250 * p

    grid = Markup("").join(
        Markup('<path class="grid" d="M{x:.0f} 12V262M36 {y:.0f}H286"/><text x="{x:.0f}" y="278" text-anchor="middle">'
               '{n}</text><text x="30" y="{ty:.0f}" text-anchor="end">{n}</text>').format(
            x=x(p), y=y(p), ty=y(p) + 4, n=f"{100 * p:.0f}") for p in (0.0, 0.25, 0.5, 0.75, 1.0))
    dots = Markup("").join(
        Markup('<path class="whisker" d="M{x:.1f} {low:.1f}V{high:.1f}"/><circle class="dot" cx="{x:.1f}" cy="{y:.1f}"'
               ' r="{r:.1f}"><title>{said}</title></circle>').format(
            x=x(b.p), low=y(b.share.interval[0]), high=y(b.share.interval[1]), y=y(b.share.value or 0),
            r=4 + min(4, b.share.total / 10),
            said=f"said {100 * b.p:.0f} %, came true {b.share.count} of {b.share.total}") for b in bins)
    return Markup(
        '<svg class="plot" viewBox="0 0 300 300" role="img" aria-label="Reliability: said against came true, in'
        ' percent; the table beside it has the numbers">{}<path class="ideal" d="M{} {}L{} {}"/>{}'
        '<text x="161" y="295" text-anchor="middle">said, %</text></svg>').format(grid, x(0), y(0), x(1), y(1), dots)


def bands(reading: OnBands) -> Markup:
    """The bands of a check from left to right, the one that was hit filled, and a line where the reading stands."""
    boxes = Markup("").join(
        Markup('<rect class="{}" x="{:.1f}" y="8" width="{:.1f}" height="16"><title>{}: {}</title></rect>').format(
            "band hit" if band.hit else "band", 320 * band.left, max(1.0, 320 * (band.right - band.left)), band.name,
            band.span) for band in reading.bands)
    hit = f", {reading.hit.name} ({reading.hit.span})" if reading.hit is not None else ", in no band"
    at = min(318.0, max(2.0, 320 * reading.at))
    return Markup('<svg class="bands" viewBox="0 0 320 32" role="img" aria-label="{}">{}'
                  '<path class="at" d="M{:.1f} 2V30"/></svg>').format(
        f"{reading.check}: {reading.value}{hit}", boxes, at)
