"""Words about the part itself: it came before it was asked for, or it is the wrong one."""

from __future__ import annotations

from bot.conversation.finding import current_repair
from bot.conversation.job import Question
from bot.conversation.repairing import answer_waiting, wrong_part
from bot.conversation.turn import Turn
from bot.conversation.wording.ways import says_arrived, says_wrong_part, way_of


def of_the_part(turn: Turn, question: Question, text: str) -> bool:
    """Deal with words about the part, whatever is asked just now. True if they were some."""
    if question.kind == "repair":
        told = says_wrong_part(text) and bool(current_repair(turn).parts)
    elif question.kind == "thinking":
        told = says_arrived(text) and way_of("consent", text) == "yes"
    else:
        told = (question.kind in {"plate", "due"} and not any(c.isdigit() for c in text)
                and way_of("waiting", text) == "arrived")
    if not told:
        return False
    turn.place(misses=0)
    if question.kind == "repair":
        wrong_part(turn)
        return True
    if question.kind == "thinking":
        turn.place(agreed=True)
        turn.record("consent", answer="yes")
    answer_waiting(turn, "arrived")
    return True
