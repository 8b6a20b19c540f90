"""An answer that is taken back in its own line: 'stuck both ways, no wait it turns fine by hand'."""

from __future__ import annotations

from typing import Final

from bot.conversation.job import Question
from bot.conversation.questions.checks import CLEAR
from bot.conversation.questions.worded import answer_to
from bot.conversation.turn import Turn
from bot.conversation.wording.corrects import TAKEN_BACK
from bot.language.answers.about import parts_of, stems


def without_taken_back(text: str) -> str:
    """'Breaker tripped, no wait breaker was on': what stands behind it, where that is on the same thing; else all."""
    parts = TAKEN_BACK.split(text)
    if len(parts) < 2:
        return text
    before, after = parts[-2].strip(_MARKS), parts[-1].strip(_MARKS)
    same = named_in(before) & named_in(after)
    if not same:
        return text
    kept = [part for part in parts_of(before) if not named_in(part) & same]
    return ", ".join([*(part.strip(_MARKS) for part in parts[:-2] if part.strip(_MARKS)), *kept, after])


def named_in(text: str) -> frozenset[str]:
    """The things that words name, without figures and what is said of them all."""
    return frozenset(word for word in stems(text) if word.isalpha()) - _OF_ALL


_MARKS: Final = " ,.:;-"
_OF_ALL: Final = stems(
    "it its the was is on off not no yes ok good bad still just one that this now all got has had ohm ohms volts amps "
    "reads open closed dead")


def after_no_wait(turn: Turn, question: Question, text: str) -> str:
    """What follows the last 'no wait', where it answers the open checks; else the text as it is."""
    after = TAKEN_BACK.split(text)[-1].strip(" ,.:;-")
    if not after or after == text.strip(" ,.:;-"):
        return text
    heard = [answer_to(turn, key, after) for key in question.checks]
    clear = any((its.result is not None and its.p >= CLEAR) or (its.heard is not None and its.heard.value is not None)
                for its in heard)
    return after if clear else text
