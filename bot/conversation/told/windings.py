"""The run and the start winding of a motor, read unasked: they count for the check of both, never for the way to its
case."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.facts import evidence_of
from bot.conversation.intake import file_heard
from bot.conversation.turn import Turn
from bot.diagnosis.setting import holds_as_told
from bot.language.answers.windings import asks_windings, run_and_start
from bot.language.meaning import HeardResult

_OF_ONE: Final = re.compile(r"\b(?:run|main|start|aux) (?:windings?|coils?|side)\b|\b(?:run|start) (?:is |reads )?"
                            r"(?:\d|ol\b|open\b)|\b(?:\d|ohms?|ol)\b[^.;]{0,12}\b(?:run|start)\b", re.IGNORECASE)
_NOT_READ: Final = re.compile(
    r"\?|\b(?:should|supposed|would|will|if|says?|said|plate|diagram|new|last)\b", re.IGNORECASE)


def of_windings(text: str) -> bool:
    """Whether words speak of the reading of one of the two."""
    return _OF_ONE.search(text) is not None


def windings_told(turn: Turn, text: str) -> HeardResult | None:
    """What words tell of the two windings, on a machine that has a check of both."""
    told = None if _NOT_READ.search(text) else run_and_start(text)
    if told is None:
        return None
    evidence = evidence_of(turn.job)
    keys = [key for key, check in turn.pack.checks.items()
            if asks_windings(check.ask) and told in check.results and holds_as_told(check, evidence)]
    return HeardResult(keys[0], told, 1.0) if len(keys) == 1 else None


def take_windings(turn: Turn, text: str) -> bool:
    """File it. True if the words told of them."""
    heard = windings_told(turn, text)
    if heard is None:
        return False
    file_heard(turn, heard)
    turn.go_on = True
    return True
