"""Visits walked through by diagnosis alone: which repairs it comes to, and which checks it ever asks for.

Every fault is walked a few times: from each of its likeliest complaints once with its likeliest answers, then with
answers drawn from its rows (fixed seed). The planner looks less far ahead than in the talk, to be quick; a repair
that it does not come to is walked once more with the talk's own planner before it is called unreachable.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from random import Random
from typing import Final

import numpy as np

from bot.authoring.remarks import Remark
from bot.diagnosis.compiled import Floats, Model, rows_given
from bot.diagnosis.evidence import Decision, Evidence, Repaired, Seen, Situation
from bot.diagnosis.planner import PLAN, plan
from bot.diagnosis.search import Plan

QUICK: Final = Plan(create=(1000, 4, 2), follow=(8, 2, 1), contenders=(4, 2), nodes=800, rollout=0)
STEPS: Final = 16
"""Checks and repairs after which a walk is given up."""
COMPLAINTS: Final = 3
"""How many of a fault's likeliest complaints are walked from."""
DRAWN: Final = 2
"""Walks with drawn answers from each of these."""


@dataclass(slots=True)
class Walks:
    """What the walks of one family came to."""

    asked: dict[str, int]
    """Check -> in how many walks it was asked."""
    lost: dict[str, str] = field(default_factory=dict)
    """Fault whose repair was never reached -> how its last walk ended."""
    walks: int = 0


def walked(model: Model, told: Callable[[str], None] = lambda _: None) -> Walks:
    """Walk every fault of the family. `told` hears each fault's id when its walks begin."""
    found = Walks(dict.fromkeys(model.checks, 0))
    known: dict[tuple[object, ...], Decision] = {}
    for f, fault in enumerate(model.faults):
        told(fault)
        prior = model.weights.sum(axis=1)
        mine = np.flatnonzero(model.fault_of == f)
        likeliest = int(mine[np.argmax(prior[mine])])
        order = np.argsort(-model.shows[likeliest], kind="stable")[:COMPLAINTS]
        complaints = [model.complaints[int(c)] for c in order if model.shows[likeliest, c] >= 0.25 or c == order[0]]
        ends = []
        for complaint in complaints:
            for number in range(1 + DRAWN):
                rng = Random(f"{fault}/{complaint}/{number}") if number else None
                ends.append(_walk(model, likeliest, complaint, rng, found, known, QUICK))
        if all(end is not None for end in ends):
            again = [_walk(model, likeliest, complaint, None, found, {}, PLAN) for complaint in complaints]
            if all(end is not None for end in again):
                found.lost[fault] = again[0] or ""
    return found


def unreachable_and_unused(model: Model, told: Callable[[str], None] = lambda _: None) -> Iterator[Remark]:
    """Repairs that no walk came to, and checks that none asked for."""
    family, found = model.pack.family.id, walked(model, told)
    for fault, end in found.lost.items():
        yield Remark(family, ("faults", fault), "unreachable", f"no walk comes to its repair: {end}",
                     "add a check that speaks for it, or a row where it is taken for the other")
    for check, times in found.asked.items():
        if not times:
            yield Remark(family, ("checks", check), "unused", f"never asked in {found.walks} walks over all faults",
                         "give it rows that separate more, make it cheaper, or take it out")


def _walk(model: Model, hypothesis: int, complaint: str, rng: Random | None, found: Walks,
          known: dict[tuple[object, ...], Decision], look: Plan) -> str | None:
    """None when the walk comes to the fault's repair (or to whoever may do it), else how it ended."""
    fault = model.name(int(model.fault_of[hypothesis]))
    repair = model.pack.repair_of(fault)[0]
    licensed = model.pack.faults[fault].licensed is not None
    rows = rows_given(model, [complaint])
    evidence = Evidence(model.pack.family.id, complaints=(complaint,))
    situation = Situation(signoffs=frozenset({"live", "lifting"}) if rng is not None and rng.random() < 0.5 else
                          frozenset({"lifting"}))
    found.walks += 1
    asked: set[str] = set()
    end: str | None = f"after {STEPS} steps it is not settled"
    for _ in range(STEPS):
        key = (evidence.complaints, evidence.history, evidence.cannot, situation)
        decision = known.get(key) or plan(model, evidence, situation, look=look)
        known[key] = decision
        best = decision.best
        if best.do == "handoff":
            end = None if licensed else "it ends with a senior"  # a licensed repair is a hand-off, named or not
            break
        if best.do != "check":
            if best.id == repair:
                end = None
                break
            evidence = replace(evidence, history=(*evidence.history, Repaired(best.id)))
            end = f"it is taken for '{best.id}'"
            continue
        asked.add(best.id)
        evidence, situation = _answered(model, rows, hypothesis, best.id, evidence, situation, rng)
    for check in asked:
        found.asked[check] += 1
    return end


def _answered(model: Model, rows: Floats, hypothesis: int, check: str,
              evidence: Evidence, situation: Situation, rng: Random | None) -> tuple[Evidence, Situation]:
    """With the answer that this machine gives, and with the covers that are open then."""
    entry = model.pack.checks[check]
    c = model.check_index[check]
    if not model.applies[c, hypothesis]:
        return replace(evidence, cannot=evidence.cannot | {check}), situation
    chances = rows[c, :len(entry.results), hypothesis]
    results = list(entry.results)
    result = results[int(np.argmax(chances))] if rng is None else rng.choices(results, chances.tolist())[0]
    covers = frozenset() if entry.power == "run" else situation.open_covers | frozenset(entry.access)
    power = "off" if entry.power == "off" else "on" if entry.power in {"run", "live"} else situation.power
    complaints = dict.fromkeys((*evidence.complaints, *entry.results[result].complaints))
    variant = {**evidence.variant, **entry.results[result].identifies}
    return (replace(evidence, history=(*evidence.history, Seen(check, result)), complaints=tuple(complaints),
                    variant=variant), replace(situation, open_covers=covers, power=power))
