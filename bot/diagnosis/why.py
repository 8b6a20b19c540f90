"""One sentence on why the next action is worth its time, from the planner's own numbers."""

from __future__ import annotations

from collections.abc import Iterable

from bot.diagnosis.advice import fits_least
from bot.diagnosis.compiled import Model
from bot.diagnosis.evidence import FITS_NOTHING, UNKNOWN, Belief, Decision, Evidence, Situation
from bot.diagnosis.setting import signoffs_for
from bot.diagnosis.unsafe import gas_told

MOSTLY = 0.5
"""From this share of the belief on it is what the hand-off is about."""


def why(model: Model, evidence: Evidence, situation: Situation, belief: Belief, decision: Decision) -> str:
    """For `diagnose`; the talk words its own from the same numbers."""
    best = decision.best
    if best.do == "check":
        return _check(model, belief, decision)
    if best.do == "repair":
        return _repair(model, evidence, situation, belief, decision)
    if best.do == "stop":
        chance = _chance(belief, model.cured_by(best.id))
        return (f"Most likely the machine works as it should ({_percent(chance)}); anything else to try costs more than"
                f" it settles.")
    if gas_told(model.pack, evidence):
        return "Gas: everybody out, nothing lit or switched, the gas emergency number from outside. Nothing is checked."
    if best.id == FITS_NOTHING:
        return _fits_nothing(model, evidence, belief)
    return _handoff(model, evidence, situation, belief)


def _check(model: Model, belief: Belief, decision: Decision) -> str:
    best = decision.best
    check = model.pack.checks[best.id]
    if decision.again:
        return (f"{best.minutes:.0f} min for {check.name} once more: of what was seen it fits the rest least"
                f" ({_better(belief)}); {best.expected_minutes:.0f} min to expect in all.")
    pointed: dict[str, list[str]] = {}
    for fault, result in decision.parts[:2]:
        pointed.setdefault(result, []).append(f"{name(model, fault)} ({_percent(_chance(belief, (fault,)))} now)")
    telling = [f"{check.results[result].says} points to {' or '.join(those)}" for result, those in pointed.items()]
    said = "; ".join(telling) or "its results tell the likeliest faults apart"
    other = next((o for o in decision.options if o.id != best.id), None)
    saved = other.expected_minutes - best.expected_minutes if other else 0.0
    rest = f", {saved:.0f} less than the next best step" if saved >= 1 else ""
    return f"{best.minutes:.0f} min for {check.name}: {said}; {best.expected_minutes:.0f} min to expect in all{rest}."


def _repair(model: Model, evidence: Evidence, situation: Situation, belief: Belief, decision: Decision) -> str:
    best = decision.best
    faults = model.cured_by(best.id)
    likeliest = max(faults, key=lambda f: _chance(belief, (f,)))
    one, whole = _percent(_chance(belief, (likeliest,))), _percent(_chance(belief, faults))
    leads = f"{_capital(name(model, likeliest))} at {one}"
    if whole != one:
        leads += f", {whole} with what else the same repair puts right"
    if decision.unsafe:
        return f"{leads}; what was seen is put right before anything gets power."
    rival = next((f for f, _ in belief.faults if f in model.faults), likeliest)
    if _chance(belief, (rival,)) > _chance(belief, faults) and not _out_of_reach(model, evidence, situation, rival):
        leads += f", cheaper to try than {name(model, rival)} ({_percent(_chance(belief, (rival,)))})"
    check = next((o for o in decision.options if o.do == "check"), None)
    if check is None:
        instead = "no check is left that could change it"
    elif check.expected_minutes < best.expected_minutes:
        instead = f"sure enough, whatever {model.pack.checks[check.id].name} could add"
    else:
        instead = (f"checking first would come to {check.expected_minutes:.0f} min instead of"
                   f" {best.expected_minutes:.0f}")
    return f"{leads}; {instead}."


def _fits_nothing(model: Model, evidence: Evidence, belief: Belief) -> str:
    odd = fits_least(model, evidence, model.pack.checks)
    fact = next(fact for fact in evidence.latest if fact.check == odd)
    check = model.pack.checks[fact.check]
    said = check.results[fact.result].says if fact.result is not None and fact.value is None else check.name
    return f"No fault in the book shows all of this together ({_better(belief)}); what fits the rest least: {said}."


def _handoff(model: Model, evidence: Evidence, situation: Situation, belief: Belief) -> str:
    fault, p = belief.faults[0]
    if fault == UNKNOWN:
        return f"Nothing known fits well ({_percent(p)} for an unknown fault), and no step left here is worth its time."
    said = _capital(name(model, fault))
    barred = _out_of_reach(model, evidence, situation, fault)
    if p >= MOSTLY and barred:
        return f"{said} at {_percent(p)}: {barred}."
    alike: dict[str, list[str]] = {}
    for other in model.faults:
        alike.setdefault(_out_of_reach(model, evidence, situation, other), []).append(other)
    shares = {reason: _chance(belief, faults) for reason, faults in alike.items() if reason}
    reason = max(shares, key=shares.__getitem__, default="")
    if reason and shares[reason] >= MOSTLY:
        return f"{said} leads with {_percent(p)}; for {_percent(shares[reason])} of what it may be, {reason}."
    leads = f"at {_percent(p)}" if p >= MOSTLY else f"leads with only {_percent(p)}"
    return f"{said} {leads}, and no step left here is worth its time against a senior's."


def _out_of_reach(model: Model, evidence: Evidence, situation: Situation, fault: str) -> str:
    """Why this person cannot put a fault (or pair) right here; empty where they can."""
    parts = fault.split("+")
    missing = sorted(frozenset().union(*(signoffs_for(model.pack, part) for part in parts)) - situation.signoffs)
    if missing:
        return f"it takes somebody signed off for {' and '.join(missing)}"
    lacking = sorted({tool for part in parts for tool in model.pack.repair_of(part)[1].tools} & evidence.cannot)
    tools = " and ".join(tool.replace("_", " ") for tool in lacking)
    return f"the repair takes what is not at hand ({tools})" if lacking else ""


def name(model: Model, fault: str) -> str:
    """A fault as said in a sentence; pairs joined."""
    if fault == UNKNOWN:
        return "something not in the book"
    return " with ".join(model.pack.faults[part].name for part in fault.split("+"))


def _chance(belief: Belief, faults: Iterable[str]) -> float:
    those = set(faults)
    return sum(p for fault, p in belief.faults if those & set(fault.split("+")))


def _better(belief: Belief) -> str:
    """How badly the answers go together, beside visits whose fault is known."""
    if belief.misfit >= 0.995:
        return "hardly a visit fits together worse"
    return f"{100 * belief.misfit:.0f} visits in 100 fit together better"


def _percent(p: float) -> str:
    return "over 99 %" if p >= 0.995 else f"{100 * p:.0f} %"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
