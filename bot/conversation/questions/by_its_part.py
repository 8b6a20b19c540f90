"""An answer that stands in one part of a line, where all of the line answers nothing: 'came all at once, after a
party', 'its about the water coming in. the plumber was here last week'."""

from __future__ import annotations

from typing import Final

from bot.conversation.job import Question
from bot.conversation.questions.checks import take_answer
from bot.conversation.questions.worded import answer_to
from bot.conversation.turn import Turn
from bot.language.answers.about import parts_of

SURELY: Final = 0.95
"""How sure the part has to be. Judgement: a part alone says less than a line."""


def answered_by_its_part(turn: Turn, question: Question, text: str) -> bool:
    """Take the one result that parts of a line surely tell of the one check that is asked: its first part, or one
    towards which all of it leans. Readings are shared out elsewhere. True if it was taken."""
    parts = parts_of(text)
    if len(parts) < FEWEST or len(question.checks) != 1:
        return False
    key = question.checks[0]
    if turn.pack.checks[key].reading is not None or "meter" in turn.pack.checks[key].tools:
        return False
    heard = [(part, answer_to(turn, key, part)) for part in parts]
    told = [(part, its) for part, its in heard if its.result is not None]
    if len({its.result for _, its in told}) != 1 or any(its.near for _, its in heard if its.result is None):
        return False
    part, its = max(told, key=lambda one: one[1].p)
    leans = answer_to(turn, key, text).near
    if its.p < SURELY or (part != parts[0] and (not leans or leans[0].id != its.result)):
        return False
    return take_answer(turn, key, its, part)


FEWEST: Final = 2
"""Parts of a line of which one may be the answer."""
