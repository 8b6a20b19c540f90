"""A confirmed visit as learning needs it: its fault, what was told of it, what the checks showed. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from bot.diagnosis.belief import believe
from bot.diagnosis.compiled import Model
from bot.diagnosis.evidence import UNKNOWN, Evidence, Repaired, Seen
from bot.followup.labels import Label
from knowledge.schema import Check


@dataclass(frozen=True, slots=True)
class Case:
    """One confirmed visit."""

    job: str
    at: datetime
    weight: float
    """How much it counts, 0 to 1."""
    faults: Mapping[str, float]
    """Sums to 1. Where a repair cures several faults, nobody knows which it was: as the belief splits them."""
    told: Mapping[str, float]
    """What the packs alone believe from complaints and machine, before any check."""
    seen: tuple[tuple[str, str], ...]
    """(check, result) that tell of the fault: before the first repair, and not what the complaint said already."""


def case_of(job: str, at: datetime, label: Label, evidence: Evidence, model: Model) -> Case | None:
    """The case; None where today's pack no longer has the fault."""
    if label.fault != UNKNOWN and label.fault not in model.faults:
        return None
    known = _known(model, evidence)
    told = dict(believe(model, replace(known, history=())).faults)
    faults = _split(model, label, known)
    seen = tuple((fact.check, fact.result) for fact in known.history
                 if isinstance(fact, Seen) and fact.result is not None
                 and tells(model.pack.checks[fact.check], known.complaints))
    return Case(job, at, label.weight, faults, told, seen)


def tells(check: Check, complaints: tuple[str, ...]) -> bool:
    """Whether a result says something of the fault alone: not which machine it is, nor what was complained of."""
    return not any(r.identifies or set(r.complaints) & set(complaints) for r in check.results.values())


def _split(model: Model, label: Label, evidence: Evidence) -> dict[str, float]:
    if label.named or label.repair is None or label.repair not in model.repair_index:
        return {label.fault: 1.0}
    cured = model.cured_by(label.repair)
    if label.fault not in cured or len(cured) == 1:
        return {label.fault: 1.0}
    belief = dict(believe(model, evidence).faults)
    chances = {fault: belief.get(fault, 0.0) for fault in cured}
    total = sum(chances.values())
    return {f: p / total for f, p in chances.items()} if total > 0 else {label.fault: 1.0}


def _known(model: Model, evidence: Evidence) -> Evidence:
    """What today's pack knows of it, up to the first repair: earlier releases had other entries."""
    history: list[Seen | Repaired] = []
    for fact in evidence.history:
        if isinstance(fact, Repaired):
            break
        if fact.check in model.check_index and _readable(model.pack.checks[fact.check], fact):
            history.append(fact)
    variants = model.pack.family.variants
    return replace(
        evidence, history=tuple(history),
        complaints=tuple(c for c in evidence.complaints if c in model.complaint_index),
        denied=tuple(c for c in evidence.denied if c in model.complaint_index),
        variant={axis: value for axis, value in evidence.variant.items()
                 if axis in variants and value in variants[axis].values})


def _readable(check: Check, fact: Seen) -> bool:
    number = fact.value is not None or fact.low is not None or fact.high is not None
    return (fact.result is None or fact.result in check.results) and (not number or check.reading is not None)
