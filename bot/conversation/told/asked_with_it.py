"""What was asked in one go with the open question, and answered late: 'backs up' while the coil beside it is asked."""

from __future__ import annotations

from bot.conversation.facts import evidence_of
from bot.conversation.intake import file_heard
from bot.conversation.questions.worded import answer_to
from bot.conversation.turn import Turn
from bot.diagnosis.setting import holds_as_told
from bot.language.answers.unasked import SURE
from bot.language.meaning import HeardResult


def takes_asked_with_it(turn: Turn, text: str) -> bool:
    """File words that answer nothing that is open, but one of the checks behind the same cover that were put together
    with it and have no answer yet. True if they did."""
    question = turn.job.question
    if question is None or question.kind != "check":
        return False
    heard = [(key, answer_to(turn, key, text)) for key in _put_together(turn, question.checks)]
    found = [HeardResult(key, its.result, its.p) for key, its in heard if its.result is not None and its.p >= SURE]
    if len(found) != 1 or file_heard(turn, found[0]) is None:
        return False
    turn.place(misses=0)
    turn.go_on = True
    return True


def _put_together(turn: Turn, open_now: tuple[str, ...]) -> list[str]:
    """The checks of the last questions that asked several in one go, one of them open now, less what is settled."""
    settled = {fact.subject for fact in turn.job.standing("result", "declined", "cannot")} | set(open_now)
    evidence = evidence_of(turn.job)
    batches = [asked.question.checks for asked in turn.job.asked if asked.question.kind == "check"
               and len(asked.question.checks) > 1 and set(asked.question.checks) & set(open_now)]
    return [key for key in dict.fromkeys(key for batch in batches for key in batch)
            if key not in settled and holds_as_told(turn.pack.checks[key], evidence)]
