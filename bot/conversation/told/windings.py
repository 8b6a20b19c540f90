"""The run and the start winding of a motor, read unasked: they count for the check of both, never for the way to its
case. The coils of a gas valve alike."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.facts import evidence_of
from bot.conversation.intake import file_heard
from bot.conversation.turn import Turn
from bot.diagnosis.setting import holds_as_told
from bot.language.answers.about import parts_of
from bot.language.answers.of_each import each_in_range, names_coils, of_coils
from bot.language.answers.to_ground import reads_to_ground
from bot.language.answers.windings import adds_up, asks_windings, of_windings, run_and_start
from bot.language.meaning import HeardResult

_NOT_READ: Final = re.compile(
    r"\?|\b(?:should|supposed|would|will|if|says?|said|plate|diagram|new|last)\b", re.IGNORECASE)


def windings_told(turn: Turn, text: str) -> HeardResult | None:
    """What words tell of the two windings, on a machine that has a check of both."""
    told = None if _NOT_READ.search(text) else run_and_start(text)
    if told is None:
        return _coils_told(turn, text)
    evidence = evidence_of(turn.job)
    keys = [key for key, check in turn.pack.checks.items()
            if asks_windings(check.ask) and told in check.results and holds_as_told(check, evidence)]
    if len(keys) == 1:
        return HeardResult(keys[0], told, 1.0)
    pins = next((key for key, check in turn.pack.checks.items()
                 if _THREE_PINS in check.ask and holds_as_told(check, evidence)), None)
    summed = "open" if told == "open" else _of_three(text)
    return None if pins is None or summed is None else HeardResult(pins, summed, 1.0)


def tells_windings(part: str) -> bool:
    """Whether one part of a line tells of windings, or of coils that are read one by one."""
    return of_windings(part) or of_coils(part)


def _coils_told(turn: Turn, text: str) -> HeardResult | None:
    """'Coils 1.2k n 560' on the check that reads them one by one, if the machine has one."""
    said = ", ".join(part for part in parts_of(text) if of_coils(part))
    if not names_coils(said):
        return None
    evidence = evidence_of(turn.job)
    told = {key: result for key, check in turn.pack.checks.items() if holds_as_told(check, evidence)
            and (result := each_in_range(check, said)) is not None}
    return next((HeardResult(key, result, 1.0) for key, result in told.items()), None)


def _of_three(text: str) -> str | None:
    """What three readings between a compressor's pins come to: they don't add up, or they do and the shell is clear."""
    if len(re.findall(r"\d+(?:[.,]\d+)?", text)) != _PINS:
        return None
    clear = reads_to_ground(text) == "clear"
    return "uneven" if not adds_up(text) else "good" if clear else None


_PINS: Final = 3
_THREE_PINS: Final = "three pins"
"""How a check of a compressor's windings asks."""


def take_windings(turn: Turn, text: str) -> bool:
    """File it. True if the words told of them."""
    heard = windings_told(turn, text)
    if heard is None:
        return False
    file_heard(turn, heard)
    turn.go_on = True
    return True
