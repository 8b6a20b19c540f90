"""`chargehand diagnose`: belief and next action for given evidence, with no talk. One JSON object in, one out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from pydantic import BaseModel, ConfigDict, ValidationError

from bot.diagnosis.advice import named_if_sure
from bot.diagnosis.belief import believe
from bot.diagnosis.compiled import Model
from bot.diagnosis.evidence import Decision, Evidence, Option, Repaired, Seen, Situation
from bot.diagnosis.planner import plan
from bot.diagnosis.setting import signoffs_for
from bot.diagnosis.why import why


class Value(BaseModel):
    """A reading, SI units."""

    model_config = ConfigDict(extra="forbid", allow_inf_nan=True)
    value: float


class Step(BaseModel):
    """One fact of a history: a check with its result, or a repair that did not cure."""

    model_config = ConfigDict(extra="forbid")
    check: str | None = None
    result: str | Value | None = None
    repaired: str | None = None


class Query(BaseModel):
    """What `chargehand diagnose` reads. Unknown keys are left alone: the format may grow."""

    model_config = ConfigDict(extra="ignore")
    family: str
    variant: dict[str, str] = {}
    complaints: list[str] = []
    denied: list[str] = []
    results: dict[str, str | Value] = {}
    history: list[Step] = []
    cannot: list[str] = []
    repaired: list[str] = []
    given: dict[str, float | str] = {}
    signoffs: list[str] = []


class BadQueryError(ValueError):
    """A query that cannot be answered; the text says what to write instead."""


def diagnose(model: Model, query: dict[str, Any]) -> dict[str, Any]:
    """The answer to one query, as in the contract. Raises BadQueryError with a message of one line."""
    asked = _read(query)
    if asked.family != model.pack.family.id:
        raise BadQueryError(f"family '{asked.family}' is not the one asked of: {model.pack.family.id}")
    evidence = _evidence(model, asked)
    situation = Situation(signoffs=frozenset(asked.signoffs))
    belief = believe(model, evidence)
    decision = _theirs(model, evidence, situation, named_if_sure(
        model, evidence, belief, situation, plan(model, evidence, situation)))
    best = decision.best
    return {
        "faults": [{"id": fault, "p": p} for fault, p in belief.faults],
        "variants": {axis: dict(shares) for axis, shares in belief.variants.items()},
        "misfit": belief.misfit,
        "next": {"do": best.do, "id": best.id, "expected_minutes": round(best.expected_minutes, 2),
                 "why": why(model, belief, decision)},
    }


def _theirs(model: Model, evidence: Evidence, situation: Situation, decision: Decision) -> Decision:
    """The decision, with a repair that is not this person's to make handed off."""
    if decision.best.do != "repair":
        return decision
    entry = model.entries[model.repair_index[decision.best.id]]
    needed = frozenset().union(*(signoffs_for(model.pack, fault) for fault in model.cured_by(decision.best.id)))
    if needed <= situation.signoffs and not set(entry.tools) & evidence.cannot:
        return decision
    minutes = situation.handoff_minutes
    handed = next((o for o in decision.options if o.do == "handoff"), Option("handoff", "handoff", minutes, minutes))
    return replace(decision, best=handed)


def family_of(query: Mapping[str, Any]) -> str:
    """The family a query is about. Raises BadQueryError."""
    return _read(dict(query)).family


def _read(query: dict[str, Any]) -> Query:
    try:
        return Query.model_validate(query)
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(part) for part in first["loc"]) or "the whole"
        raise BadQueryError(f"{where}: {first['msg'].lower()}") from error


def _evidence(model: Model, asked: Query) -> Evidence:
    pack = model.pack
    _known("complaint", [*asked.complaints, *asked.denied], pack.complaints)
    for axis, value in asked.variant.items():
        _known("variant", [axis], pack.family.variants)
        _known(f"value of {axis}", [value], pack.family.variants[axis].values)
    if asked.history:
        history = tuple(_fact(model, step) for step in asked.history)
    else:
        seen = [_seen(model, check, result) for check, result in asked.results.items()]
        history = (*seen, *(_repair(model, repair) for repair in asked.repaired))
    given = {k: float(v) for k, v in asked.given.items() if isinstance(v, (int, float))}
    return Evidence(family=asked.family, variant=asked.variant, complaints=tuple(asked.complaints),
                    denied=tuple(asked.denied), history=history, cannot=frozenset(asked.cannot), given=given)


def _fact(model: Model, step: Step) -> Seen | Repaired:
    if step.repaired is not None and step.check is None:
        return _repair(model, step.repaired)
    if step.check is None or step.result is None:
        raise BadQueryError("history: each entry is {check, result} or {repaired}")
    return _seen(model, step.check, step.result)


def _repair(model: Model, repair: str) -> Repaired:
    _known("repair or fault", [repair], model.repair_index)
    return Repaired(repair)


def _seen(model: Model, check: str, result: str | Value) -> Seen:
    _known("check", [check], model.pack.checks)
    if isinstance(result, Value):
        if model.pack.checks[check].reading is None:
            results = ", ".join(model.pack.checks[check].results)
            raise BadQueryError(f"check '{check}' takes one of {results}, not a number")
        return Seen(check, value=result.value)
    _known(f"result of '{check}'", [result], model.pack.checks[check].results)
    return Seen(check, result)


def _known(what: str, ids: list[str], there: Mapping[str, Any]) -> None:
    for key in ids:
        if key not in there:
            from rapidfuzz.process import extractOne  # noqa: PLC0415  only wanted for a hint

            near = extractOne(key, list(there))
            raise BadQueryError(f"no {what} '{key}'" + (f": nearest is '{near[0]}'" if near else ""))

