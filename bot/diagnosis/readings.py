"""Readings with doubt: what a good part should read, and how well a number fits each band.

Density update: for a reading r and bands k with P(k | fault), the factor is sum_k lambda_k * P(k | fault) where
lambda_k = [Phi((high - x)/u) - Phi((low - x)/u)] / width_k, x the reading less the leads, u its standard uncertainty
and the width that of the logarithms (see `_width`). The division matters: a wide band would win by its width alone.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from bot.diagnosis.compiled import Floats, Model
from bot.diagnosis.evidence import Seen
from bot.diagnosis.thresholds import MISUSE
from knowledge.schema import Check, Expectation, Reading

KELVIN: Final = 273.15
COPPER_ZERO: Final = 234.5
"""Degrees below zero at which copper's resistance would vanish (linear law for annealed copper, IEC 60034-1)."""
PLATINUM: Final = 0.00385
"""Mean temperature coefficient of platinum sensors, 1/K (IEC 60751)."""
COLD_HEATER: Final = 0.95
"""Power is rated hot; the wire reads some per cent lower cold. The middle of 3 to 8 %."""
ROOM: Final = 25.0
GUESSED_ROOM_SPREAD: Final = 4.0
"""Standard deviation of a room temperature nobody measured, K."""
GUESSED_WATTS_SPREAD: Final = 0.1
"""Relative standard deviation of watts nobody read: most heaters for a machine lie within a sixth of its usual ones (a
uniform share of that width). Packs with wider choice have wider bands."""
LEADS: Final = 0.3
"""Ohms of a usual pair of leads, and how far from it another pair may be (half-width)."""
LEADS_SPREAD: Final = 0.2

METER: Final[Mapping[str, tuple[float, float, float]]] = {
    "ohm": (0.01, 3, 0.1), "volt_ac": (0.01, 3, 0.1), "volt_dc": (0.005, 2, 0.01), "microfarad": (0.04, 5, 0.1),
    "amp": (0.03, 5, 0.1), "celsius": (0.01, 1, 1.0), "minutes": (0.05, 0, 60.0), "seconds": (0.02, 0, 1.0),
    "rpm": (0.02, 1, 10.0)}
"""Quantity -> (share of reading, digits, display step at small readings) of an ordinary hand-held instrument."""


@dataclass(frozen=True, slots=True)
class Expected:
    """What a good part reads. `low`..`high` is the standard tolerance with the doubt in what was assumed."""

    value: float
    low: float
    high: float
    assumed: tuple[str, ...]
    """Which of the values it rests on were not told: the pack's defaults stand in."""


@dataclass(frozen=True, slots=True)
class Judged:
    """A reading put into bands."""

    result: str
    sure: float
    """Normalised lambda of that band: 1 is certain, under SURE ask again."""
    weights: Mapping[str, float]
    """Result -> lambda, up to a common factor."""


def expected(check: Check, given: Mapping[str, float]) -> Expected | None:
    """What a good part should read by physics, or None where the check has no such law."""
    if check.reading is None or check.reading.expect is None:
        return None
    law = check.reading.expect
    value, assumed, doubt = _law(law, given)
    spread = math.hypot(law.tolerance, 2 * doubt)
    return Expected(value, value * (1 - spread), value * (1 + spread), assumed)


def _law(law: Expectation, given: Mapping[str, float]) -> tuple[float, tuple[str, ...], float]:
    """Value, what was assumed, and the relative standard deviation that guessed watts or a guessed temperature add."""
    known = {**law.default, **{k: v for k, v in given.items() if k in law.default}}
    assumed = tuple(k for k in law.default if k not in given)
    ambient = given.get("ambient_c", law.default.get("ambient_c", ROOM))
    guess = 0.0 if "ambient_c" in given else GUESSED_ROOM_SPREAD
    if law.model == "heater":
        return (COLD_HEATER * known["volts"] ** 2 / known["watts"], assumed,
                GUESSED_WATTS_SPREAD if "watts" in assumed else 0.0)
    kelvin = ambient + KELVIN
    if law.model == "thermistor":
        value = known["r25"] * math.exp(known["beta"] * (1 / kelvin - 1 / (ROOM + KELVIN)))
        slope = known["beta"] / kelvin**2
    elif law.model == "platinum":
        value = known.get("r0", 1000.0) * (1 + PLATINUM * ambient)
        slope = PLATINUM / (1 + PLATINUM * ambient)
    else:
        value = known["r25"] * (COPPER_ZERO + ambient) / (COPPER_ZERO + ROOM)
        slope = 1 / (COPPER_ZERO + ambient)
    if guess and "ambient_c" not in assumed:
        assumed = (*assumed, "ambient_c")
    return value, assumed, slope * guess


def uncertainty(reading: Reading, value: float, given: Mapping[str, float]) -> float:
    """Standard uncertainty of a reading: u^2 = (a r)^2/3 + (n d)^2/3 + d^2/12 + u_leads^2 (rectangular shares)."""
    share, digits, least = METER[reading.quantity]
    step = max(least, 10 ** (math.floor(math.log10(abs(value))) - 3)) if value else least
    leads = 0.0
    if reading.quantity == "ohm" and reading.leads:
        leads = (0.02 if "leads_ohm" in given else LEADS_SPREAD) / math.sqrt(3)
    return math.sqrt((share * value) ** 2 / 3 + (digits * step) ** 2 / 3 + step**2 / 12 + leads**2)


def less_leads(reading: Reading, value: float, given: Mapping[str, float]) -> float:
    """The reading without its leads; never under zero."""
    if reading.quantity != "ohm" or not reading.leads:
        return value
    return max(0.0, value - given.get("leads_ohm", LEADS))


def band_weights(check: Check, seen: Seen, given: Mapping[str, float], other: float | None = None) -> Floats:
    """[results] lambda of each result for a reading; results without a band get 0.

    `other` is the reading that this one should match; where the check says `matches` and one is known, bands
    marked `relative` are multiples of it. Both were read with the same leads.
    """
    reading = check.reading
    assert reading is not None, "only checks with a reading take a number"
    weights = np.zeros(len(check.results))
    low, high = _span(seen)
    if math.isinf(high):
        for i, result in enumerate(check.results.values()):
            weights[i] = 1.0 if result.band is not None and result.band.open else 0.0
        return weights if weights.any() else _highest(check)
    if reading.relative and reading.matches is not None and other is None:
        return np.ones(len(check.results))  # what it should match was not read: no news
    scale, scale_doubt = _scale(check, given, other)
    middle = less_leads(reading, (low + high) / 2, given)
    spread = math.hypot(uncertainty(reading, middle, given), (high - low) / math.sqrt(12))
    spread = math.hypot(spread, middle * scale_doubt)
    x, u = middle / scale, max(spread / scale, 1e-9)
    edges = [b for r in check.results.values() if r.band for b in (r.band.low, r.band.high) if b is not None]
    ceiling = max([*edges, x]) * 4 or 1.0
    for i, result in enumerate(check.results.values()):
        if result.band is not None and not result.band.open:
            bottom = result.band.low or 0.0
            top = result.band.high if result.band.high is not None else ceiling
            reach_low = -math.inf if result.band.low in (None, 0) else (bottom - x) / u
            reach_high = math.inf if result.band.high is None else (top - x) / u
            weights[i] = (_phi(reach_high) - _phi(reach_low)) / _width(bottom, top, reading)
    return weights


def _width(bottom: float, top: float, reading: Reading) -> float:
    """Width of a band in the measure a bad part's readings are spread over: the logarithm, from the meter's least
    step up. A bad part is as likely to read 100 ohm as 1 kohm; per ohm, the wide bands would count for nothing."""
    least = METER[reading.quantity][2]
    return math.log((top + least) / (bottom + least)) if top > bottom else 1e-9


def band_of(model: Model, check: str, value: float, given: Mapping[str, float],
            other: float | None = None) -> tuple[str, float]:
    """The result a reading falls into, and how sure that is (0..1)."""
    judged = judge(model.pack.checks[check], Seen(check, value=value), given, other)
    return judged.result, judged.sure


def judge(check: Check, seen: Seen, given: Mapping[str, float], other: float | None = None) -> Judged:
    """A reading put into bands: where it falls, and how sure that is. Ask again under SURE."""
    weights = band_weights(check, seen, given, other)
    share = weights * _widths(check)
    total = share.sum()
    if total <= 0:
        share, total = np.ones(len(share)), float(len(share))
    best = int(np.argmax(share))
    ids = tuple(check.results)
    return Judged(ids[best], float(share[best] / total), dict(zip(ids, weights.tolist(), strict=True)))


def _widths(check: Check) -> Floats:
    assert check.reading is not None
    edges = [b for r in check.results.values() if r.band for b in (r.band.low, r.band.high) if b is not None]
    ceiling = max(edges, default=1.0) * 4 or 1.0
    widths = []
    for result in check.results.values():
        band = result.band
        if band is None or band.open:
            widths.append(1.0)
        else:
            widths.append(_width(band.low or 0.0, band.high if band.high is not None else ceiling, check.reading))
    return np.array(widths)


def factor(rows: Floats, weights: Floats) -> Floats:
    """[H] likelihood of a reading from P(result | h) ([O, H]) and lambdas ([O]), with a floor for misuse."""
    weights = weights / weights.max() if weights.max() > 0 else np.ones_like(weights)
    mixed: Floats = (1 - MISUSE) * (weights @ rows[: len(weights)]) + MISUSE * weights.mean()
    return mixed


def plausible(check: Check, value: float) -> bool:
    """Whether a value can be read there at all; otherwise it is asked about before it counts."""
    bounds = check.reading.plausible if check.reading else None
    if bounds is None or math.isinf(value):
        return True
    return (bounds.low is None or value >= bounds.low) and (bounds.high is None or value <= bounds.high)


def _span(seen: Seen) -> tuple[float, float]:
    if seen.low is not None and seen.high is not None:
        return min(seen.low, seen.high), max(seen.low, seen.high)
    value = seen.value if seen.value is not None else seen.low if seen.low is not None else seen.high
    assert value is not None, "a reading needs a value"
    return value, value


def _scale(check: Check, given: Mapping[str, float], other: float | None) -> tuple[float, float]:
    """What relative bands are multiples of, and its relative standard deviation."""
    assert check.reading is not None
    if not check.reading.relative:
        return 1.0, 0.0
    if check.reading.matches is not None and other:
        share, _, least = METER[check.reading.quantity]
        return max(less_leads(check.reading, other, given), least), share / math.sqrt(3)
    good = expected(check, given)
    if good is None:
        return 1.0, 0.0
    law = check.reading.expect
    assert law is not None
    return good.value, _law(law, given)[2]


def _highest(check: Check) -> Floats:
    """OL where no result is marked open: the highest band."""
    tops = [math.inf if r.band and r.band.high is None else (r.band.high or 0.0) if r.band else -1.0
            for r in check.results.values()]
    weights = np.zeros(len(tops))
    weights[int(np.argmax(tops))] = 1.0
    return weights


def _phi(z: float) -> float:
    return 0.5 * (1 + math.erf(z / math.sqrt(2)))
