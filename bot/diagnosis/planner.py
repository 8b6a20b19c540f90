"""The next action: least expected minutes to a proven fix, risk and wrong parts counted in minutes."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from bot.diagnosis.belief import Posterior, departure, posterior
from bot.diagnosis.compiled import Model
from bot.diagnosis.evidence import UNKNOWN, Decision, Evidence, Option, Seen, Situation
from bot.diagnosis.levels import Found, Plan
from bot.diagnosis.problem import Access, after_repair, in_vain
from bot.diagnosis.recovery import groups_of, recovery
from bot.diagnosis.search import search
from bot.diagnosis.setting import DEAD, Setting, minutes_to_make, setting_of
from bot.diagnosis.thresholds import (
    HANDOFF_WITHIN,
    KEEP_WITHIN,
    KIND_DOUBT,
    KIND_WITHIN,
    KNOWN_AHEAD,
    LIGHTER,
    LIGHTER_WITHIN,
    POINTS_TO,
    TOGETHER_CHANCE,
    WATCH_WITHIN,
    WORTH_NAMING,
)

OPTIONS: Final = 6
PLAN: Final = Plan(again=3000)


def plan(model: Model, evidence: Evidence, situation: Situation, keep: str | None = None,
         look: Plan = PLAN) -> Decision:
    """What to do next. `keep` is the check or repair suggested last: it stays on (near) ties.

    Raises KeyError naming an id that the pack does not have.
    """
    after = posterior(model, evidence)
    setting = setting_of(model, after, evidence, situation)
    found = search(setting.problem, np.ones(setting.problem.checks, dtype=bool), look)
    options = _options(model, setting, found, situation)
    best = _choose(model, setting, found, options, keep)
    if best.do == "handoff" and not _looked(model, evidence):
        best = _look_first(model, after, options, best)
    others = [option for option in options if option != best]
    repairs = [option for option in others[OPTIONS - 1:] if option.do in {"repair", "stop"}][:1]
    options = [best, *others[:OPTIONS - 1], *repairs]
    return Decision(best=best, options=tuple(options), together=_together(model, setting, found, best),
                    parts=_parts(model, after, setting, best))


def repair_option(model: Model, evidence: Evidence, situation: Situation, repair: str) -> Option:
    """A repair by whoever may make it: what it takes, and what it comes to where recovery goes on after it."""
    anybody = replace(situation, signoffs=frozenset(signoff for e in model.entries for signoff in e.signoff)
                      | frozenset(f.licensed for f in model.pack.faults.values() if f.licensed))
    setting = setting_of(model, posterior(model, evidence), evidence, anybody)
    problem = setting.problem
    mass = float(problem.belief.sum())
    if repair not in setting.repairs:  # a tool is lacking: a senior brings it
        minutes = situation.handoff_minutes + model.entries[model.repair_index[repair]].minutes
        return Option("repair", repair, minutes, minutes)
    r, access = np.array([setting.repairs.index(repair)]), Access(problem)
    start = np.zeros(1, dtype=np.int64)
    now = problem.belief[None, :]
    left = after_repair(problem, now, r)
    minutes = float(access.repair_cost[0, r[0]])
    rest, _ = recovery(problem, groups_of(problem), access, left, access.after_repair(start, r))
    wrong = float(problem.wrong_cost[r[0]] * in_vain(problem, now, r, left)[0] + rest[0]) / mass
    return Option("repair", repair, minutes, minutes + wrong, (("fixes", 1 - float(left.sum()) / mass),))


def once_more(model: Model, evidence: Evidence, situation: Situation, check: str) -> Option:
    """A check that was made already, made again: what it takes, and what it comes to where recovery goes on after it
    with what is believed now."""
    setting = setting_of(model, posterior(model, evidence), evidence, situation)
    problem = setting.problem
    minutes = minutes_to_make(setting, model, model.pack.checks[check])
    here = np.zeros(1, dtype=np.int64)
    rest, _ = recovery(problem, groups_of(problem), Access(problem), problem.belief[None, :], here)
    return Option("check", check, minutes, minutes + problem.ask_cost + float(rest[0]) / float(problem.belief.sum()))


def _options(model: Model, setting: Setting, found: Found, situation: Situation) -> list[Option]:
    """All that were weighed, best first; ties in the order of the pack."""
    problem, mass = setting.problem, float(setting.problem.belief.sum())
    options = []
    for c, minutes in found.checks.items():
        chances = problem.rows[c] @ problem.belief / mass
        ids = tuple(model.pack.checks[setting.checks[c]].results)
        made = max(float(chances.sum()), 1e-12)
        settles = tuple((rid, float(p / made)) for rid, p in zip(ids, chances, strict=False))
        own = float(found.access.check_cost[0, c]) - problem.ask_cost
        options.append(Option("check", setting.checks[c], own, minutes, settles))
    if found.repair >= 0:
        r = found.repair
        repair = setting.repairs[r]
        fixes = float(problem.belief[problem.group == r].sum() * problem.works[r] / mass)
        options.append(Option("stop" if repair in setting.stops else "repair", repair,
                              found.repair_minutes, min(found.repair_value, found.stop)
                              if np.isfinite(found.repair_value) else found.stop, (("fixes", fixes),)))
    handing = float(problem.belief @ problem.handing / mass)
    options.append(Option("handoff", "handoff", situation.handoff_minutes, handing))
    return sorted(options, key=lambda o: round(o.expected_minutes, 6))


def _choose(model: Model, setting: Setting, found: Found, options: list[Option], keep: str | None) -> Option:
    best = options[0]
    kept = next((o for o in options if o.id == keep), None)
    if kept is not None and kept.expected_minutes <= best.expected_minutes * (1 + KEEP_WITHIN):
        return kept
    best = _kind_first(model, setting, options, _lighter(options, best))
    watch = next((o for o in options if o.do == "check" and o.id == model.pack.family.watch), None)
    opened = setting.problem.open & ~(1 << setting.covers[DEAD])
    if watch is None or best.id == watch.id or not _opens(setting, best) or opened:
        return best
    worth = watch.expected_minutes < min(found.stop, found.repair_value)
    near = watch.expected_minutes <= best.expected_minutes * (1 + WATCH_WITHIN)
    return watch if worth and near and not known_ahead(watch) else best


def known_ahead(check: Option) -> bool:
    """Whether one result of a check is as good as certain before it is made."""
    return max((p for _, p in check.settles), default=0.0) >= KNOWN_AHEAD


def _lighter(options: list[Option], best: Option) -> Option:
    """Of checks that come to nearly the same, one that asks much less of the tech."""
    if best.do != "check":
        return best
    near = best.expected_minutes * (1 + LIGHTER_WITHIN)
    alike = (o for o in options if o.do == "check" and o.expected_minutes <= near)
    return min(alike, key=lambda o: o.expected_minutes + LIGHTER * o.minutes)


def _kind_first(model: Model, setting: Setting, options: list[Option], best: Option) -> Option:
    """The check that tells whether the machine has what `best` looks at, where that is in doubt and costs little."""
    if best.do != "check":
        return best
    problem, c = setting.problem, setting.checks.index(best.id)
    there = float(problem.rows[c].sum(axis=0) @ problem.belief / problem.belief.sum())
    check = model.pack.checks[best.id]
    if there > (1 - KIND_DOUBT) * (1 - check.cannot):
        return best
    for option in options:
        if option.do == "check" and option.expected_minutes <= best.expected_minutes * (1 + KIND_WITHIN):
            results = model.pack.checks[option.id].results.values()
            if option.minutes <= best.minutes and any(set(result.identifies) & set(check.only) for result in results):
                return option
    return best


def _looked(model: Model, evidence: Evidence) -> bool:
    """Whether anything was looked at but what kind of machine it is."""
    seen = [model.pack.checks[fact.check] for fact in evidence.history if isinstance(fact, Seen)]
    return any(not check.tells_kind for check in seen)


def _look_first(model: Model, after: Posterior, options: list[Option], handing: Option) -> Option:
    """A check before the job is handed off unseen, where one comes to nearly the same: of these the one that shows best
    what is likeliest, for that is what the senior will want to hear."""
    near = handing.expected_minutes * (1 + HANDOFF_WITHIN)
    looks = [o for o in options if o.do == "check" and o.expected_minutes <= near]
    mass = np.bincount(model.fault_of, weights=after.mass, minlength=len(model.faults) + 1)[:-1]
    lead = model.fault_of == int(mass.argmax())
    return max(looks, key=lambda o: float(departure(model, model.check_index[o.id])[lead].max()), default=handing)


def _opens(setting: Setting, option: Option) -> bool:
    """Whether the action opens anything, or ends the search."""
    if option.do != "check":
        return True
    return bool(setting.problem.check_path[setting.checks.index(option.id)])


def _together(model: Model, setting: Setting, found: Found, best: Option) -> tuple[str, ...]:
    """Up to two more checks behind the covers now being opened, which the plan would most likely ask for next."""
    if best.do != "check":
        return ()
    root = found.levels[0]
    first = setting.checks.index(best.id)
    covers = _without_dead(setting, first)
    edges = np.flatnonzero(root.action == first)
    if not covers or not len(edges) or len(found.levels) < 2:
        return ()
    nxt = found.levels[1]
    children = root.child[root.child_edge == edges[0]]
    wanted: dict[int, float] = {}
    for node in children:
        if len(nxt.action) and nxt.best[node] >= 0:
            action = int(nxt.action[nxt.best[node]])
            if action >= 0:
                wanted[action] = wanted.get(action, 0.0) + float(nxt.belief[node].sum())
    total = sum(float(nxt.belief[node].sum()) for node in children)
    mask = int(setting.problem.check_path[first])
    more = []
    for c, mass in sorted(wanted.items(), key=lambda cm: (-cm[1], cm[0])):
        inside = _without_dead(setting, c) and not int(setting.problem.check_path[c]) & ~mask
        same = model.pack.checks[setting.checks[c]].power == model.pack.checks[best.id].power
        if inside and same and mass >= TOGETHER_CHANCE * total:
            more.append(setting.checks[c])
    return tuple(more[:2])


def _without_dead(setting: Setting, check: int) -> int:
    return int(setting.problem.check_path[check]) & ~(1 << setting.covers[DEAD])


def _parts(model: Model, after: Posterior, setting: Setting, best: Option) -> tuple[tuple[str, str], ...]:
    """The likeliest faults that a check tells apart, each with the result that would speak for it most."""
    if best.do != "check":
        return ()
    check = model.check_index[best.id]
    chance = np.bincount(model.fault_of, weights=after.mass, minlength=len(model.faults) + 1)
    results = tuple(model.pack.checks[best.id].results)
    rows = after.given.row(check)[:len(results)]
    marginal = np.maximum(rows @ after.mass, 1e-12)
    parts = []
    for f in np.argsort(-chance, kind="stable")[:6]:
        mine = model.fault_of == f
        if model.name(int(f)) == UNKNOWN or chance[f] < WORTH_NAMING:
            continue
        row = (rows[:, mine] @ after.mass[mine]) / max(float(after.mass[mine].sum()), 1e-300)
        lift = row / marginal
        o = int(np.argmax(lift))
        if lift[o] > POINTS_TO:
            parts.append((model.name(int(f)), results[o], float(chance[f] * (lift[o] - 1))))
    parts.sort(key=lambda p: -p[2])
    return tuple((fault, result) for fault, result, _ in parts[:3])
