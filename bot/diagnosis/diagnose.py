"""`chargehand diagnose`: belief and next action for given evidence, with no talk. One JSON object in, one out."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Collection, Mapping
from dataclasses import replace
from typing import Annotated, Any, Final, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationError, field_validator, model_validator

from bot.diagnosis.advice import advise
from bot.diagnosis.belief import believe
from bot.diagnosis.compiled import Model
from bot.diagnosis.evidence import Decision, Evidence, Option, Repaired, Seen, Situation
from bot.diagnosis.explain import moves, told
from bot.diagnosis.setting import signoffs_for
from bot.diagnosis.unsafe import gas_told, since_repair, unsafe_results
from bot.diagnosis.why import why
from knowledge.schema import Pack

Number = Annotated[float, Field(strict=True)]
"""No text and no true or false: a slip, not a reading of one."""


class Value(BaseModel):
    """A reading, SI units; infinite for OL."""

    model_config = ConfigDict(extra="forbid")
    value: Number

    @field_validator("value")
    @classmethod
    def _is_a_reading(cls, value: float) -> float:
        if math.isnan(value) or value == -math.inf or MOST_READ < abs(value) < math.inf:
            raise ValueError("a reading is a number that a meter can show, or Infinity for OL")
        return value


BELOW_NOUGHT: Final = frozenset({"celsius", "volt_dc"})
MOST_READ: Final = 1e12
"""No meter shows more, in any unit."""


class Given(BaseModel):
    """What is known of the machine and the place. Unknown keys are left alone."""

    model_config = ConfigDict(extra="ignore")
    watts: Annotated[Number | None, Field(gt=0, le=1e5)] = None
    volts: Annotated[Number | None, Field(gt=0, le=1e3)] = None
    ambient_c: Annotated[Number | None, Field(ge=-60, le=100)] = None
    leads_ohm: Annotated[Number | None, Field(ge=0, le=100)] = None
    meter: object = None
    """Whatever is told of it: all count as ordinary hand-held ones."""


def _answer(said: object) -> object:
    if not isinstance(said, (str, dict, Value)):
        raise ValueError('a result is its id, or {"value": number} for a reading')
    return Value.model_validate(said) if isinstance(said, dict) else said


Answer = Annotated[str | Value, BeforeValidator(_answer)]


class Step(BaseModel):
    """One fact of a history: a check with its result, or a repair that did not cure."""

    model_config = ConfigDict(extra="forbid")
    check: str | None = None
    result: Answer | None = None
    repaired: str | None = None

    @model_validator(mode="after")
    def _one_fact(self) -> Step:
        if (self.check is None) != (self.result is None) or (self.check is None) == (self.repaired is None):
            raise ValueError("each entry is {check, result} or {repaired}")
        return self


class Query(BaseModel):
    """What `chargehand diagnose` reads. Unknown keys are left alone: the format may grow."""

    model_config = ConfigDict(extra="ignore", allow_inf_nan=True)
    family: str
    variant: dict[str, str] = {}
    complaints: list[str] = []
    denied: list[str] = []
    results: dict[str, Answer] = {}
    history: list[Step] = []
    cannot: list[str] = []
    repaired: list[str] = []
    given: Given = Given()
    signoffs: list[Signoff] = []
    explain: bool = False

    @model_validator(mode="after")
    def _one_way(self) -> Query:
        if self.history and (self.results or self.repaired):
            raise ValueError("history stands in place of results and repaired: give one or the other")
        return self


Signoff = Literal["live", "gas", "refrigerant", "lifting"]


class BadQueryError(ValueError):
    """A query that cannot be answered; the text says what to write instead."""


def diagnose(model: Model, query: dict[str, Any], tools: Collection[str] = ()) -> dict[str, Any]:
    """The answer to one query, as in the contract. Raises BadQueryError with a message of one line. `tools`: those that
    there are besides the family's own, so that one which is lacking and not needed here is no slip."""
    asked = _read(query)
    if asked.family != model.pack.family.id:
        raise BadQueryError(f"family '{asked.family}' is not the one asked of: {model.pack.family.id}")
    evidence = _evidence(model, asked, tools)
    situation = Situation(signoffs=frozenset(asked.signoffs), again=_again(asked, evidence))
    belief = believe(model, evidence)
    decision = _theirs(model, evidence, situation, advise(model, evidence, belief, situation))
    best = decision.best
    answer = {
        "faults": [{"id": fault, "p": p} for fault, p in belief.faults],
        "variants": {axis: dict(shares) for axis, shares in belief.variants.items()},
        "misfit": belief.misfit,
        "unsafe": list(dict.fromkeys(_flat(str(r.unsafe)) for r in unsafe_results(model.pack, since_repair(evidence)))),
        "next": {"do": best.do, "id": best.id, "expected_minutes": round(best.expected_minutes, 2),
                 "why": why(model, evidence, situation, belief, decision)},
    }
    if asked.explain:
        answer["moved"] = [{"evidence": move.evidence, "fault": move.fault, "odds": 10 ** move.bans,
                            "said": told(model, evidence, move)} for move in moves(model, evidence)]
    return answer


def _again(asked: Query, evidence: Evidence) -> frozenset[str]:
    """Checks that were asked once more already. `results` has no place for a second answer: there nothing is."""
    times = Counter(fact.check for fact in evidence.history if isinstance(fact, Seen))
    return frozenset(check for check, count in times.items() if count > 1 or not asked.history)


def _theirs(model: Model, evidence: Evidence, situation: Situation, decision: Decision) -> Decision:
    """The decision; with gas told, or a repair that is not this person's to make, a senior."""
    best = decision.best
    if gas_told(model.pack, evidence) and "gas" not in situation.signoffs:
        return _handed(decision, situation)
    if best.do != "repair":
        return decision
    entry = model.entries[model.repair_index[best.id]]
    needed = frozenset().union(*(signoffs_for(model.pack, fault) for fault in model.cured_by(best.id)))
    if needed <= situation.signoffs and not set(entry.tools) & evidence.cannot:
        return decision
    return _handed(decision, situation)


def _handed(decision: Decision, situation: Situation) -> Decision:
    minutes = situation.handoff_minutes
    handed = next((o for o in decision.options if o.do == "handoff"), Option("handoff", "handoff", minutes, minutes))
    return replace(decision, best=handed)


def _flat(text: str) -> str:
    return " ".join(text.split())


def family_of(query: Mapping[str, Any]) -> str:
    """The family a query is about. Raises BadQueryError."""
    return _read(dict(query)).family


def _read(query: dict[str, Any]) -> Query:
    try:
        return Query.model_validate(query)
    except ValidationError as error:
        first = error.errors()[0]
        where = ".".join(str(part) for part in first["loc"]) or "the whole"
        own = first["msg"].removeprefix("Value error, ").removeprefix("Input ")
        raise BadQueryError(f"{where}: {WANTED.get(first['type'], own)}") from error


WANTED: Final = {
    "missing": "is missing", "string_type": "write text, in quotes", "float_type": "write a number",
    "list_type": "write a list, in brackets", "dict_type": "write an object, in braces",
    "model_type": "write an object, in braces", "extra_forbidden": "no such key here",
    "model_attributes_type": "write an object, in braces"}
"""By the kind of mistake; the rest is said as it comes."""


def _evidence(model: Model, asked: Query, tools: Collection[str]) -> Evidence:
    pack = model.pack
    _known("complaint", [*asked.complaints, *asked.denied], pack.complaints)
    for axis, value in asked.variant.items():
        _known("variant", [axis], pack.family.variants)
        _known(f"value of {axis}", [value], pack.family.variants[axis].values)
    _known("check or tool", asked.cannot, {*pack.checks, *_tools(pack), *tools, *model.repair_index})
    if asked.history:
        history = tuple(_fact(model, step) for step in asked.history)
    else:
        seen = [_seen(model, check, result) for check, result in asked.results.items()]
        history = (*seen, *(_repair(model, repair) for repair in asked.repaired))
    given: dict[str, float] = asked.given.model_dump(exclude_none=True, exclude={"meter"})
    both = sorted(set(asked.complaints) & set(asked.denied))
    if both:
        raise BadQueryError(f"complaint '{both[0]}' is both told and denied: leave one")
    return Evidence(family=asked.family, variant=asked.variant, complaints=tuple(asked.complaints),
                    denied=tuple(asked.denied), history=history, cannot=frozenset(asked.cannot), given=given)


def _tools(pack: Pack) -> set[str]:
    checks = {tool for check in pack.checks.values() for tool in check.tools}
    return checks | {tool for fault in pack.faults for tool in pack.repair_of(fault)[1].tools}


def _fact(model: Model, step: Step) -> Seen | Repaired:
    if step.check is not None and step.result is not None:
        return _seen(model, step.check, step.result)
    return _repair(model, step.repaired or "")


def _repair(model: Model, repair: str) -> Repaired:
    _known("repair or fault", [repair], model.repair_index)
    return Repaired(repair)


def _seen(model: Model, check: str, result: str | Value) -> Seen:
    _known("check", [check], model.pack.checks)
    if isinstance(result, Value):
        reading = model.pack.checks[check].reading
        if reading is None:
            results = ", ".join(model.pack.checks[check].results)
            raise BadQueryError(f"check '{check}' takes one of {results}, not a number")
        if result.value < 0 and reading.quantity not in BELOW_NOUGHT:
            raise BadQueryError(f"check '{check}': {result.value:g} is no reading of it")
        return Seen(check, value=result.value)
    _known(f"result of '{check}'", [result], model.pack.checks[check].results)
    return Seen(check, result)


def _known(what: str, ids: list[str], there: Collection[str]) -> None:
    for key in ids:
        if key not in there:
            from rapidfuzz.process import extractOne  # noqa: PLC0415  only wanted for a hint

            near = extractOne(key, list(there))
            raise BadQueryError(f"no {what} '{key}'" + (f": nearest is '{near[0]}'" if near else ""))

