"""How the heat goes, told at any question: 'hot, then cold after five minutes' is what the customer would be asked."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.facts import evidence_of
from bot.conversation.intake import file_heard
from bot.conversation.turn import Turn
from bot.diagnosis.setting import holds_as_told
from bot.language.meaning import HeardResult
from bot.language.words.text import drop_apostrophes

PATTERN: Final = "heat_pattern"
THEN_COLD: Final = "then_cold"
_HEATED: Final = r"(?:hot|warm(?:s|ed)?(?: up)?|heats?(?: up)?|heated(?: up)?|calient\w*)"
_COLD: Final = r"(?:cold|cool\w*|no heat|quits? heating|stops? heating|heat (?:quits?|stops?|dies|cuts out)|fri[ao]s?)"
_COOLS_OFF: Final = re.compile(
    rf"\b{_HEATED}\b[^.;!?]{{0,40}}"
    r"\b(?:then|and then|n then|after|later|until|till|goes|went|turns|gets|luego|despues)\b"
    rf"[^.;!?]{{0,30}}\b{_COLD}\b", re.IGNORECASE)
_NO_HEAT_OF_ITS_OWN: Final = re.compile(
    r"\b(?:never|not|no|isnt|wasnt|doesnt|wont|nothing) (?:\w+ )?(?:hot|warm|heats?|heated)\b|"
    r"\b(?:before|last (?:week|month|year)|used to|replaced|swapped|changed|blanket|room|summer|winter)\b|\?",
    re.IGNORECASE)


def cools_off(text: str) -> bool:
    """Whether words say that it was warm first and went cold in the same run."""
    plain = drop_apostrophes(text)
    return _COOLS_OFF.search(plain) is not None and _NO_HEAT_OF_ITS_OWN.search(plain) is None


def heat_told(turn: Turn, text: str) -> HeardResult | None:
    """How the heat behaves, where words say it and this machine has such a check that may be answered."""
    check = turn.pack.checks.get(PATTERN)
    if check is None or THEN_COLD not in check.results or not cools_off(text):
        return None
    return HeardResult(PATTERN, THEN_COLD, 1.0) if holds_as_told(check, evidence_of(turn.job)) else None


def take_heat(turn: Turn, text: str) -> bool:
    """File it. True if it was told."""
    heard = heat_told(turn, text)
    if heard is None:
        return False
    file_heard(turn, heard)
    turn.go_on = True
    return True
