"""Taking a danger back: a slip of the thumb may go, but one tap never leads back to gas or to a cabinet that shocks."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.effects import Text
from bot.conversation.job import Job, Question
from bot.conversation.questions.asking import put, put_again
from bot.conversation.steering.undoing import go_back
from bot.conversation.turn import Turn
from bot.language.words.text import drop_apostrophes

_MISTAKE: Final = re.compile(
    r"\b(?:false alarm|(?:my|a|by|was a) mistake|mistaken|typo|mistyped|misread|autocorrect|by accident|slip(?:ped)?|"
    r"(?:did ?nt|did not) mean (?:that|it|to)|wrong (?:chat|button|job|number|key)|ignore (?:that|it|this)|"
    r"falsa alarma|me equivoque|fue un error)\b", re.IGNORECASE)


def danger_last_told(job: Job) -> str | None:
    """The hazard that *back* would take off the case now; None if it would not."""
    last = job.marks[-1].turn if job.marks else None
    return next((f.subject for f in job.standing("danger") if f.turn == last and not f.value), None)


def asks_whether_slip(turn: Turn) -> bool:
    """Before a danger is taken back: was it never there? True if that is asked now."""
    hazard = danger_last_told(turn.job)
    if hazard is None:
        return False
    if turn.job.question is not None and turn.job.question.kind != "slip":
        turn.place(interrupted=turn.job.question)
    turn.note("slip.on_the_case", name=Text(f"hazard.name.{hazard}"))
    put(turn, "slip", ("never_was", "stands"))
    return True


def says_mistake(turn: Turn, text: str) -> bool:
    """'False alarm', said to the danger that was told last: it is asked back. True if so."""
    question = turn.job.question
    meant = _MISTAKE.search(drop_apostrophes(text)) is not None
    return meant and question is not None and question.kind == "hazard" and asks_whether_slip(turn)


def answer_slip(turn: Turn, value: str) -> None:
    """It never was: taken back. It stands: the danger's own question again."""
    if value == "never_was":
        turn.note("slip.after_all")
        go_back(turn)
        return
    interrupted = _it_stands(turn)
    if interrupted is not None:
        put_again(turn, interrupted)
    else:
        turn.go_on = True


def instead_of_slip(turn: Turn) -> Question | None:
    """Other words than an answer to that: the danger stands, and its own question is open again for them."""
    interrupted = _it_stands(turn)
    if interrupted is not None:
        turn.place(question=interrupted)
        turn.marked = False  # what the words do now is a step of its own
    return interrupted


def _it_stands(turn: Turn) -> Question | None:
    """Closes the question; the one that it interrupted. No place to go back to: nothing has changed."""
    turn.marked = True
    turn.close_question()
    interrupted = turn.job.position.interrupted
    turn.place(interrupted=None)
    return interrupted
