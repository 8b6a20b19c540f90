"""What is to be read frozen and was read warm: 'bimetal OL at 40F' is open by design."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.questions.asking import put
from bot.conversation.turn import Turn
from bot.language.answers.bands import usual
from bot.language.meaning import Answer
from bot.language.readings.at_degrees import read_at, read_warm

_BELOW: Final = re.compile(r"\bfrozen below (?P<celsius>-?\d+) C\b")
"""How a check asks for what counts only when it is that cold."""


def read_too_warm(turn: Turn, key: str, heard: Answer, text: str) -> bool:
    """Say so where a part was read too warm to count, and ask for it again. True if it was."""
    check = turn.pack.checks[key]
    below = _BELOW.search(check.ask)
    opened = heard.result not in {None, usual(check)} or (heard.heard is not None and heard.heard.special == "open")
    if below is None or not opened:
        return False
    degrees = read_at(text, turn.context.firm.temperature)
    if not (read_warm(text) if degrees is None else degrees > float(below["celsius"])):
        return False
    turn.note("reading.too_warm", misread=check.misread or "")
    turn.close_question()
    put(turn, "check", checks=(key,), asked=2)
    return True
