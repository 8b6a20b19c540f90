"""What a firm's own record says otherwise than the packs: shares of faults and rows of checks, laid over the packs.

It is data, not YAML: made by `bot.followup` from confirmed visits, kept in the store, and part of a knowledge release.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from pydantic import Field

from knowledge.likelihood import distribution
from knowledge.schema import Check, Entry, Fault, Knowledge, Pack


class LearnedFamily(Entry):
    """What was learned of one family. Empty fields leave the pack as it is."""

    shares: dict[str, float] = Field(default={})
    """Fault -> share among the visits whose fault is one of these; sums to 1."""
    unknown: float | None = None
    """Share of visits whose fault no entry describes."""
    rows: dict[str, dict[str, dict[str, float]]] = Field(default={})
    """Check -> fault -> result -> chance."""
    cases: int = 0
    """Confirmed visits that it came of."""
    until: datetime | None = None
    """When the newest of them ended."""


class Learned(Entry):
    """What was learned, by family."""

    families: dict[str, LearnedFamily] = Field(default={})


def said_row(pack: Pack, fault: str, check: str) -> dict[str, float]:
    """Result -> chance, as the pack says of a check on a machine with `fault`: the check's word, the fault's, or what
    is normal."""
    entry = pack.checks[check]
    own = entry.likelihoods.get(fault) or (pack.faults[fault].checks.get(check) if fault in pack.faults else None)
    return distribution(own or entry.likelihoods.get("normal", {}), tuple(entry.results))


def lay_over(known: Knowledge, learned: Learned) -> Knowledge:
    """The packs with what was learned in place of their numbers. What the packs no longer have is passed over."""
    packs = {name: _family(pack, learned.families[name]) if name in learned.families else pack
             for name, pack in known.packs.items()}
    return known.model_copy(update={"packs": packs})


def _family(pack: Pack, learned: LearnedFamily) -> Pack:
    shares = {f: s for f, s in learned.shares.items() if f in pack.faults}
    faults = _faults(pack.faults, shares)
    checks = dict(pack.checks)
    for check, rows in learned.rows.items():
        if check in checks:
            checks[check] = _check(checks[check], {f: row for f, row in rows.items() if f in pack.faults})
    family = pack.family
    if learned.unknown is not None:
        family = family.model_copy(update={"unknown": learned.unknown})
    return pack.model_copy(update={"family": family, "faults": faults, "checks": checks})


def _faults(faults: Mapping[str, Fault], shares: Mapping[str, float]) -> dict[str, Fault]:
    """The named faults share out anew the weight that they have in the pack; others (newer ones) keep theirs."""
    if not shares:
        return dict(faults)
    weight = sum(faults[f].frequency for f in shares) / sum(shares.values())
    return {f: entry.model_copy(update={"frequency": shares[f] * weight}) if f in shares else entry
            for f, entry in faults.items()}


def _check(check: Check, rows: Mapping[str, Mapping[str, float]]) -> Check:
    """A row is laid over only if it speaks of just the results that the check has."""
    fitting = {f: dict(row) for f, row in rows.items() if set(row) == set(check.results)}
    return check.model_copy(update={"likelihoods": {**check.likelihoods, **fitting}})
