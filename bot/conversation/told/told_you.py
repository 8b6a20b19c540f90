"""'I told you, it fills when it's off': the words go with what was told, and what was told is looked up."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.intake import file_heard
from bot.conversation.questions.worded import answer_to
from bot.conversation.turn import Turn
from bot.language.answers.about import parts_of
from bot.language.answers.unasked import SURE
from bot.language.meaning import HeardResult
from bot.language.words.text import drop_apostrophes

_YOU: Final = r"(?:you|u|ya)"
_MARKS: Final = r"(?:[\s,;:]|[.-](?!\d))*"
"""Marks that a remark leaves behind; '.9 M' is no 9, nor is '-18' an 18."""
_TOLD: Final = re.compile(
    r"(?:\b(?:no|nope|yeah|man|look|dude|again|but|well)\b[, ]+)*\b(?:"
    rf"(?:like|as) i(?: already| just)? (?:said|told {_YOU}|wrote|mentioned|say)|"
    rf"i(?: already| just|'?ve already|ve)? (?:told {_YOU}|said (?:that|so|it|already|before)|"
    r"(?:mentioned|answered) (?:that|it))|"
    rf"(?:already|just) (?:said|told {_YOU}|answered)|told {_YOU}|(?:ya )?(?:te )?(?:lo )?dije|"
    r"(?<=[a-z] )i said(?=\W*$))"
    r"(?:[, ]+(?:that|so|already|before|once|twice|now|in the first (?:line|message)|at the start)\b)*" + _MARKS,
    re.IGNORECASE)


def without_told_you(text: str) -> str:
    """A line without 'as I said'; as it is where nothing else would be left."""
    left, taken = _TOLD.subn(", ", text)
    left = re.sub(rf"^{_MARKS}", "", left).rstrip(" ,.;:-")
    return left if taken and any(c.isalnum() for c in left) else text


def says_told(text: str) -> bool:
    """Whether words say that it was told already."""
    return _TOLD.search(drop_apostrophes(text)) is not None


def finds_what_was_told(turn: Turn, text: str) -> bool:
    """'I said that already': what an earlier line says to the question that is open is its answer. True if one does."""
    question = turn.job.question
    if question is None or question.kind != "check" or not says_told(text):
        return False
    for said in reversed(turn.job.spoken):
        for part in (said.text, *parts_of(said.text)):
            heard = [(key, answer_to(turn, key, part)) for key in question.checks]
            found = [HeardResult(key, its.result, its.p) for key, its in heard
                     if its.result is not None and its.p >= SURE]
            if found:
                turn.close_question()
                for result in found:
                    file_heard(turn, result)
                turn.place(misses=0)
                turn.go_on = True
                return True
    return False
