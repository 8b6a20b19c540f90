"""A reading on the bands of its check, ready to be drawn."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from math import hypot, log10, sqrt
from typing import Final

from bot.conversation.firm import Firm
from bot.conversation.job import Fact
from bot.conversation.picture import Band, OnBands, Verdict
from bot.conversation.wording.amounts import reading as said
from bot.diagnosis.readings import expected, less_leads, uncertainty
from knowledge.likelihood import distribution
from knowledge.schema import Check, Reading

SUSPECT: Final = 0.03
"""How often a good machine shows a result that is suspect rather than bad: once in some thirty."""
COVERAGE: Final = 2.0
"""Standard uncertainties either side of a reading: 95 % of a normal distribution."""
SCALE_ENDS: Final = 0.85
"""Where the scale ends if there is a box for 'no continuity' beside it, which reaches to 1."""
BOX: Final = 0.89
TELLS: Final = 0.05
"""Share of a reading from which its leads are worth a word."""
EVEN: Final = frozenset({"celsius", "volt_ac", "volt_dc"})
"""Quantities that nobody thinks of in decades: their scale is always even."""


def is_reading(check: Check, fact: Fact) -> bool:
    """Whether a result came of an instrument: it has a number, or says that there is no continuity."""
    return check.reading is not None and (fact.number is not None or _no_continuity(check, fact))


def verdict(check: Check, result: str) -> Verdict:
    """What a result says of the part."""
    normal = distribution(check.likelihoods["normal"], tuple(check.results))
    if result == max(normal, key=lambda each: normal[each]):
        return "good"
    return "bad" if normal[result] < SUSPECT or check.results[result].unsafe else "suspect"


def on_bands(check: Check, fact: Fact, given: dict[str, float], firm: Firm, other: float | None = None
             ) -> OnBands | None:
    """The reading of a result on its check's bands; None if the check has none or the result is no reading.

    `other`: the reading that this one should match. The mark stands at the reading less its leads, which is what was
    judged; in words it is as read.
    """
    reading, scale = check.reading, _scale(check, given, other)
    closed = [(key, r.band.low, r.band.high) for key, r in check.results.items()
              if r.band is not None and not r.band.open]
    if reading is None or scale is None or not closed or not is_reading(check, fact):
        return None
    least, middle, most = _spread(reading, fact, given)
    opened = [key for key, r in check.results.items() if r.band is not None and r.band.open]
    ends = [end * scale for _, *both in closed for end in both if end is not None]
    place = _axis([*ends, middle] if middle is not None else ends, reading.quantity not in EVEN,
                  SCALE_ENDS if opened else 1.0)

    def band(key: str, low: float | None, high: float | None) -> Band:
        left, under = (0.0, "") if low is None else (place(low * scale), said(low * scale, reading.quantity, firm))
        right, over = ((SCALE_ENDS if opened else 1.0, "") if high is None
                       else (place(high * scale), said(high * scale, reading.quantity, firm)))
        return Band(left, right, check.results[key].says, verdict(check, key), key == fact.value, under, over)

    bands = [band(*each) for each in sorted(closed, key=lambda each: each[1] if each[1] is not None else -1e9)]
    bands += [Band(BOX, 1.0, check.results[key].says, verdict(check, key), key == fact.value, open=True)
              for key in opened]
    if middle is None or fact.number is None:
        box = (BOX + 1.0) / 2
        return OnBands(check.name, "OL", box, box, box, tuple(bands))
    less = said(middle, reading.quantity, firm) if fact.number - middle > TELLS * abs(fact.number) else ""
    return OnBands(check.name, said(fact.number, reading.quantity, firm), place(middle), place(least), place(most),
                   tuple(bands), less)


def alike(check: Check, facts: Iterable[Fact]) -> float | None:
    """The last reading among the results that this check's should match, if it names one."""
    match = check.reading.matches if check.reading is not None else None
    return next((f.number for f in reversed(tuple(facts)) if f.kind == "result" and f.subject == match), None)


def _no_continuity(check: Check, fact: Fact) -> bool:
    result = check.results.get(fact.value)
    return fact.number is None and result is not None and result.band is not None and result.band.open


def _spread(reading: Reading, fact: Fact, given: dict[str, float]) -> tuple[float, float | None, float]:
    """The reading less its leads, and how far it may be from that on either side; no middle for no continuity."""
    if fact.number is None:
        return 0.0, None, 0.0
    middle = less_leads(reading, fact.number, given)
    wide = fact.high - fact.low if fact.low is not None and fact.high is not None else 0.0
    doubt = COVERAGE * hypot(uncertainty(reading, middle, given), wide / sqrt(12))
    return middle - doubt, middle, middle + doubt


def _scale(check: Check, given: dict[str, float], other: float | None) -> float | None:
    """What the bands are multiples of; None if that is not known."""
    if check.reading is None or not check.reading.relative:
        return 1.0
    if check.reading.matches is not None and other:
        return other
    good = expected(check, given)
    return good.value if good is not None else None


def _axis(values: Sequence[float], may_be_log: bool, stop: float) -> Callable[[float], float]:
    """Value -> 0..stop: by its logarithm where the values span a decade or more, else evenly. Outside: at the end."""
    above = [value for value in values if value > 0]
    if may_be_log and above and max(above) >= 10 * min(above):
        low, high = log10(min(above)), log10(max(above))
        left, width = low - 0.2 * (high - low), 1.4 * (high - low)
        return lambda value: 0.0 if value <= 0 else stop * min(1.0, max(0.0, (log10(value) - left) / width))
    low, high = min(values), max(values)
    spread = max(high - low, 0.25 * abs(high), 1.0 if high == 0 else 0.0)
    left = 0.0 if 0 <= low <= 0.4 * high else low - 0.3 * spread
    width = high + 0.3 * spread - left
    return lambda value: stop * min(1.0, max(0.0, (value - left) / width))
