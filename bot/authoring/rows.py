"""Likelihoods that say nothing, too much, or the opposite of what a band or another entry says."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from bot.authoring.machines import can_meet
from bot.authoring.remarks import Remark
from bot.diagnosis.readings import expected
from knowledge.likelihood import distribution, probability
from knowledge.schema import Band, Check, Pack

FULL: Final = 1.3
"""Words of one row may add up to a little more than 1 (usually and sometimes: 1.15); beyond this they quarrel."""
LIKELY: Final = 0.55
UNSAID: Final = 0.1
"""A result that a row does not name may get so much of what it leaves, unless healthy machines hardly give it."""
HARDLY: Final = 0.05


def rows(pack: Pack) -> Iterator[Remark]:
    """Weak or contradictory likelihoods, check by check."""
    for key, check in pack.checks.items():
        if "normal" not in check.likelihoods:
            continue
        said = said_rows(pack, key, check)
        yield from _results(pack, key, check, said)
        yield from _each_row(pack, key, check)
        yield from _unsaid(pack, key, said)
        if check.reading is not None:
            yield from _bands(pack, key, check, said)


Rows = Mapping[str, Mapping[str, float]]
"""'normal' and the faults with a row of their own -> result -> chance, as diagnosis fills it up."""


def said_rows(pack: Pack, key: str, check: Check) -> dict[str, dict[str, float]]:
    """The rows that the check or a fault writes down, filled up to distributions over all its results."""
    outcomes = tuple(check.results)
    own = {**{f: e.checks[key] for f, e in pack.faults.items() if key in e.checks}, **check.likelihoods}
    return {fault: distribution(dict(row), outcomes) for fault, row in own.items()}


def _results(pack: Pack, key: str, check: Check, said: Rows) -> Iterator[Remark]:
    named = {r for row in check.likelihoods.values() for r in row} | {
        r for f in pack.faults.values() for r in f.checks.get(key, {})}
    for rid, result in check.results.items():
        most = max(row[rid] for row in said.values())
        if result.identifies or result.band is not None:
            continue  # bands have to cover the whole line, a variant proves itself
        if most <= 0.02 or (rid not in named and most <= 0.05):
            yield Remark(pack.family.id, ("checks", key, "results", rid), "likelihood",
                         f"no row makes '{rid}' likely (at most {most:.0%})",
                         "name the fault that shows it, or take the result out")


def _each_row(pack: Pack, key: str, check: Check) -> Iterator[Remark]:
    for fault, row in check.likelihoods.items():
        place = ("checks", key, "likelihoods", fault)
        total = sum(probability(value) for value in row.values())
        if total > FULL:
            yield Remark(pack.family.id, place, "likelihood", f"the words of this row add up to {total:.2f}",
                         "leave the likeliest as it is and say 'sometimes' or 'rarely' of the others")
        if fault == "normal" or fault not in pack.faults:
            continue
        if not can_meet(pack, check.only, pack.faults[fault].only):
            yield Remark(pack.family.id, place, "likelihood", f"no machine has both this check and '{fault}'",
                         "take the row out, or mend `only` of one of them")


def _unsaid(pack: Pack, key: str, said: Rows) -> Iterator[Remark]:
    """Rows that leave the usual result unsaid: it then shares the rest with results that hardly anything gives."""
    check, normal = pack.checks[key], said["normal"]
    usual = max(normal, key=lambda r: normal[r])
    for fault, row in said.items():
        if fault not in pack.faults:
            continue
        named = check.likelihoods.get(fault) or pack.faults[fault].checks.get(key, {})
        odd = [r for r in row if r not in named and row[r] > UNSAID and normal[r] < HARDLY]
        if odd and usual not in named:
            yield Remark(pack.family.id, ("checks", key, "likelihoods", fault), "likelihood",
                         f"what the row of '{fault}' leaves unsaid makes '{odd[0]}' likely ({row[odd[0]]:.0%})",
                         f"say how often it gives '{usual}'")


def _bands(pack: Pack, key: str, check: Check, said: Rows) -> Iterator[Remark]:
    """What a fault is called and where its reading is said to lie: open parts read open, shorts read low."""
    banded = {rid: r.band for rid, r in check.results.items() if r.band is not None}
    if not banded:
        return
    yield from _normal_band(pack, key, check, said, banded)
    if check.reading is None or check.reading.quantity != "ohm":
        return
    for fault, row in said.items():
        if fault not in pack.faults or not _about(fault, key, check):
            continue
        likeliest = max(row, key=lambda r: row[r])
        band = banded.get(likeliest)
        if band is None or row[likeliest] < LIKELY:
            continue
        mode = fault.split(".")[1]
        if "open" in mode and "shorted" in mode:
            continue
        is_open = mode.endswith("open") and mode != "stuck_open" and "to_ground" not in key
        reads_low = not band.open and band.high is not None
        if (is_open and reads_low) or ("shorted" in mode and (band.open or band.low not in (None, 0))):
            yield Remark(pack.family.id, ("checks", key, "likelihoods", fault), "likelihood",
                         f"'{fault}' is said to read '{check.results[likeliest].label}'",
                         "an open part reads OL or far too high, a shorted one near zero: mend the row or the band")


def _normal_band(pack: Pack, key: str, check: Check, said: Rows, banded: Mapping[str, Band]) -> Iterator[Remark]:
    good = expected(check, {})
    if good is None or check.reading is None:
        return
    value = 1.0 if check.reading.relative else good.value
    normal = said["normal"]
    inside = [rid for rid, band in banded.items() if not band.open and (band.low or 0.0) <= value
              and (band.high is None or value < band.high)]
    if inside and normal[inside[0]] < max(normal.values()):
        yield Remark(pack.family.id, ("checks", key, "likelihoods", "normal"), "likelihood",
                     f"a good part reads {good.value:.4g} by `expect`: '{inside[0]}', not the likeliest result",
                     "mend `expect`, the bands or the row")


def _about(fault: str, key: str, check: Check) -> bool:
    """Whether the check measures the part that the fault is named after."""
    part = {word.rstrip("s") for word in fault.partition(".")[0].split("_")}
    return bool(part & {word.rstrip("s") for word in f"{key} {check.name}".replace("_", " ").lower().split()})
