"""Which visits the deep check walks: machines with each fault, what is told of them, and who stands there.

A fault is met on the machine it is likeliest on, told by one complaint to a junior without a meter sign-off; then,
drawn from a fixed seed, on the kinds of machine that it is found on, with other troubles told, something said to work,
and other sign-offs. A repair or a check that none of these came to is looked for once more: from any complaint, on
machines whose faults the check speaks of, by people who may do anything and by people who may do little.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from random import Random
from typing import Final

import numpy as np

from bot.diagnosis.belief import departure
from bot.diagnosis.compiled import Floats, Model

COMPLAINTS: Final = 3
"""How many of a fault's likeliest complaints are walked from."""
DRAWN: Final = (2, 1, 1)
"""Drawn visits from each of these, the likeliest first."""
TO_REPAIR: Final = 12
TO_CHECK: Final = 24
"""More drawn visits towards a repair that was not reached, and towards a check that was never asked, at most."""
TELLS_MORE: Final = 0.3
TELLS_WORKING: Final = 0.3
TELLS_KIND: Final = 0.35
"""How often a drawn opening names a second trouble, something that works, and each trait of the machine. Judgement."""
CANNOT: Final = 0.05
"""How often a check of a drawn visit turns out impossible, at least. Judgement."""
CANNOT_TOWARDS: Final = 0.25
"""The same on every other way to a check that was never asked: it may stand in for a usual one."""
HOLDS: Final[Mapping[str, float]] = {"live": 0.5, "lifting": 0.8, "gas": 0.3, "refrigerant": 0.2}
"""Share of the drawn juniors who are signed off for it. Judgement."""


@dataclass(frozen=True, slots=True)
class Road:
    """One visit to be walked."""

    hypothesis: int
    machine: Mapping[str, str]
    """The value of each axis."""
    shown: tuple[str, ...]
    """Every complaint that the machine has; the first is told."""
    told: tuple[str, ...]
    denied: tuple[str, ...] = ()
    variant: Mapping[str, str] | None = None
    """What is told of the machine at the start."""
    signoffs: frozenset[str] = frozenset({"lifting"})
    rng: Random | None = None
    """Draws the answers; None: the likeliest each time."""
    cannot: float = CANNOT
    """How often a check turns out impossible, where answers are drawn."""


def roads_of(model: Model, fault: int) -> Iterator[Road]:
    """The visits walked for one fault."""
    prior = model.weights.sum(axis=1)
    mine = np.flatnonzero(model.fault_of == fault)
    likeliest = int(mine[np.argmax(prior[mine])])
    order = np.argsort(-model.shows[likeliest], kind="stable")[:COMPLAINTS]
    for c, drawn in zip(order, DRAWN, strict=False):
        if model.shows[likeliest, c] < 0.25 and c != order[0]:
            continue
        complaint = model.complaints[int(c)]
        machine = model.combinations[int(np.argmax(model.weights[likeliest]))]
        yield Road(likeliest, machine, (complaint,), (complaint,))
        for number in range(drawn):
            rng = Random(f"{model.faults[fault]}/{complaint}/{number}")
            hypothesis = rng.choices(mine.tolist(), prior[mine].tolist())[0]
            yield _drawn(model, hypothesis, complaint, _holding(rng), rng)


def roads_to_repair(model: Model, fault: int) -> Iterator[Road]:
    """More drawn visits to machines with one fault."""
    mine = np.where(model.fault_of == fault, model.weights.sum(axis=1), 0.0)
    yield from _towards(model, model.faults[fault], mine.tolist(), model.shows, frozenset(), TO_REPAIR)


def roads_to_check(model: Model, check: str) -> Iterator[Road]:
    """Drawn visits to machines whose fault shifts the check's answer, likelier ones more often."""
    c = model.check_index[check]
    prior = model.weights.sum(axis=1) * model.applies[c] * (model.fault_of < len(model.faults))
    pull = prior * departure(model, c)
    weights = np.sqrt(pull if pull.sum() > 0 else prior)  # rare faults too: they are what such a check is for
    shows = model.shows.copy()
    shows[:, [model.complaint_index[complaint] for complaint in model.pack.checks[check].unless]] = 0.0
    needed = frozenset({"live"} if model.pack.checks[check].power == "live" else ())
    if weights.sum() > 0:
        for number, road in enumerate(_towards(model, check, weights.tolist(), shows, needed, TO_CHECK)):
            yield replace(road, cannot=CANNOT_TOWARDS if number % 4 > 1 else CANNOT)


def _towards(model: Model, name: str, weights: list[float], shows: Floats, needed: frozenset[str],
             most: int) -> Iterator[Road]:
    for number in range(most):
        rng = Random(f"towards {name}/{number}")
        hypothesis = rng.choices(range(len(weights)), weights)[0]
        complaint = rng.choices(model.complaints, shows[hypothesis].tolist())[0]
        signoffs = frozenset(HOLDS) if number % 2 else frozenset({"lifting"}) | needed
        yield _drawn(model, hypothesis, complaint, signoffs, rng)


def _holding(rng: Random) -> frozenset[str]:
    return frozenset(signoff for signoff, share in HOLDS.items() if rng.random() < share)


def _drawn(model: Model, hypothesis: int, complaint: str, signoffs: frozenset[str], rng: Random) -> Road:
    machine = rng.choices(model.combinations, model.weights[hypothesis].tolist())[0]
    others = [c for c, p in zip(model.complaints, model.shows[hypothesis].tolist(), strict=True)
              if c != complaint and rng.random() < p]
    absent = [c for c in model.complaints if c != complaint and c not in others]
    more = (rng.choice(others),) if others and rng.random() < TELLS_MORE else ()
    denied = (rng.choice(absent),) if absent and rng.random() < TELLS_WORKING else ()
    variant = {axis: value for axis, value in machine.items() if rng.random() < TELLS_KIND}
    return Road(hypothesis, machine, (complaint, *others), (complaint, *more), denied, variant, signoffs, rng)
