"""What nobody asked for: a result told beside the open question, and readings such as 'element reads 9000 ohm'."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from bot.conversation.checks import take_answer, warn_unsafe
from bot.conversation.intake import file_heard
from bot.conversation.turn import Turn
from bot.conversation.worded import answer_to
from bot.language.about import of_relative, parts_of
from bot.language.meaning import HeardResult
from bot.language.unasked import SURE, told_of
from knowledge.schema import Check

_WORD: Final = re.compile(r"[a-záéíóúñ]{4,}")
_IDLE: Final = frozenset({"reads", "reading", "ohms", "volts", "amps", "across", "meter", "measured", "with", "from",
                          "unplugged", "checked", "tested", "shows", "says", "about", "there", "this", "that"})
_MEASURED: Final = re.compile(
    r"\d[\d.,]*\s*(k|m|meg|mega|kilo)?\s*(ohms?|Ω|v|vac|vdc|volts?|a|amps?|uf|mfd|microfarads?|f|c|deg\w*|min\w*|sec\w*|rpm|k|meg|"
    r"megs|megohms?|kohms?)\b|\b(reads?|reading|read|measur\w+|shows?|showing|got|gets|getting|gives|metered|meter|marca|mide)\b"
    r".{0,60}?\d|\d.{0,60}?\b(across|on the meter|ohm\w*)\b", re.IGNORECASE)
"""A number with a unit, or one that the meter is said to say: the 240 of 'electric 240' is neither."""
FEWEST: Final = 3
"""Words of a part that can name a check and say what it showed."""


def set_aside(turn: Turn, text: str, asked: Sequence[str]) -> tuple[str, list[HeardResult]]:
    """The words that are for the checks that are asked, and the results that the rest tells of others."""
    if turn.job.family is None:
        return text, []
    kept: list[str] = []
    found: list[HeardResult] = []
    parts = parts_of(text)
    for part in parts:
        heard = _of_like_part(turn, part, asked) or _of_another(turn, part, asked)
        if heard is None or (not heard.result and len(parts) == 1):
            kept.append(part)
        elif heard.result:
            found.append(heard)
    return (text, []) if len(kept) == len(parts) else (", ".join(kept), found)


def _of_another(turn: Turn, part: str, asked: Sequence[str]) -> HeardResult | None:
    """The result of a check that is not asked, told in words that do not answer what is."""
    if len(part.split()) < FEWEST:
        return None
    heard = told_of(turn.context.release.index, turn.job.family or "", part, asked)
    known = {f.subject: f.value for f in turn.job.standing("variant")}
    if heard is None or not _there(turn.pack.checks[heard.check], known):
        return None
    return None if any(answer_to(turn, key, part).result is not None for key in asked) else heard


def _of_like_part(turn: Turn, part: str, asked: Sequence[str]) -> HeardResult | None:
    """'Start reads open' where the run winding is asked for: never that one's answer, clear or not (result '')."""
    if len(asked) != 1 or asked[0] not in turn.pack.checks:
        return None
    other = of_relative(turn.context.release.index, turn.job.family or "", part, asked[0])
    if other is None:
        return None
    heard = answer_to(turn, other, part)
    sure = heard.result is not None and heard.p >= SURE
    return HeardResult(other, heard.result if sure and heard.result is not None else "", heard.p)


def file_besides(turn: Turn, found: Sequence[HeardResult]) -> bool:
    """File results that were told unasked; the answer says them back. True if anything was new."""
    before = turn.job.facts
    for heard in found:
        result = file_heard(turn, heard)
        if result is not None and turn.job.facts != before:
            warn_unsafe(turn, heard.check, result)
    return turn.job.facts != before


def take_unasked(turn: Turn, text: str) -> bool:
    """File a reading on the one check whose name or question speaks of the same part. True if one was found."""
    if turn.job.family is None or not _MEASURED.search(text):
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
