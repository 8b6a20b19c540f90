"""Readings that nobody asked for: 'element reads 9000 ohm' lands on the check that measures the element."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.checks import answer_to, take_answer
from bot.conversation.turn import Turn
from knowledge.schema import Check

_WORD: Final = re.compile(r"[a-záéíóúñ]{4,}")
_IDLE: Final = frozenset({"reads", "reading", "ohms", "volts", "amps", "across", "meter", "measured", "with", "from",
                          "unplugged", "checked", "tested", "shows", "says", "about", "there", "this", "that"})


def take_unasked(turn: Turn, text: str) -> bool:
    """File a reading on the one check whose name or question speaks of the same part. True if one was found."""
    if turn.job.family is None or not any(c.isdigit() for c in text):
        return False
    words = _words(text)
    known = {f.subject: f.value for f in turn.job.standing("variant")}
    ranked = sorted(((_overlap(words, check), key) for key, check in turn.pack.checks.items()
                     if check.reading is not None and _there(check, known)), reverse=True)
    if not ranked or ranked[0][0] <= 0 or (len(ranked) > 1 and ranked[0][0] == ranked[1][0]):
        return False
    key = ranked[0][1]
    heard = answer_to(turn, key, text)
    if heard.heard is None or heard.heard.value is None or heard.heard.unit_mismatch:
        return False
    return take_answer(turn, key, heard, None)


def _overlap(words: set[str], check: Check) -> int:
    """How much the words speak of the check; a check whose name says more than they do is less likely meant."""
    named = _words(check.name)
    return 6 * len(words & named) - len(named - words) + 2 * len(words & _words(check.ask))


def _there(check: Check, known: dict[str, str]) -> bool:
    return all(known.get(axis, values[0]) in values for axis, values in check.only.items())


def _words(text: str) -> set[str]:
    return {word.rstrip("s") for word in _WORD.findall(text.lower())} - {word.rstrip("s") for word in _IDLE}
