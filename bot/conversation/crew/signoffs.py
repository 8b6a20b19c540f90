"""Which sign-offs a repair takes that the tech does not have with the firm."""

from __future__ import annotations

from bot.conversation.effects import Text
from bot.conversation.turn import Turn
from bot.diagnosis.evidence import Belief
from bot.diagnosis.setting import signoffs_for


def lacking_for(turn: Turn, key: str) -> frozenset[str]:
    """The sign-offs and licences that the repair of a fault takes and the tech does not have."""
    return signoffs_for(turn.pack, key) - set(turn.tech.signoffs)


def beyond(turn: Turn, belief: Belief) -> dict[str, float]:
    """Fault -> chance, of those whose repair is beyond the tech's sign-offs, the likeliest first."""
    return {fault: p for fault, p in belief.faults if fault in turn.pack.faults and lacking_for(turn, fault)}


def lacking_named(turn: Turn, faults: list[str]) -> list[Text]:
    """What these repairs lack, by name; what the likeliest lacks first."""
    lacking = [signoff for fault in faults for signoff in sorted(lacking_for(turn, fault))]
    return [Text(f"signoff.{signoff}") for signoff in dict.fromkeys(lacking)]
