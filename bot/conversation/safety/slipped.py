"""Taking a danger back: a slip of the thumb may go, but one tap never leads back to gas or to a cabinet that shocks."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.effects import Text
from bot.conversation.job import Job, Question
from bot.conversation.questions.asking import put, put_again
from bot.conversation.safety.hazards import hazard_answer
from bot.conversation.steering.undoing import go_back
from bot.conversation.turn import Turn
from bot.language.words.text import drop_apostrophes

_MISTAKE: Final = re.compile(
    r"\b(?:false alarm|(?:my|a|by|was a) mistake|mistaken|typo|mistyped|misread|autocorrect|by accident|slip(?:ped)?|"
    r"(?:did ?nt|did not) mean (?:that|it|to)|wrong (?:chat|button|job|number|key)|ignore (?:that|it|this)|"
    r"falsa alarma|me equivoque|fue un error)\b", re.IGNORECASE)
_NO: Final = (r"\b(?:no|not|nobodys?|noones?|no ones?|none|nothing|never|(?:did|do|does|was|is|were)(?:nt| not)|"
              r"without|aint)\b(?:(?!\b(?:but|more|longer|now)\b)[^.;!?,]){0,24}?")
_STILL: Final = re.compile(r"\b(?:any ?more|no longer|now|right now|from here|outside|yet|but)\b", re.IGNORECASE)


def _denial(named: str, meant: str) -> re.Pattern[str]:
    """Of a danger as it is `named`, or what was `meant` by the words."""
    return re.compile(rf"{_NO}\b(?:{named})\b|\b(?:{meant})\b", re.IGNORECASE)


_DENIED: Final = {
    "shock": _denial(r"shock\w*|zap\w*|jolt\w*|electr\w+|tingl\w*",
                     r"shock absorbers?|i (?:said|meant|mean) (?:the|a) (?:\w+ )?(?:part|shocks|belt)|"
                     r"(?:drum|drive|new|spare) belt"),
    "flood": _denial(r"flood\w*", r"(?:just|only) (?:a |some |a few |a little )*(?:drips?|drops?|damp)"),
    "gas": _denial(r"smell\w*|leaks?|odou?r|gas(?= *$)", r"(?:heats?|runs?|works?) (?:with|on|by) gas"),
    "injury": _denial(r"hurt\w*|injur\w*|bleed\w*|harm\w*|burn(?:t|ed)|cut",
                      r"i (?:said|meant|mean) (?:the|its the) (?:\w+ )?(?:dishes|plates|clothes|load|machine|"
                      r"dishwasher|dryer|part)"),
    "co": _denial(r"alarms?|monoxide|co", r"the (?:drain|water) alarm"),
    "refrigerant": _denial(r"refrigerant|freon|leak\w*|hiss\w*|puncture\w*|nicked", r"the (?:steam|air|water) hiss\w*"),
    "fire": _denial(r"fire|flames?|burn\w*|spark\w*", "fired")}
"""How people say that it was heard wrongly: 'nobody got a shock', 'no, just a drip'."""


def _denies(hazard: str, text: str) -> bool:
    """Whether words say that the danger that was heard is none; that it is over is another matter."""
    denied = _DENIED.get(hazard)
    return denied is not None and denied.search(text) is not None and _STILL.search(text) is None


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
    """'False alarm', 'nobody got a shock', said to the danger that was told last: it is asked back. True if so."""
    question = turn.job.question
    if question is None or question.kind != "hazard":
        return False
    said = drop_apostrophes(text)
    denied = _denies(question.data["hazard"], said) and hazard_answer(said, question.values) is None
    return (denied or _MISTAKE.search(said) is not None) and asks_whether_slip(turn)


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
