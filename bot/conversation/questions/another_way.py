"""One 'dunno' brings no senior: what he cannot tell is put to him another way first."""

from __future__ import annotations

from typing import Final

from bot.conversation.questions.asking import put
from bot.conversation.turn import Turn

UNSURE: Final = "check.unsure"


def asked_another_way(turn: Turn) -> bool:
    """Put the one check that was passed over just now once more, in its other words. False if it was put so."""
    if all(text.key != UNSURE for text in turn.texts) or not turn.job.asked:
        return False
    question = turn.job.asked[-1].question
    passed = [fact for fact in turn.job.standing("declined")
              if fact.turn == turn.key and fact.subject in question.checks]
    if question.kind != "check" or question.asked > 1 or len(question.checks) > 1 or not passed:
        return False
    turn.withdraw(passed)
    turn.texts[:] = [text for text in turn.texts if text.key != UNSURE]
    turn.note("check.another_way")
    put(turn, "check", checks=(passed[0].subject,), asked=2)
    return True
