"""By how much an oven is off, told at any question: '50 low' is what a thermometer in it would show."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.facts import evidence_of
from bot.conversation.intake import file_heard
from bot.conversation.turn import Turn
from bot.diagnosis.setting import holds_as_told
from bot.language.meaning import HeardResult
from bot.language.words.text import drop_apostrophes

OVEN: Final = "oven_temp"
LOW, HIGH = "low", "high"
LEAST: Final = {"F": 30.0, "C": 17.0}
"""Degrees of the firm's scale from which on an oven is out of what is usual, whatever the thermometer."""
_LESS: Final = r"low|lower|cold|colder|cool|cooler|under|below|short|shy|less|behind|down"
_MORE: Final = r"high|higher|hot|hotter|over|above|more|up"
_BY: Final = re.compile(
    r"(?<![\d.])(?P<far>\d{2,3}) ?(?:deg\w*|°)? ?(?P<scale>[cf]\b)? ?(?:or so |too )?"
    rf"(?:(?P<less>{_LESS})|(?P<more>{_MORE}))\b(?! ?\d)", re.IGNORECASE)
_NO_WORD: Final = re.compile(
    r"\?|\b(?:used to|was|last|before|self.?clean|rear|front|burners?|units?|element|ohms?|"
    r"volts?|says|shows|fan|broil)\b", re.IGNORECASE)
"""What is not told of the oven as it bakes now."""


def off_by_told(turn: Turn, text: str) -> HeardResult | None:
    """What the oven's temperature is, where words say by how much it is off and this machine is asked for that."""
    found, plain = _BY.search(drop_apostrophes(text)), drop_apostrophes(text)
    check = turn.pack.checks.get(OVEN)
    if found is None or check is None or _NO_WORD.search(plain):
        return None
    scale = (found["scale"] or turn.context.firm.temperature).upper()
    if float(found["far"]) < LEAST[scale] or not holds_as_told(check, evidence_of(turn.job)):
        return None
    return HeardResult(OVEN, LOW if found["less"] else HIGH, 1.0)


def take_off_by(turn: Turn, text: str) -> bool:
    """File it. True if it was told."""
    heard = off_by_told(turn, text)
    if heard is None or any(fact.subject == OVEN for fact in turn.job.standing("result")):
        return False
    file_heard(turn, heard)
    turn.go_on = True
    return True
