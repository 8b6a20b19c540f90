"""A capacity and its stamp, told while something else is asked: 'cap reads 10, stamped 45'."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.facts import evidence_of
from bot.conversation.turn import Turn
from bot.diagnosis.setting import holds_as_told
from bot.language.answers.stamped import by_stamp
from bot.language.meaning import HeardResult

_OF_ONE: Final = re.compile(r"\b(?:cap|capacitor|condensador|\d+(?:\.\d+)? ?(?:uf|mfd|microfarads?))\b", re.IGNORECASE)
CERTAIN: Final = 0.95


def of_stamp(text: str) -> bool:
    """Whether a part of a line is about a capacitor's figures."""
    return _OF_ONE.search(text) is not None or re.search(r"\bstamp\w*\b", text, re.IGNORECASE) is not None


def stamp_told(turn: Turn, text: str) -> HeardResult | None:
    """What a capacity told beside its stamp shows of the one capacitor that the machine may have."""
    if turn.job.family is None or _OF_ONE.search(text) is None:
        return None
    evidence = evidence_of(turn.job)
    shown = [(key, result) for key, check in turn.pack.checks.items()
             if (result := by_stamp(check, text)) is not None and holds_as_told(check, evidence)]
    return HeardResult(shown[0][0], shown[0][1], CERTAIN) if len(shown) == 1 else None
