"""One sentence on why the next action is worth its time, from the planner's own numbers."""

from __future__ import annotations

from bot.diagnosis.compiled import Model
from bot.diagnosis.evidence import FITS_NOTHING, UNKNOWN, Belief, Decision
from bot.diagnosis.setting import signoffs_for


def why(model: Model, belief: Belief, decision: Decision, *, gas: bool = False) -> str:
    """For `diagnose` and the trace; the talk words its own from the same numbers. `gas`: it was told or shown."""
    best = decision.best
    if best.do == "check":
        return _check(model, belief, decision)
    if best.do == "repair":
        return _repair(model, belief, decision)
    if best.do == "stop":
        chance = _chance(belief, model.cured_by(best.id))
        return (f"Most likely the machine works as it should ({_percent(chance)}); anything else to try costs more than"
                f" it settles.")
    if gas:
        return "Gas: everybody out, nothing lit or switched, the gas emergency number from outside. Nothing is checked."
    return _handoff(model, belief, decision)


def _check(model: Model, belief: Belief, decision: Decision) -> str:
    best = decision.best
    check = model.pack.checks[best.id]
    telling = [f"{check.results[result].says} points to {name(model, fault)}"
               f" ({_percent(_chance(belief, (fault,)))} now)" for fault, result in decision.parts[:2]]
    said = "; ".join(telling) or "its results tell the likeliest faults apart"
    other = next((o for o in decision.options if o.id != best.id), None)
    saved = other.expected_minutes - best.expected_minutes if other else 0.0
    rest = f", {saved:.0f} less than the next best step" if saved >= 1 else ""
    return f"{best.minutes:.0f} min for {check.name}: {said}; {best.expected_minutes:.0f} min to expect in all{rest}."


def _repair(model: Model, belief: Belief, decision: Decision) -> str:
    best = decision.best
    faults = model.cured_by(best.id)
    likeliest = max(faults, key=lambda f: _chance(belief, (f,)))
    if decision.unsafe:
        return (f"{_capital(name(model, likeliest))} at {_percent(_chance(belief, faults))}; what was seen is put right"
                f" before anything gets power.")
    check = next((o for o in decision.options if o.do == "check"), None)
    if check is None:
        instead = "no check is left that could change it"
    elif check.expected_minutes < best.expected_minutes:
        instead = f"sure enough, whatever {model.pack.checks[check.id].name} could add"
    else:
        instead = (f"checking first would come to {check.expected_minutes:.0f} min instead of"
                   f" {best.expected_minutes:.0f}")
    return f"{_capital(name(model, likeliest))} at {_percent(_chance(belief, faults))}; {instead}."


def _handoff(model: Model, belief: Belief, decision: Decision) -> str:
    fault, p = belief.faults[0]
    if decision.best.id == FITS_NOTHING:
        return f"The answers fit no fault known together ({_percent(belief.misfit)} fit better), measured again or not."
    if fault == UNKNOWN:
        return f"Nothing known fits well ({_percent(p)} for an unknown fault), and no step left here is worth its time."
    entry = model.pack.faults.get(fault)
    leads = f"{_capital(name(model, fault))} at {_percent(p)}"
    if entry is not None and p >= 0.5:
        wanted = sorted(signoffs_for(model.pack, fault))
        if wanted:
            return f"{leads}: that is for somebody signed off for {' and '.join(wanted)}."
        return f"{leads}, and no step left here is worth its time against a senior's."
    return (f"{_capital(name(model, fault))} leads with only {_percent(p)}, and no step left here is worth its time"
            f" against a senior's.")


def name(model: Model, fault: str) -> str:
    """A fault as said in a sentence; pairs joined."""
    if fault == UNKNOWN:
        return "something not in the book"
    return " with ".join(model.pack.faults[part].name for part in fault.split("+"))


def _chance(belief: Belief, faults: tuple[str, ...]) -> float:
    return sum(p for fault, p in belief.faults if set(fault.split("+")) & set(faults))


def _percent(p: float) -> str:
    return f"{100 * p:.0f} %"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
