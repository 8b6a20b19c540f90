"""Visits walked through by diagnosis alone: which repairs it comes to, and which checks it ever asks for.

Next steps are taken as in the talk: with a lead hand's manners, checks of one cover together, the kind of machine asked
for before a check that only some have, and what may have caused a fault looked at before its repair. Only the planner
looks less far ahead, to be quick; a repair that it does not come to is drawn for more often, and its likeliest visits
are walked once more with the talk's own planner, before it is called unreachable.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator
from dataclasses import dataclass, field, replace
from itertools import chain
from typing import Final

import numpy as np

from bot.authoring.remarks import Remark, kept
from bot.authoring.roads import Road, roads_of, roads_to_check, roads_to_repair
from bot.diagnosis.advice import advise
from bot.diagnosis.belief import believe
from bot.diagnosis.compiled import Floats, Model
from bot.diagnosis.evidence import Belief, Decision, Evidence, Repaired, Seen, Situation
from bot.diagnosis.given import rows_given
from bot.diagnosis.levels import Plan
from bot.diagnosis.planner import PLAN

QUICK: Final = Plan(create=(1000, 4, 2), follow=(8, 2, 1), contenders=(4, 2), nodes=800)
STEPS: Final = 16
"""Messages with checks, and repairs, after which a walk is given up."""
SURE_OF_KIND: Final = 0.9
"""How surely a machine must be of the kind that has a check before it is asked for outright, as in the talk."""


@dataclass(slots=True)
class Walks:
    """What the walks of one family came to."""

    asked: dict[str, int]
    """Check -> in how many walks it was asked."""
    lost: dict[str, str] = field(default_factory=dict)
    """Fault whose repair was never reached -> how its first walk ended."""
    walks: int = 0
    known: dict[Hashable, tuple[Belief, Decision]] = field(default_factory=dict, compare=False, repr=False)
    """What was weighed before: many walks begin alike."""


def walked(model: Model, told: Callable[[str], None] = lambda _: None) -> Walks:
    """Walk every fault of the family, then towards the checks that were not asked. `told` hears whose walks begin."""
    found = Walks(dict.fromkeys(model.checks, 0))
    for f, fault in enumerate(model.faults):
        told(fault)
        end = _lost(model, f, found)
        if end is not None:
            found.lost[fault] = end
    for check in model.checks:
        if found.asked[check] or kept(model.pack, ("checks", check), "unused"):
            continue
        told(check)
        for road in roads_to_check(model, check):
            if _Walk(model, road, found, QUICK).end() is None:
                found.lost.pop(model.name(int(model.fault_of[road.hypothesis])), None)
            if found.asked[check]:
                break
    return found


def _lost(model: Model, fault: int, found: Walks) -> str | None:
    """None if a walk comes to the fault's repair, else how the first one ended."""
    roads = list(roads_of(model, fault))
    ends = [_Walk(model, road, found, QUICK).end() for road in roads]
    if None in ends:
        return None
    more = ((road, QUICK) for road in roads_to_repair(model, fault))
    likeliest = ((road, PLAN) for road in roads if road.rng is None)
    again = (_Walk(model, road, found, look).end() for road, look in chain(more, likeliest))
    return None if None in again else ends[0]


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


class _Walk:
    """One visit from its opening to its end."""

    def __init__(self, model: Model, road: Road, found: Walks, look: Plan) -> None:
        self.model, self.road, self.found, self.look = model, road, found, look
        self.fault = model.name(int(model.fault_of[road.hypothesis]))
        self.rows: Floats = rows_given(model, road.shown)
        self.evidence = Evidence(model.pack.family.id, complaints=road.told, denied=road.denied,
                                 variant=dict(road.variant or {}))
        self.situation = Situation(signoffs=road.signoffs)
        self.asked: set[str] = set()

    def end(self) -> str | None:
        """None when the walk comes to the fault's repair (or to whoever may do it), else how it ended."""
        self.found.walks += 1
        pack = self.model.pack
        end: str | None = f"after {STEPS} steps it is not settled"
        for _ in range(STEPS):
            decision = self._decided()
            best = decision.best
            if best.do == "handoff":  # a licensed repair is a hand-off, named or not
                end = None if pack.faults[self.fault].licensed is not None else "it ends with a senior"
                break
            if best.do == "check":
                if not self._told_kind(best.id):
                    self._answer(best.id, *decision.together, again=decision.again)
            elif not self._first_looks(best.id):
                if best.id == pack.repair_of(self.fault)[0]:
                    end = None
                    break
                if Repaired(best.id) in self.evidence.history:
                    end = f"it is taken for '{best.id}' twice"
                    break
                self.evidence = replace(self.evidence, history=(*self.evidence.history, Repaired(best.id)))
                end = f"it is taken for '{best.id}'"
        for check in self.asked:
            self.found.asked[check] += 1
        return end

    def _decided(self) -> Decision:
        return self._weighed()[1]

    def _weighed(self) -> tuple[Belief, Decision]:
        key = (frozenset(self.evidence.variant.items()), self.evidence.complaints, self.evidence.denied,
               self.evidence.history, self.evidence.cannot, self.situation, self.look is PLAN)
        if key not in self.found.known:
            belief = believe(self.model, self.evidence)
            self.found.known[key] = belief, advise(self.model, self.evidence, belief, self.situation, look=self.look)
        return self.found.known[key]

    def _told_kind(self, check: str) -> bool:
        """Whether the kind of machine had to be asked for first."""
        variants = self._weighed()[0].variants
        for axis, values in self.model.pack.checks[check].only.items():
            here = sum(p for value, p in variants.get(axis, {}).items() if value in values)
            if axis not in self.evidence.variant and here < SURE_OF_KIND:
                told = {**self.evidence.variant, axis: self.road.machine[axis]}
                self.evidence = replace(self.evidence, variant=told)
                return True
        return False

    def _first_looks(self, repair: str) -> bool:
        """Whether something that may have caused the fault was looked at before its repair."""
        cured = self.model.cured_by(repair)
        likeliest = next((part for fault, _ in self._weighed()[0].faults for part in fault.split("+") if part in cured),
                         cured[0])
        for cause in self.model.pack.faults[likeliest].root_causes:
            if cause.check is None or cause.check in self.asked:
                continue
            check = self.model.pack.checks[cause.check]
            known = self.evidence.variant
            there = all(known[axis] in values for axis, values in check.only.items() if axis in known)
            if there and (check.power != "live" or "live" in self.situation.signoffs):
                self._answer(cause.check)
                return True
        return False

    def _answer(self, *checks: str, again: bool = False) -> None:
        """With what this machine gives, and with the covers that are open then."""
        for check in checks:
            self.asked.add(check)
            if again:
                self.situation = replace(self.situation, again=self.situation.again | {check})
            result = self._result(check)
            entry = self.model.pack.checks[check]
            if result is None:
                self.evidence = replace(self.evidence, cannot=self.evidence.cannot | {check})
                continue
            covers = frozenset() if entry.power == "run" else self.situation.open_covers | frozenset(entry.access)
            power = "off" if entry.power == "off" else "on" if entry.power in {"run", "live"} else self.situation.power
            seen = entry.results[result]
            before = tuple(fact for fact in self.evidence.history if not again or fact != self._last(check))
            self.evidence = replace(
                self.evidence, history=(*before, Seen(check, result)),
                complaints=tuple(dict.fromkeys((*self.evidence.complaints, *seen.complaints))),
                denied=tuple(c for c in self.evidence.denied if c not in seen.complaints),
                variant={**self.evidence.variant, **seen.identifies})
            self.situation = replace(self.situation, open_covers=covers, power=power)

    def _last(self, check: str) -> Seen | None:
        return next((fact for fact in reversed(self.evidence.history)
                     if isinstance(fact, Seen) and fact.check == check), None)

    def _result(self, check: str) -> str | None:
        """None: it cannot be done here."""
        entry, c, rng = self.model.pack.checks[check], self.model.check_index[check], self.road.rng
        if not self.model.applies[c, self.road.hypothesis]:
            return None
        if rng is not None and rng.random() < max(self.road.cannot, entry.cannot):
            return None
        results = list(entry.results)
        chances = self.rows[c, :len(results), self.road.hypothesis]
        return results[int(np.argmax(chances))] if rng is None else rng.choices(results, chances.tolist())[0]
