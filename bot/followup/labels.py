"""What an ended visit says of the fault that it was about, and how much that counts. Pure.

Counted in full: a repair that was proved in the state that failed and did not come back in thirty days. Half at most:
what is younger, what nobody could have come back to (no address on file), another trouble within the time, a senior's
word without a proof. Nothing: the same trouble came back, a later "it came back", the owner's mark "bot was wrong",
no answer. A finding that nobody proved is the bot's own belief, and no label.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Final

from bot.conversation.job import Outcome
from bot.diagnosis.evidence import UNKNOWN

TERM: Final = timedelta(days=30)
"""The usual term of a callback."""
HALF: Final = 0.5


@dataclass(frozen=True, slots=True)
class Kept:
    """A record of the visit, as in `bot.conversation.effects.Record`."""

    what: str
    data: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Ended:
    """What is on record of a visit that is over. Instants are UTC."""

    family: str
    ended: datetime
    outcome: str | None
    records: tuple[Kept, ...]
    """In the order in which they were kept."""
    placed: bool
    """Whether the address is known, so that a callback would have been noticed."""
    came_back: bool
    """A machine of the family was seen again there within the term."""
    same: frozenset[bool | None] = frozenset()
    """What was said on such arrivals: the same trouble, another, don't know."""
    marked_wrong: bool = False


@dataclass(frozen=True, slots=True)
class Label:
    """The fault and the repair that is confirmed, and how much it counts (0 to 1].

    `named`: a senior named the fault; else it is only known that `repair` cured it.
    """

    fault: str
    repair: str | None
    weight: float
    named: bool = False


def label(visit: Ended, now: datetime) -> Label | None:
    """What the visit tells; None if nothing is confirmed."""
    if visit.marked_wrong:
        return None
    verdicts = [record.data for record in visit.records if record.what == "verdict"]
    named = next((str(data["fault"]) for data in reversed(verdicts) if data.get("fault")), None)
    proof = _last_proof(visit)
    if visit.outcome == Outcome.FIXED and proof is not None:
        weight = _weight(visit, now) if proof.get("held") is True else 0.0
        fault = proof.get("fault")
        if not weight or not fault:
            return None
        return Label(str(fault), proof.get("repair"), weight, named == fault)
    if named is not None:
        failed = proof is not None and proof.get("held") is False and proof.get("fault") == named
        return None if failed else Label(named, None, HALF, named=True)
    if visit.outcome == Outcome.HANDED_OFF and any(data.get("words") for data in verdicts):
        return Label(UNKNOWN, None, HALF, named=True)
    return None


def _last_proof(visit: Ended) -> Mapping[str, Any] | None:
    """The last word on whether the repair holds; "don't know" some days later takes nothing back."""
    proofs = [record.data for record in visit.records if record.what == "proof"]
    said = [data for data in proofs if data.get("held") is not None]
    return said[-1] if said else None


def _weight(visit: Ended, now: datetime) -> float:
    if True in visit.same:
        return 0.0
    if visit.came_back:
        return HALF if visit.same == {False} else 0.0
    return 1.0 if visit.placed and now - visit.ended >= TERM else HALF
