"""What one could do instead of planning: each an adviser that the talk follows like ours.

None of them knows a misfit, a value of stopping or what a wrong part costs; belief, words and everything else of the
talk are the same for all.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from bot.diagnosis.advice import Adviser, advise
from bot.diagnosis.belief import believe, posterior
from bot.diagnosis.compiled import Model
from bot.diagnosis.evidence import Belief, Decision, Evidence, Option, Repaired, Seen, Situation
from bot.diagnosis.setting import Setting, setting_of
from tests.benchmarks.diagnosis.policies import MYOPIC, Policy, State, looking, until_sure, while_of_value

POINTS: Final = 3.0
"""On a chart a result points to a fault when it is so many times likelier with it than without."""
LEAST: Final = 0.03
"""A part less likely than this is not swapped on suspicion."""


def _decided(do: str, key: str) -> Decision:
    option = Option(do, key, 0.0, 0.0)  # type: ignore[arg-type]
    return Decision(option, (option,))


def _setting(model: Model, evidence: Evidence, situation: Situation) -> Setting:
    return setting_of(model, posterior(model, evidence), evidence, situation)


def _at_first(model: Model, evidence: Evidence) -> Belief:
    """What the complaints and the kind of machine alone say."""
    return believe(model, Evidence(evidence.family, evidence.variant, evidence.complaints, evidence.denied))


def _signs(model: Model, fault: str, allowed: frozenset[str]) -> list[tuple[float, str, frozenset[str]]]:
    """(chance to see it, check, results) of the checks whose results point to a fault, best first."""
    mine = np.flatnonzero(model.fault_of == model.faults.index(fault))
    signs = []
    for check in allowed:
        c = model.check_index[check]
        own, plain = model.rows[c][:, mine].mean(axis=1), model.normal[c][:, model.kind_of[mine]].mean(axis=1)
        at = [o for o in range(len(model.results[c])) if own[o] > POINTS * plain[o]]
        if at:
            signs.append((float(own[at].sum()), check, frozenset(model.results[c][o] for o in at)))
    return sorted(signs, key=lambda sign: (-round(sign[0], 9), model.check_index[sign[1]]))


def chart(model: Model, evidence: Evidence, belief: Belief, situation: Situation, keep: str | None) -> Decision:
    """A printed chart for the complaint: causes in the order of how common they are, for each the check that shows it
    best; what is found is put right, what is not is passed over; at the end of the chart a senior."""
    setting = _setting(model, evidence, situation)
    seen = {fact.check: _result(model, evidence, fact) for fact in evidence.history if isinstance(fact, Seen)}
    tried = {fact.repair for fact in evidence.history if isinstance(fact, Repaired)}
    may_ask = frozenset(setting.checks)
    for fault, _ in _at_first(model, evidence).faults:
        if fault not in model.pack.faults:
            continue
        repair = model.pack.repair_of(fault)[0]
        if repair in tried or repair not in setting.repairs:
            continue
        sign = next(iter(_signs(model, fault, may_ask | frozenset(seen))), None)
        if sign is None:
            continue
        _, check, results = sign
        if check not in seen:
            return _decided("check", check)
        if seen[check] in results:
            return _decided("stop" if repair in setting.stops else "repair", repair)
    return _decided("handoff", "handoff")


def _result(model: Model, evidence: Evidence, fact: Seen) -> str:
    if fact.result is not None:
        return fact.result
    c = model.check_index[fact.check]
    alone = posterior(model, Evidence(evidence.family, history=(fact,), given=evidence.given))
    weights = [float(alone.mass @ model.rows[c, o]) for o in range(len(model.results[c]))]
    return model.results[c][int(np.argmax(weights))]


def swap(model: Model, evidence: Evidence, belief: Belief, situation: Situation, keep: str | None) -> Decision:
    """The likeliest part first, then the next, with no check; a senior when nothing likely is left."""
    setting = _setting(model, evidence, situation)
    tried = {fact.repair for fact in evidence.history if isinstance(fact, Repaired)}
    chances: dict[str, float] = {}
    for fault, p in belief.faults:
        if fault in model.pack.faults:
            repair = model.pack.repair_of(fault)[0]
            chances[repair] = chances.get(repair, 0.0) + p
    left = [(p, r) for r, p in chances.items() if r not in tried and r in setting.repairs and p >= LEAST]
    if not left:
        return _decided("handoff", "handoff")
    repair = max(left)[1]
    return _decided("stop" if repair in setting.stops else "repair", repair)


GAIN: Final = until_sure(per_minute=True)


def following(policy: Policy) -> Adviser:
    """A policy of the benchmark of planners, followed in the talk."""
    def adviser(model: Model, evidence: Evidence, belief: Belief, situation: Situation, keep: str | None) -> Decision:
        setting = _setting(model, evidence, situation)
        p = setting.problem
        do, index = policy(p, State(p.belief, p.open, frozenset(range(p.checks)), frozenset(range(p.repairs))))
        if do == "check":
            return _decided("check", setting.checks[index])
        if do == "handoff":
            return _decided("handoff", "handoff")
        repair = setting.repairs[index]
        return _decided("stop" if repair in setting.stops else "repair", repair)
    return adviser


ADVISERS: Final[dict[str, Adviser]] = {
    "printed chart": chart, "likeliest part first": swap,
    "information gain a minute, stop at 85 %": following(GAIN),
    "information gain a minute while of value": following(while_of_value),
    "myopic value of information": following(looking(MYOPIC)),
    "ours": advise}
