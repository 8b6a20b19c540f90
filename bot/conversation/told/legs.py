"""Volts at the outlet that a tech measured unasked: they count for the check of the two legs."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.facts import evidence_of
from bot.conversation.intake import file_heard
from bot.conversation.questions.asking import put
from bot.conversation.turn import Turn
from bot.diagnosis.setting import holds_as_told
from bot.language.answers.about import parts_of
from bot.language.answers.legs import HALF, LEGS, Legs, legs, tells_of_legs
from bot.language.answers.measured import at_supply, quantity_of
from bot.language.meaning import HeardResult

_ONE_NUMBER: Final = re.compile(r"(?<![\w.])(\d{2,3}(?:\.\d+)?)\s*(?:v|vac|volts?)?(?![\w.])", re.IGNORECASE)
_NOT_READ: Final = re.compile(
    r"\?|\b(should|supposed|would|will|if|needs?|wants?|says?|said|told|plate|rated|new)\b", re.IGNORECASE)


def legs_told(turn: Turn, text: str) -> HeardResult | None:
    """What words tell of the legs beyond doubt, on a machine that is fed by two."""
    told = legs(text) if _has_legs(turn) else None
    return None if told is None else HeardResult(LEGS, told, 1.0)


def take_legs(turn: Turn, text: str) -> bool:
    """File what was read of the legs, or ask what there is from hot to hot where only one of them was told. True if the
    words tell of them."""
    heard = legs_told(turn, text)
    if heard is not None:
        turn.close_question()
        file_heard(turn, heard)
        turn.go_on = True
        return True
    value = next((volts for part in parts_of(text) if (volts := _of_one_leg(part)) is not None), None)
    if value is None or not _has_legs(turn) or any(f.subject == LEGS for f in turn.job.standing("result")):
        return False
    turn.close_question()
    turn.note("reading.hot_to_hot", number=f"{value:g}")
    put(turn, "doubt_reading", (*(f"result:{LEGS}/{result}" for result in _EITHER), "dont_know"), check=LEGS)
    return True


_EITHER: Final[tuple[Legs, ...]] = ("both", "one")


def _has_legs(turn: Turn) -> bool:
    """Whether the machine may be one that two legs feed."""
    check = turn.pack.checks.get(LEGS)
    return check is not None and set(_EITHER) <= set(check.results) and holds_as_told(check, evidence_of(turn.job))


def _of_one_leg(text: str) -> float | None:
    """The 120 of 'got 118 at the outlet' and '120 each leg': each leg may be the same one twice."""
    if _NOT_READ.search(text) or not (at_supply(text) or tells_of_legs(text)):
        return None
    if quantity_of(text) not in {None, "volt"}:
        return None
    found = [float(number) for number in _ONE_NUMBER.findall(text)]
    return found[0] if len(found) == 1 and HALF[0] <= found[0] <= HALF[1] else None
