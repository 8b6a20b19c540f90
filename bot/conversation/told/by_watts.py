"""A heater's ohms are right or wrong by its watts: what was read is weighed anew once they are told."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.effects import Text
from bot.conversation.intake import file_result
from bot.conversation.job import Fact
from bot.conversation.told.plate import note_plate
from bot.conversation.told.watts_open import heater, judged_as
from bot.conversation.turn import Turn

_STAMP_WORDS: Final = re.compile(
    r"\b(?:ok|so|and|at|on|it|its|it's|is|the|a|for|they|there|stamped|stamp|says?|said|reads|rated|marked|written|plate|"
    r"rating|tag|sticker|label|element|elem|heater|bake|broil|new|old|one|watts?|w|kw|volts?|v|ac|thats|that's)\b|"
    r"\d+(?:[.,]\d+)?(?:kw|w|v)?|[^\w']+", re.IGNORECASE)


def takes_stamp(turn: Turn, text: str) -> bool:
    """File watts and volts that a message tells, and weigh the heaters read so far by them. True where it tells nothing
    else."""
    if not note_plate(turn, text):
        return False
    weighed = [_weigh(turn, fact) for fact in turn.job.standing("result")]
    if turn.job.family is None or _STAMP_WORDS.sub("", text):
        return False
    if not any(weighed):
        turn.note("watts.kept")
    return True


def _weigh(turn: Turn, fact: Fact) -> bool:
    """Judge a heater's ohms by the watts that are known now. True for such a fact; a new result is said back."""
    check = turn.pack.checks.get(fact.subject)
    if check is None or fact.number is None or not heater(check):
        return False
    result = judged_as(turn, fact.subject, fact.number).result
    if result != fact.value:
        file_result(turn, fact.subject, result, number=fact.number, low=fact.low, high=fact.high)
    elif fact.turn != turn.key:
        reading = Text("reading", {"value": fact.number, "quantity": "ohm"})
        turn.note("watts.weighed", name=check.name, reading=reading, says=check.results[result].says)
    return True
