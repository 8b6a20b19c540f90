"""A check left without an answer: it cannot be made, cannot be told, a tool is lacking, or it takes a moment."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final, Literal

from bot.conversation.job import Question
from bot.conversation.questions.asking import put_again
from bot.conversation.questions.shut import note_shut
from bot.conversation.questions.tools import do_without
from bot.conversation.turn import Turn
from bot.language.status.status import Status, said_at

SURELY: Final = 0.75
"""From here on what was learned of such lines goes before what else is heard in them: by folds over families that is
said wrongly of some four answers in a thousand, ..."""
BEYOND_DOUBT: Final = 0.9
"""... and a "can't" from here on before a result that is plain: 'can't see any break'."""


def says_none(turn: Turn, question: Question, text: str, least: float, *, told: bool = False) -> bool:
    """Deal with a line that says so in its own words, as far as what was learned tells with `least`: 'left my light in
    the other truck', 'could be either, hard to say', 'still mopping'. A tool that is lacking is the one needed, if it
    is one. `told`: a result is plainly heard in the same words."""
    said = said_at("check", text)
    if said.p < (BEYOND_DOUBT if told and said.status is Status.CANNOT else least):
        return False
    match said.status:
        case Status.NO_TOOL:
            needed = {tool for key in question.checks for tool in turn.pack.checks[key].tools}
            if len(needed) != 1:
                cannot_make(turn, question, text)
            elif do_without(turn, needed.pop()):
                pass_over(turn, "cannot", (), "check.without_tool")
            else:
                put_again(turn, question)
        case Status.CANNOT:
            cannot_make(turn, question, text)
        case Status.UNSURE:
            pass_over(turn, "declined", question.checks, "check.unsure")
        case Status.WAIT:
            turn.note("closing.take_your_time")
            turn.send()
        case _:
            return False
    return True


def cannot_be_made(text: str) -> bool:
    """Whether a line surely says no more than that: beside a tool that is lacking it adds nothing."""
    said = said_at("check", text)
    return said.status in {Status.CANNOT, Status.NO_TOOL} and said.p >= SURELY


def cannot_make(turn: Turn, question: Question, text: str) -> None:
    """None of the checks that are asked can be made; what is shut is kept with it."""
    for key in question.checks:
        note_shut(turn, key, text)
    pass_over(turn, "cannot", question.checks, "check.cannot")


def pass_over(turn: Turn, kind: Literal["cannot", "declined"], subjects: Iterable[str], note: str) -> None:
    """The planner does without these checks, or without a tool."""
    turn.close_question(closed="passed")
    for subject in subjects:
        turn.fact(kind, subject)
    turn.note(note)
    turn.go_on = True
