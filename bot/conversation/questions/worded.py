"""What words say as an answer to a check of the machine at hand."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.facts import given_of
from bot.conversation.questions.as_found import as_found
from bot.conversation.questions.no_word_on_it import clears_gas_unsaid, no_word_on
from bot.conversation.questions.side_question import without_side_denial
from bot.conversation.questions.thermometer import in_degrees, reads_degrees
from bot.conversation.questions.vague import without_figure
from bot.conversation.turn import Turn
from bot.language.answers.about import about, parts_of
from bot.language.answers.answer import answer
from bot.language.answers.half_tripped import half_tripped
from bot.language.answers.legs import LEGS, legs
from bot.language.answers.measured import is_off_in_heat
from bot.language.answers.unasked import SURE
from bot.language.answers.windings import reads_windings
from bot.language.meaning import Answer
from bot.language.readings.read import without_nothing_amiss

_ONE: Final = re.compile(
    r"\b(got|get|have|had|has|need|want|this|that|the|another|other|a|my|new|old|good|bad|right|wrong|last|same|spare|"
    r"only|no|which|any|found) one\b"
    r"(?!\s*(and|point|hundred|thousand|or|to|k|meg\w*|half|\d|[a-zµ]*(ohm|volt|amp|farad)\w*|uf|mfd|min\w*|sec\w*|deg\w*)\b)",
    re.IGNORECASE)
"""'Got one', 'the old one': a thing, no number. 'Got one point two' is a reading."""
_LENGTH: Final = re.compile(
    r"\bbrush\w*\b[\w ]{0,14}\bshort\b(?! to\b)|\b(?:too|looks?|seems?|pretty|really|very|kinda) short\b(?! to\b)",
    re.IGNORECASE)
OHM: Final = "ohm"
TOUCHED: Final = 0.5
"""Weight of a check's own words from which on a text has to do with it."""


def answer_to(turn: Turn, key: str, text: str, *, aside: bool = False) -> Answer:
    """What a text says as an answer to a check."""
    check = turn.pack.checks[key]
    if no_word_on(check, text):
        return Answer()
    if check.power == "run" and "meter" not in check.tools and reads_windings(text):
        return Answer()  # 'run 6 start 4' starts nothing
    if check.reading is not None:
        if half_tripped(text) or _LENGTH.search(text):
            return Answer()  # 'one half tripped' is no half of anything that is measured, nor are short brushes one
        if check.reading.quantity == OHM and is_off_in_heat(text):
            return Answer()
        text = without_nothing_amiss(_ONE.sub(r"\1 it", text))
        if not any(c.isalnum() for c in text):
            return Answer()
    read = legs(text) if key == LEGS and not aside else None
    if read is not None:
        return Answer(read, 1.0)

    question = turn.job.question
    unasked = question is None or question.checks != (key,)  # a line for several is shared out among them first

    def heard(words: str) -> Answer:
        return answer(turn.context.release.index, turn.job.family or "", key, words, given_of(turn.job), aside=aside,
                      unasked=unasked)

    if reads_degrees(check):
        return in_degrees(turn, check, text, heard)
    before = as_found(text)
    if before is not None and check.reading is None and (its := heard(before)).result is not None:
        return its
    found, first = heard(text), without_side_denial(check, text)
    if found.result is None and found.none is None and first != text and any(c.isalnum() for c in first):
        return heard(first)  # 'grips, no oil': the belt is asked for, the oil in passing
    if clears_gas_unsaid(check, found.result, text):
        return Answer()
    return without_figure(check, text, found.heard, given_of(turn.job)) or found


def speaks_of(turn: Turn, key: str, text: str) -> bool:
    """Whether words speak of a check's part or question at all."""
    return about(turn.context.release.index, turn.job.family or "", text, (key,)).get(key, 0.0) >= TOUCHED


def told_by_a_part(turn: Turn, key: str, text: str) -> Answer | None:
    """'All of the steps go, just wont let me in after': the result that one part of a line tells plainly, where the
    line as a whole sounds as if it could not be looked at."""
    parts = parts_of(text)
    told = [its for part in parts if (its := answer_to(turn, key, part)).result is not None and its.p >= SURE]
    return told[0] if len(parts) > 1 and len({its.result for its in told}) == 1 else None
