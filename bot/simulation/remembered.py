"""The same advice, worked out once for the same evidence: many visits, and many stories, begin alike."""

from __future__ import annotations

from collections.abc import Hashable

from bot.diagnosis.advice import Adviser, advise
from bot.diagnosis.compiled import Model
from bot.diagnosis.evidence import Belief, Decision, Evidence, Situation


def remembering(adviser: Adviser) -> Adviser:
    """An adviser that is asked once for the same evidence. It keeps every model that it was asked about."""
    known: dict[Hashable, tuple[Model, Decision]] = {}

    def advised(model: Model, evidence: Evidence, belief: Belief, situation: Situation, keep: str | None) -> Decision:
        key = (id(model), frozenset(evidence.variant.items()), evidence.complaints, evidence.denied,
               evidence.history, evidence.cannot, frozenset(evidence.given.items()), situation, keep)
        if key not in known:
            known[key] = model, adviser(model, evidence, belief, situation, keep)
        return known[key][1]
    return advised


remembered = remembering(advise)
"""The product's own, for all that runs in this process."""
