"""The dangers named on a visit and how each stands, read off its log, so that *back* and edits hold for them too."""

from __future__ import annotations

from typing import Final

from bot.conversation.context import Context
from bot.conversation.job import Job, Phase

KEEPS_OUT: Final = ("gas", "co", "fire_out")
"""After these nobody goes back in before those in charge (gas company, fire service) say that it is safe."""
CLEARED: Final = "cleared"
OF_GAS: Final = frozenset({"gas", "co"})
BURNS: Final = frozenset({"gas", "dual"})
"""Values of the axis `fuel` at which a machine burns gas."""


def dangers(job: Job) -> dict[str, str]:
    """Hazard -> how it stands now ('' for told and not answered), in the order in which they were told."""
    return {f.subject: f.value for f in job.standing("danger")}


def nobody_goes_in(job: Job) -> str | None:
    """The hazard for which the word that it is safe is still missing; None if there is none."""
    open_ones = {hazard for hazard, stands in dangers(job).items() if stands != CLEARED}
    return next((hazard for hazard in KEEPS_OUT if hazard in open_ones), None)


def takes_gas_signoff(job: Job, context: Context) -> bool:
    """Whether gas or carbon monoxide was named here, the machine burns gas (or may), and its tech has no sign-off."""
    if not OF_GAS & dangers(job).keys() or "gas" in context.people[job.tech].signoffs:
        return False
    pack = context.release.knowledge.packs.get(job.family or "")
    if pack is None:
        return True
    fuel = next((f.value for f in reversed(job.standing("variant")) if f.subject == "fuel"), None)
    return "fuel" in pack.family.variants and (fuel is None or fuel in BURNS)


def not_safe_yet(job: Job) -> bool:
    """Whether any danger is open: the word that it was made safe, or that it was cleared, is missing."""
    return job.phase is Phase.HAZARD or nobody_goes_in(job) is not None
