"""'Which one do you mean?': words that fitted more than one open check, and the answer to that."""

from __future__ import annotations

from typing import Final

from bot.conversation.intake import file_heard
from bot.conversation.job import Question
from bot.conversation.questions.asking import put
from bot.conversation.questions.checks import take_answer
from bot.conversation.questions.sharing import meant, share_out
from bot.conversation.questions.worded import answer_to
from bot.conversation.turn import Turn

EACH = "each"
NONE = "none_of_them"
SIDE: Final = frozenset({"which_check", "doubt_reading"})
"""Questions about a reading that was told, and none of the visit's own: it goes on without their answer."""


def answer_which(turn: Turn, value: str) -> None:
    """The check that was meant, or each of them: it gets the words that were kept."""
    question = turn.job.question
    assert question is not None
    if value == NONE:
        turn.close_question()
        turn.go_on = True
        return
    among = _among(question) if value == EACH else (value.removeprefix("check:"),)
    turn.close_question()
    for key in among:
        said = question.data["said"]
        if not take_answer(turn, key, answer_to(turn, key, said), said):
            put(turn, "check", checks=(key,), asked=2)
        if turn.job.question is not None:
            return


def which_in_words(turn: Turn, question: Question, text: str) -> bool:
    """'The fuse', or the answers anew, told apart this time. True if it was one of these."""
    among = _among(question)
    shared = share_out(turn, among, text)
    if shared.found and not shared.among:
        turn.close_question()
        for heard in shared.found.values():
            file_heard(turn, heard)
        turn.go_on = True
        return True
    key = meant(turn, among, text)
    if key is not None:
        answer_which(turn, f"check:{key}")
    return key is not None


def _among(question: Question) -> tuple[str, ...]:
    return tuple(v.removeprefix("check:") for v in question.values if v not in {EACH, NONE})
