"""What must get no power before it is put right: as the tech told it, and as a check has shown it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from bot.diagnosis.evidence import Evidence, Repaired
from knowledge.schema import Pack, Result

KEPT_DEAD: Final = frozenset({"fire", "shock", "gas"})
"""Hazards of a complaint after which nothing is run for a look."""


def unsafe_results(pack: Pack, seen: Iterable[tuple[str, str | None]]) -> Iterator[Result]:
    """Of (check, result) those that carry an instruction to stop."""
    for check, result in seen:
        entry = pack.checks[check].results.get(result or "") if check in pack.checks else None
        if entry is not None and entry.unsafe:
            yield entry


def unsafe_complaint(pack: Pack, complaint: str) -> bool:
    """Whether the complaint itself is an instruction to stop."""
    return complaint in pack.complaints and bool(pack.complaints[complaint].unsafe)


def since_repair(evidence: Evidence) -> list[tuple[str, str | None]]:
    """(check, result) of what was seen after the last repair."""
    return [(fact.check, fact.result) for fact in evidence.latest]


def must_stop(pack: Pack, evidence: Evidence) -> bool:
    """Whether a check showed, or a complaint is, what must stop at once: since the last repair."""
    if any(True for _ in unsafe_results(pack, since_repair(evidence))):
        return True
    return any(unsafe_complaint(pack, c) for c in told_unmended(evidence))


def not_run(pack: Pack, evidence: Evidence) -> bool:
    """Whether nothing is run for a look: it must stop, or fire, shock or gas was told and nothing is mended yet."""
    hazards = {pack.complaints[c].hazard for c in told_unmended(evidence) if c in pack.complaints}
    return bool(hazards & KEPT_DEAD) or must_stop(pack, evidence)


def told_unmended(evidence: Evidence) -> tuple[str, ...]:
    """The complaints, as long as no repair was made."""
    return () if any(isinstance(fact, Repaired) for fact in evidence.history) else evidence.complaints


def gas_told(pack: Pack, evidence: Evidence) -> bool:
    """Whether gas was told and nothing is mended yet, or a check has shown it: everybody out, nothing else."""
    shown = {c for result in unsafe_results(pack, since_repair(evidence)) for c in result.complaints}
    shown |= set(told_unmended(evidence))
    return any(pack.complaints[c].hazard == "gas" for c in shown if c in pack.complaints)
