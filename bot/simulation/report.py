"""The figures of a run of simulated visits, with the names of the `simulate` contract."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from statistics import fmean, quantiles

from bot.simulation.visits import Visit

BINS = 15
"""Equal-mass bins of the expected calibration error."""


def figures(visits: Sequence[Visit]) -> dict[str, object]:
    """Shares (0..1), means and milliseconds over the visits; None where there was nothing to measure it on."""
    outside = [v for v in visits if v.outside is not None]
    found = [v for v in visits if v.first_finding is not None]
    fixed = [v for v in visits if v.fixed]
    times = sorted(s * 1000 for v in visits for s in v.seconds)
    cuts = quantiles(times, n=100) if len(times) > 1 else [0.0] * 99
    told = sum(len(v.told) for v in visits)
    typed = [sum(v.typed[kind] for v in visits) for kind in range(3)]
    return {
        "jobs": len(visits),
        "fixed_at_first_finding": _mean([v.fixed_first for v in visits]),
        "fixed": _mean([v.fixed for v in visits]),
        "finding_right": _mean([v.first_right for v in found]),
        "wrong_repairs_a_job": _mean([v.wrong_repairs for v in visits]),
        "wrong_parts_a_job": _mean([v.wrong_parts for v in visits]),
        "minutes_to_fix": _mean([v.minutes for v in fixed]),
        "minutes_a_job": _mean([v.minutes for v in visits]),
        "handed_off": _mean([v.handed_off is not None for v in visits]),
        "handed_off_why": dict(Counter(v.handed_off for v in visits if v.handed_off).most_common()),
        "outcomes": dict(Counter(v.outcome or "open" for v in visits).most_common()),
        "brier": _mean([(v.first_p - v.first_right) ** 2 for v in found]),
        "calibration_error": calibration_error([(v.first_p, v.first_right) for v in found]),
        "messages_a_job": _mean([v.messages for v in visits]),
        "outside_the_book": len(outside),
        "outside_noticed": _mean([v.doubted for v in outside]),
        "opening_understood": sum(len(v.understood) for v in visits) / told if told else None,
        "answers_in_words": sum(typed),
        "answers_heard": typed[0] / sum(typed) if any(typed) else None,
        "answers_misheard": typed[1] / sum(typed) if any(typed) else None,
        "message_p50_ms": cuts[49],
        "message_p99_ms": cuts[98],
    }


def calibration_error(pairs: Sequence[tuple[float, bool]], bins: int = BINS) -> float | None:
    """Expected calibration error over equal-mass bins: mean |said - came true|, weighted by the bins' sizes. None where
    nothing was said."""
    ranked = sorted(pairs)
    if not ranked:
        return None
    total = 0.0
    for i in range(bins):
        part = ranked[len(ranked) * i // bins: len(ranked) * (i + 1) // bins]
        if part:
            total += len(part) * abs(fmean(p for p, _ in part) - fmean(float(r) for _, r in part))
    return total / len(ranked)


def _mean(values: Sequence[float | bool]) -> float | None:
    return float(fmean(values)) if values else None
