"""Visits through the typed talk, with how odd the answers looked at each step: for the misfit test.

Words are misheard there and results misread, as in life: a table from clean answers would cry wolf.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from functools import partial

import numpy as np

from bot.conversation.release import Release
from bot.diagnosis.advice import advise
from bot.diagnosis.compiled import Model
from bot.diagnosis.evidence import UNKNOWN, Belief, Decision, Evidence, Repaired, Situation
from bot.simulation.machine import Outside
from bot.simulation.visits import Visit, visits
from tests.benchmarks.diagnosis.visits import QUICK

MOST = 16
"""Answers that are told apart; the last row holds for more."""
ENOUGH = 150
"""Visits that a row rests on: neighbouring counts are joined until there are so many."""


@dataclass(frozen=True, slots=True)
class Look:
    """What was believed when the next step was chosen."""

    answers: int
    """Since the last repair."""
    repairs: int
    surprise: float
    misfit: float
    p_unknown: float


Walk = tuple[Visit, list[Look]]


@dataclass(slots=True)
class Watching:
    """Our adviser with a light search, watched. `alarms` off: the misfit test has no say."""

    alarms: bool = True
    looks: list[Look] = field(default_factory=list)

    def __call__(self, model: Model, evidence: Evidence, belief: Belief, situation: Situation,
                 keep: str | None) -> Decision:
        """The advice of `advise`."""
        last = max((i for i, fact in enumerate(evidence.history) if isinstance(fact, Repaired)), default=-1)
        answers = len({fact.check for fact in evidence.history[last + 1:] if not isinstance(fact, Repaired)})
        repairs = sum(isinstance(fact, Repaired) for fact in evidence.history)
        self.looks.append(Look(answers, repairs, belief.surprise, belief.misfit, dict(belief.faults).get(UNKNOWN, 0.0)))
        quiet = belief if self.alarms else replace(belief, misfit=0.0)
        return partial(advise, look=QUICK)(model, evidence, quiet, situation, keep)


def walked(release: Release, jobs: int, seed: int, noise: float = 0.0, *, outside: float = 0.0,
           kind: Outside = "strange", alarms: bool = True) -> list[Walk]:
    """Visits of every family with what was looked at in each."""
    found = []
    for family in release.knowledge.packs:
        watching = Watching(alarms)
        made = visits(release, family, jobs, seed, noise, outside=outside, kind=kind, adviser=watching, remember=False)
        for visit in made:
            found.append((visit, watching.looks))
            watching.looks = []
    return found


def quantiles(found: Sequence[Walk], levels: Sequence[float]) -> list[tuple[float, ...]]:
    """Number of answers -> quantiles of the surprise over the visits that came so far, before any repair."""
    seen = [{look.answers: look.surprise for look in looks if look.repairs == 0} for _, looks in found]
    table = []
    for n in range(MOST + 1):
        reach = 0
        while True:
            values = [s for steps in seen for a, s in steps.items() if abs(a - n) <= reach]
            if len(values) >= min(ENOUGH, len(found)) or reach > MOST:
                break
            reach += 1
        table.append(tuple(float(q) for q in np.quantile(values, levels)))
    return table


def doubts(found: Sequence[Walk]) -> str:
    """How often a senior was brought in out of doubt, and what it cost in parts."""
    visits_ = [visit for visit, _ in found]
    early, by_end = np.mean([v.doubted_early for v in visits_]), np.mean([v.doubted for v in visits_])
    why = {reason: np.mean([v.handed_off == reason for v in visits_]) for reason in
           ("unsure", "fits_nothing", "failed_twice", "licensed", "hazard")}
    return (f"{len(visits_)} visits, senior out of doubt before a part went in vain {early:.3f}, by the end"
            f" {by_end:.3f} (" + ", ".join(f"{reason} {share:.3f}" for reason, share in why.items() if share)
            + f"), wrong repairs {np.mean([v.wrong_repairs for v in visits_]):.3f}")


def _before_repair(looks: Sequence[Look]) -> list[Look]:
    return [look for look in looks if look.repairs == 0] or [Look(0, 0, 0.0, 0.0, 0.0)]


STATISTICS: dict[str, Callable[[Walk], float]] = {
    "most misfit": lambda walk: max(look.misfit for look in _before_repair(walk[1])),
    "most surprise": lambda walk: max(look.surprise for look in _before_repair(walk[1])),
    "chance of unknown at the end": lambda walk: _before_repair(walk[1])[-1].p_unknown,
    "not sure of the finding": lambda walk: 1 - walk[0].first_p,
}


AT_THE_END: dict[str, Callable[[Walk], float]] = {
    "chance of unknown": lambda walk: 0.0 if walk[0].fixed else _last(walk[1]),
    "repairs in vain, then chance of unknown": lambda walk: (
        0.0 if walk[0].fixed else walk[0].wrong_repairs + _last(walk[1]))}
"""The same of the whole visit: a repair that is proved leaves no doubt, one that failed is the strongest there is."""


def _last(looks: Sequence[Look]) -> float:
    return looks[-1].p_unknown if looks else 0.0


def detection(known: Sequence[Walk], those: Sequence[Walk], statistic: Callable[[Walk], float],
              false_alarms: float = 0.05) -> float:
    """Share of `those` over the limit that so many of the known ones pass."""
    limit = np.quantile([statistic(walk) for walk in known], 1 - false_alarms)
    return float(np.mean([statistic(walk) > limit for walk in those]))
