"""The next step of a visit: the planner's choice, with the manners of a lead hand around it.

Before anything is opened the machine is watched once. What fits least is measured again before anybody is told that
nothing fits. A fault that is sure enough is named, whatever a cheap check could still add.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable
from dataclasses import replace
from typing import Final

import numpy as np

from bot.diagnosis.belief import Posterior, believe, departure, moot_checks, posterior
from bot.diagnosis.compiled import Model
from bot.diagnosis.evidence import FITS_NOTHING, UNKNOWN, Belief, Decision, Evidence, Option, Repaired, Seen, Situation
from bot.diagnosis.levels import Plan
from bot.diagnosis.planner import PLAN, known_ahead, once_more, plan, repair_option
from bot.diagnosis.setting import senseless, setting_of, within_reach
from bot.diagnosis.thresholds import (
    AMONG_THE_LIKELIEST,
    ASK_MINUTES,
    EXPLAINS,
    LIKELY_DEAR,
    LIKELY_FAULT,
    MAY_WELL,
    MISFIT_AGAIN,
    MISFIT_HANDOFF,
    MOST_AGAIN,
    NAME_WITHIN,
    NAMED_FROM,
    SHOWN_BY_IT,
    SHOWS_ITSELF,
    SURE_OF_DEAR,
    SURE_OF_FAULT,
    TELLS,
)
from bot.diagnosis.unsafe import since_repair, unsafe_results
from knowledge.schema import Check

Adviser = Callable[[Model, Evidence, Belief, Situation, str | None], Decision]
"""Model, evidence, belief, situation, what was suggested last -> what to do next."""

HANDED_OFF: Final = "handoff"
"""Among what was declined: a senior has seen the job and gave it back."""


def advise(model: Model, evidence: Evidence, belief: Belief, situation: Situation, keep: str | None = None,
           look: Plan = PLAN) -> Decision:
    """What a lead hand would do next. Raises KeyError naming an id that the pack does not have."""
    doubtful = _doubtful(model, evidence, belief, situation)
    if doubtful is not None:
        return doubtful
    decision = _no_long_shot(model, evidence, belief, situation, plan(model, evidence, situation, keep, look), look)
    decision = _watch_first(model, evidence, situation, decision, look)
    return _unsafe_first(model, evidence, situation, named_if_sure(model, evidence, belief, situation, decision))


def named_if_sure(model: Model, evidence: Evidence, belief: Belief, situation: Situation, decision: Decision,
                  ) -> Decision:
    """The decision, or, where a check or a senior was to come though a fault is sure enough, its repair: that a new
    part may be wrong and a senior would come as cheap is no reason to say that one is not sure."""
    if decision.best.do not in {"check", "handoff"}:
        return decision
    settled = _settled(model, evidence, belief, situation, decision)
    if settled is None:
        return decision
    best = next((o for o in decision.options if o.id == settled), None)
    if best is None:
        best = repair_option(model, evidence, situation, settled)
    others = tuple(option for option in decision.options if option.id != settled)
    return replace(decision, best=best, options=(best, *others), together=(), parts=())


def _unsafe_first(model: Model, evidence: Evidence, situation: Situation, decision: Decision) -> Decision:
    """The decision, or, where its repair would leave what a check showed to be unsafe, the repair of that: a cord seen
    wired wrong is put right before a missing leg, which has the machine run again. What is for another trade is not
    looked into further once it is likely."""
    unsafe = [fact for fact in evidence.latest if any(unsafe_results(model.pack, [(fact.check, fact.result)]))]
    if decision.best.do == "handoff" or not unsafe:
        return decision
    after, asking = posterior(model, evidence), decision.best.do == "check"
    chance = _chances(model, after)
    mends = frozenset() if asking else frozenset(model.cured_by(decision.best.id))
    for fact in unsafe:
        showing = _showing(model, after, fact)
        first = max(showing, key=chance.__getitem__, default=None)
        if first is None or not mends.isdisjoint(showing) or _explains(model, mends, fact):
            continue
        key = model.pack.repair_of(first)[0]
        ask_on = asking and (model.pack.faults[first].trade is None or chance[first] < NAMED_FROM)
        if key not in situation.declined and not ask_on:
            best = repair_option(model, evidence, situation, key)
            return replace(decision, best=best, options=(best, *decision.options), together=(), parts=(), unsafe=True)
    return decision


def _chances(model: Model, after: Posterior) -> dict[str, float]:
    """Known fault -> its chance."""
    by_fault = np.bincount(model.fault_of, weights=after.mass) / after.mass.sum()
    return dict(zip(model.faults, by_fault.tolist(), strict=False))


def _showing(model: Model, after: Posterior, fact: Seen) -> tuple[str, ...]:
    """The known faults that show a result often enough for it to be theirs, in the order of the pack."""
    row = after.given.row(model.check_index[fact.check])[model.result_index(fact.check, fact.result or "")]
    by_fault = np.bincount(model.fault_of, weights=after.mass)
    shown = np.bincount(model.fault_of, weights=row * after.mass)
    often = (by_fault > 0) & (shown >= SHOWN_BY_IT * by_fault)
    return tuple(fault for fault, its in zip(model.faults, often.tolist(), strict=False) if its)


def _explains(model: Model, faults: Iterable[str], fact: Seen) -> bool:
    """Whether one of the faults shows a result far more often than a good machine: clogged ports, seen, are what a
    sooty flame comes from, though they seldom soot."""
    c, o = model.check_index[fact.check], model.result_index(fact.check, fact.result or "")
    mine = np.flatnonzero(np.isin(model.fault_of, [model.faults.index(fault) for fault in faults]))
    rows, normal = model.rows[c, o, mine], model.normal[c, o, model.kind_of[mine]]
    return bool((rows > EXPLAINS * normal).any())


def _no_long_shot(model: Model, evidence: Evidence, belief: Belief, situation: Situation, decision: Decision,
                  look: Plan) -> Decision:
    """Two in ten is no finding, however cheap the repair: what else there is to do, or a senior."""
    refused = situation.declined
    while decision.best.do == "repair" and _chance(belief, model.cured_by(decision.best.id)) < NAMED_FROM:
        refused |= {decision.best.id}
        decision = plan(model, evidence, replace(situation, declined=refused), look=look)
    return decision


def _doubtful(model: Model, evidence: Evidence, belief: Belief, situation: Situation) -> Decision | None:
    """Evidence that fits together badly: what fits least is measured again; a senior comes when that was no slip."""
    if belief.misfit < MISFIT_AGAIN or _in_the_book(model, evidence, belief):
        return None
    stopped = any(True for _ in unsafe_results(model.pack, since_repair(evidence)))  # seen bad: it needs no second look
    if not stopped and len(situation.again) < MOST_AGAIN:
        among = within_reach(model.pack, evidence, situation) - situation.again
        worst = fits_least(model, evidence, among)
        if worst is not None:
            option = once_more(model, evidence, situation, worst)
            return Decision(option, (option,), again=True)
    if belief.misfit < MISFIT_HANDOFF or HANDED_OFF in situation.declined:
        return None
    option = Option("handoff", FITS_NOTHING, situation.handoff_minutes, situation.handoff_minutes)
    return Decision(option, (option,))


def _in_the_book(model: Model, evidence: Evidence, belief: Belief) -> bool:
    """Whether one of the likeliest faults shows everything that was seen since the last repair: a plate that stands
    while the basket spins is odd for most faults, and just what some of them do."""
    seen = evidence.latest
    if any(fact.result is None or fact.value is not None for fact in seen):
        return False  # a reading may well be a slip of the unit
    known = [(fault, p) for fault, p in belief.faults if fault in model.faults]
    after = posterior(model, evidence)
    showing = [_showing(model, after, fact) for fact in seen]
    return any(p >= known[0][1] * AMONG_THE_LIKELIEST and all(fault in those for those in showing)
               for fault, p in known)


def fits_least(model: Model, evidence: Evidence, among: Container[str]) -> str | None:
    """Of the checks made since the last repair that are `among` these, the one without which the rest fits best."""
    best, least = None, float("inf")
    for i, fact in enumerate(evidence.latest, len(evidence.history) - len(evidence.latest)):
        if fact.check not in among:
            continue
        rest = evidence.history[:i] + evidence.history[i + 1:]
        surprise = believe(model, replace(evidence, history=rest)).surprise
        if surprise < least:
            best, least = fact.check, surprise
    return best


def _settled(model: Model, evidence: Evidence, belief: Belief, situation: Situation, decision: Decision) -> str | None:
    """The repair that is sure enough to be named, or likely and as good as a further check. A dear part wants more.

    The planner's estimates of what comes after differ by less than their error there.
    """
    refused = situation.declined | {fact.repair for fact in evidence.history if isinstance(fact, Repaired)}
    leading = next((f for f, _ in belief.faults if f != UNKNOWN and f in model.pack.faults), None)
    if leading is None or not any(isinstance(fact, Seen) for fact in evidence.history):
        return None
    key, repair = model.pack.repair_of(leading)
    if key in refused:
        return None
    chance, dear = _chance(belief, model.cured_by(key)), repair.cost in {"high", "very_high"}
    if chance >= (SURE_OF_DEAR if dear else SURE_OF_FAULT):
        return key
    now = next((o.expected_minutes for o in decision.options if (o.do, o.id) == ("repair", key)), float("inf"))
    likely, sure = (LIKELY_DEAR, SURE_OF_DEAR) if dear else (LIKELY_FAULT, SURE_OF_FAULT)
    if chance < likely or decision.best.do == "handoff":
        return None
    as_good = now <= decision.best.expected_minutes * (1 + NAME_WITHIN)
    return key if as_good or _leaves_it(model, evidence, decision.best, model.cured_by(key), likely, sure) else None


def _leaves_it(model: Model, evidence: Evidence, check: Option, faults: tuple[str, ...], likely: float, sure: float,
               ) -> bool:
    """Whether no answer to a check that may well come makes the faults sure, or no longer likely."""
    for result, chance in check.settles:
        if chance >= MAY_WELL:
            after = believe(model, replace(evidence, history=(*evidence.history, Seen(check.id, result))))
            if not likely <= _chance(after, faults) < sure:
                return False
    return True


def confirming(model: Model, belief: Belief, options: Iterable[Option]) -> Option | None:
    """The check that shows the leading fault itself: where it departs most from a good machine for its minutes."""
    leading = next((f for f, _ in belief.faults if f in model.faults), None)
    return None if leading is None else next(iter(_showing_it(model, leading, options)), None)


def _showing_it(model: Model, fault: str, options: Iterable[Option]) -> list[Option]:
    """The checks that show a fault itself, the best for its minutes first. How the trouble began shows none."""
    mine = model.fault_of == model.faults.index(fault)
    shows = {option: float(departure(model, model.check_index[option.id])[mine].max())
             for option in options if option.do == "check" and not model.pack.checks[option.id].begins}
    telling = [option for option, away in shows.items() if away >= SHOWS_ITSELF]
    return sorted(telling, key=lambda o: (o.minutes + ASK_MINUTES) / shows[o])


def checks_that_show(model: Model, evidence: Evidence, situation: Situation, fault: str) -> list[str]:
    """Of the checks that may be asked now, those that show a fault itself, the best for its minutes first."""
    setting = setting_of(model, posterior(model, evidence), evidence, situation)
    options = [Option("check", key, model.pack.checks[key].minutes, 0.0) for key in setting.checks]
    return [option.id for option in _showing_it(model, fault, options)]


def check_that_shows(model: Model, evidence: Evidence, situation: Situation, fault: str) -> str | None:
    """The best of those; None where there is none."""
    return next(iter(checks_that_show(model, evidence, situation, fault)), None)


def telling_apart(model: Model, evidence: Evidence, situation: Situation) -> list[str]:
    """The checks that may be asked now, by how much a minute of each tells the faults apart, best first: the gain in
    the sum of squared chances, over faults and not over what is done about them."""
    setting = setting_of(model, posterior(model, evidence), evidence, situation)
    problem = setting.problem
    mass = problem.belief[:len(setting.fault_of)] / max(float(problem.belief.sum()), 1e-12)
    faults = np.equal.outer(np.unique(setting.fault_of), setting.fault_of).astype(np.float64)
    joint = (problem.rows[:, :, :len(setting.fault_of)] * mass) @ faults.T
    told = joint.sum(axis=2, keepdims=True)
    gain = (joint ** 2 / np.maximum(told, 1e-12)).sum(axis=(1, 2)) - ((faults @ mass) ** 2).sum()
    order = np.argsort(-np.round(gain / problem.check_cost, 12), kind="stable")
    return [setting.checks[c] for c in order if gain[c] >= TELLS]


def _chance(belief: Belief, faults: tuple[str, ...]) -> float:
    return sum(p for fault, p in belief.faults if set(fault.split("+")) & set(faults))


def _watch_first(model: Model, evidence: Evidence, situation: Situation, decision: Decision, look: Plan) -> Decision:
    """Before anything is opened for the first time, the machine is watched once, where it can be.

    Which step fails, and is the motor silent, humming, or running with nothing moving: it costs no cover, and what
    the customer said is then what the tech saw. The planner picks among the runs that show what was told.
    """
    checks = model.pack.checks
    if decision.best.do != "check" or not opens(checks[decision.best.id]) or _watched(model, evidence, situation):
        return decision
    if model.pack.family.watch in moot_checks(model.pack, evidence):
        return decision  # what scrapes is looked at standing
    others = {key for key, check in checks.items() if key != model.pack.family.watch and (
        check.power != "run" or opens(check) or not _shows(check, evidence.complaints))}
    watching = plan(model, evidence, replace(situation, declined=situation.declined | others), look=look)
    if watching.best.do == "check":
        return decision if known_ahead(watching.best) else watching
    usual = model.pack.family.watch
    check = checks[usual]
    if usual in situation.declined | evidence.cannot or senseless(model.pack, check, evidence):
        return decision
    return replace(watching, best=Option("check", usual, check.minutes, decision.best.expected_minutes), together=())


def _shows(check: Check, complaints: Iterable[str]) -> bool:
    """Whether one of its results is a complaint that was told."""
    return any(set(result.complaints) & set(complaints) for result in check.results.values())


def opens(check: Check) -> bool:
    """Whether a check takes a cover off or the power away."""
    return bool(check.access) or check.power in {"off", "live"}


def _watched(model: Model, evidence: Evidence, situation: Situation) -> bool:
    """Whether a run was watched, or cannot be: refused, impossible, the machine open already, or nothing that is told
    shows in one."""
    checks = model.pack.checks
    tried = {fact.check for fact in evidence.history if isinstance(fact, Seen)}
    if any(checks[key].access for key in tried):
        return True
    if any(checks[key].power == "run" for key in tried | evidence.cannot | situation.declined if key in checks):
        return True
    known = model.pack.complaints
    complaints = [known[c] for c in evidence.complaints if c in known]
    return not any(c.seen_by_watch for c in complaints) or any(c.hazard for c in complaints)
