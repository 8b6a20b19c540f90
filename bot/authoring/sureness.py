"""How sure one can get of each fault once every check has been made, and which other fault it is taken for.

For every fault: a machine that has it and shows its likeliest complaint; results of all checks that exist on that
machine are drawn from the rows that diagnosis uses; the posterior of the right repair, on average. Live checks are
left out first: a junior is seldom signed off for them. Each check has draws of its own from a fixed seed, so that
a pack with one check more or less is compared on the same luck.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final
from zlib import crc32

import numpy as np

from bot.authoring.remarks import Remark
from bot.diagnosis.compiled import Floats, Ints, Model
from bot.diagnosis.given import rows_given

SURE: Final = 0.85
"""A fault that is brought to this is told apart: the depth that packs are written to."""
RIVAL: Final = 0.15
"""Below it, a rival that takes so much of the belief is one that the checks do not tell apart. Judgement."""
VAGUE: Final = 0.55
"""So unsure of a fault, that it is spread over many. Judgement."""
DRAWS: Final = 200
SEED: Final = 7


@dataclass(frozen=True, slots=True)
class Sureness:
    """For one fault: expected posterior of its repair after all dead checks, and with the live ones."""

    fault: str
    complaint: str
    dead: float
    live: float
    rival: str | None
    """The fault of another repair that takes most of the rest."""
    rival_share: float


def sureness(model: Model) -> Iterator[Sureness]:
    """Every fault, in the order of the pack."""
    live = np.array([check.power == "live" for check in model.pack.checks.values()])
    rows = {c: rows_given(model, [complaint]) for c, complaint in enumerate(model.complaints)}
    prior = model.weights.sum(axis=1)
    for f, fault in enumerate(model.faults):
        mine = np.flatnonzero(model.fault_of == f)
        complaint = int(np.argmax(model.shows[mine[0]]))
        hypothesis = int(mine[np.argmax(prior[mine])])
        unless = np.array([model.complaints[complaint] in c.unless for c in model.pack.checks.values()])
        there = model.applies[:, hypothesis] & ~unless
        mates = np.flatnonzero(model.kind_of == model.kind_of[hypothesis])
        weight = prior[mates] * model.shows[mates, complaint]
        dead, after = _expected(model, rows[complaint], there & ~live, hypothesis, mates, weight)
        full, _ = _expected(model, rows[complaint], there, hypothesis, mates, weight)
        rival, share = _rival(model, mates, after, f)
        yield Sureness(fault, model.complaints[complaint], dead, full, rival, share)


def alike(model: Model) -> Iterator[Remark]:
    """The faults that stay unsure."""
    family = model.pack.family.id
    for one in sureness(model):
        if one.rival is None or one.dead >= SURE or (one.rival_share < RIVAL and one.dead >= VAGUE):
            continue
        live = f", {one.live:.0%} with the live ones" if one.live > one.dead + 0.03 else ""
        yield Remark(family, ("faults", one.fault), "alike",
                     f"with '{one.complaint}', all dead checks bring '{one.fault}' to {one.dead:.0%}{live};"
                     f" '{one.rival}' takes {one.rival_share:.0%}",
                     "add a check, or rows to one, that gives the two different results; or let them share a repair",
                     (("faults", one.rival),))


def _expected(model: Model, rows: Floats, there: Floats, hypothesis: int, mates: Ints,
              weight: Floats) -> tuple[float, Floats]:
    """Mean posterior of the repair of `hypothesis`, and of each of its `mates`, over drawn results."""
    logs = np.tile(np.log(weight), (DRAWS, 1))
    for c in np.flatnonzero(there):
        width = len(model.results[c])
        chances = rows[c, :width, hypothesis]
        lots = np.random.default_rng((SEED, crc32(model.checks[c].encode()))).random(DRAWS)
        drawn = np.searchsorted(np.cumsum(chances / chances.sum()), lots, side="right")
        logs += np.log(rows[c, :width][:, mates])[np.minimum(drawn, width - 1)]
    posterior = np.exp(logs - logs.max(axis=1, keepdims=True))
    mean: Floats = (posterior / posterior.sum(axis=1, keepdims=True)).mean(axis=0)
    mine = model.repair_of[mates] == model.repair_of[hypothesis]
    return float(mean[mine].sum()), mean


def _rival(model: Model, mates: Ints, after: Floats, fault: int) -> tuple[str | None, float]:
    repair = model.repair_of[np.flatnonzero(model.fault_of == fault)[0]]
    others = [(float(p), model.name(int(model.fault_of[h]))) for h, p in zip(mates, after, strict=True)
              if model.fault_of[h] < len(model.faults) and model.repair_of[h] != repair]
    if not others:
        return None, 0.0
    share, name = max(others)
    return name, share
