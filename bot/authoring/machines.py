"""Which entries of a pack can meet on one machine."""

from __future__ import annotations

from bot.diagnosis.compiled import holds
from knowledge.schema import Only, Pack


def can_meet(pack: Pack, *limits: Only) -> bool:
    """Whether some machine of the family is one that all of `limits` speak of."""
    rows = pack.family.combinations
    if not rows or not any(limits):
        return True
    machines = ({axis: str(value) for axis, value in row.items() if axis != "share"} for row in rows)
    return any(all(holds(only, machine) for only in limits) for machine in machines)
