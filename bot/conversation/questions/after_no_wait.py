"""An answer that is taken back in its own line: 'stuck both ways, no wait it turns fine by hand'."""

from __future__ import annotations

from bot.conversation.job import Question
from bot.conversation.questions.checks import CLEAR
from bot.conversation.questions.worded import answer_to
from bot.conversation.turn import Turn
from bot.conversation.wording.corrects import TAKEN_BACK


def after_no_wait(turn: Turn, question: Question, text: str) -> str:
    """What follows the last 'no wait', where it answers the open checks; else the text as it is."""
    after = TAKEN_BACK.split(text)[-1].strip(" ,.:;-")
    if not after or after == text.strip(" ,.:;-"):
        return text
    heard = [answer_to(turn, key, after) for key in question.checks]
    clear = any((its.result is not None and its.p >= CLEAR) or (its.heard is not None and its.heard.value is not None)
                for its in heard)
    return after if clear else text
