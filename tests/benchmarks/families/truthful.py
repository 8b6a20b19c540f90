"""The packs as they would be if they held the truth of a world whose machines stray from them: what their errors cost
is what a visit costs more with the packs as they are."""

from __future__ import annotations

from bot.simulation.machine import World
from knowledge.schema import Fault, Pack


def truthful(world: World) -> Pack:
    """The world's pack with the numbers of its machines: shares of faults, complaints that they show, results."""
    pack, shares = world.pack, world.frequencies()
    faults = {f: _shown(world, f, fault.model_copy(update={"frequency": shares[f]}))
              for f, fault in pack.faults.items()}
    checks = {c: check.model_copy(update={"likelihoods": {
        **check.likelihoods, **{f: world.row(f, c) for f in pack.faults}}}) for c, check in pack.checks.items()}
    return pack.model_copy(update={"faults": faults, "checks": checks})


def _shown(world: World, name: str, fault: Fault) -> Fault:
    return fault.model_copy(update={"shows": {c: world.shows(name, c) for c in fault.shows}})
