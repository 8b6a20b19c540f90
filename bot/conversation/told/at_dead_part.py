"""'120 at the pump but it don't run', '120 at the board, zilch at the lock': volts told at the part that stands still,
which are the volts at the dead part, whatever is asked."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.facts import evidence_of
from bot.conversation.turn import Turn
from bot.diagnosis.setting import holds_as_told
from bot.language.answers.about import parts_of
from bot.language.answers.measured import like_mains
from bot.language.meaning import HeardResult

_PART: Final = r"(?:lock|valve|pump|motor|heater|element|solenoid|shifter|actuator)s?"
_AT: Final = re.compile(
    r"(?<![\w.])(?P<told>\d{1,3}|zero|no|nothing|nothin|nada|zilch|nil|zip|squat|none)"
    r"(?: ?(?:v|vac|volts?|voltage|power|juice))? (?:at|to|across|on) "
    rf"(?:the |its )?(?:(?!board|outlet)\w+ ){{0,2}}?{_PART}(?: (?:plug|terminals?|connector|wires?|coil))?\b"
    r"(?!\s*(?:board|ohms?))", re.IGNORECASE)
_NONE_THERE: Final = re.compile(
    r"\b(?:volts?|voltage|vac|juice) (?:at|to|across|on) (?:the |its )?(?:(?!board|outlet)\w+ ){0,2}?"
    rf"{_PART}(?: (?:plug|terminals?|connector|wires?|coil))?\b(?:\W+(?:n|and|but|theres?|there is|got|get|its|is|it|"
    r"reads?|was|i|still|just|only|shows?)\b)*\W+(?P<told>\d{1,3}|zero|nothing|nothin|nada|zilch|nil|zip|squat|none)\b"
    r"(?! ?(?:ohms?|k\b))", re.IGNORECASE)
"""'Tried volts at the pump plug n theres none': the figure last."""
_IN_VOLTS: Final = re.compile(r"(?<![\w.])\d{1,3} ?(?:v|vac|volts?)\b|\bvolts?\b|\bvoltage\b", re.IGNORECASE)
_NUMBER: Final = re.compile(r"(?<![\w.])[1-9]\d{1,2}(?![\w.])")


def tells_at_part(part: str) -> bool:
    """Whether a part of a line tells of volts at something that they should move, heat or open."""
    return _AT.search(part) is not None


def at_part_told(turn: Turn, text: str) -> HeardResult | None:
    """The volts at the dead part, of a line that tells of volts; 0 for 'zilch'. None where no such check is left, or
    two parts are told apart."""
    metered = _IN_VOLTS.search(text) is not None or any(like_mains(float(n)) for n in _NUMBER.findall(text))
    told = [found["told"] for part in parts_of(text) for found in [_AT.search(part)] if found is not None]
    told = told or [found["told"] for found in _NONE_THERE.finditer(text)]
    key = _dead_part(turn) if metered and len(told) == 1 else None
    if key is None:
        return None
    volts = float(told[0]) if told[0].isdigit() else 0.0
    return HeardResult(key, "", SURE, volts) if like_mains(volts) else None


def _dead_part(turn: Turn) -> str | None:
    """The check of the volts at whichever part is dead, of machines that have one for all of them."""
    evidence = evidence_of(turn.job)
    return next((key for key, check in turn.pack.checks.items()
                 if check.name == DEAD_PART and holds_as_told(check, evidence)), None)


DEAD_PART: Final = "volts at the dead part"
SURE: Final = 0.95
