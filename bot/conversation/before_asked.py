"""Answers given while we still ask what kind of machine it is: 'runs, basket just sits there' is what a run shows."""

from __future__ import annotations

from typing import Final

from bot.conversation.facts import evidence_of, situation_of
from bot.conversation.intake import file_heard
from bot.conversation.turn import Turn
from bot.conversation.worded import answer_to, speaks_of
from bot.diagnosis.belief import believe
from bot.language.meaning import HeardResult
from bot.language.unasked import SURE

NEXT: Final = 5
"""How many of the checks that would come next are listened for."""


def answers_what_comes(turn: Turn, text: str) -> bool:
    """File words that answer one of the checks that come next, and no other of them. True if they did."""
    question = turn.job.question
    if question is None or question.kind != "variant":
        return False
    heard = [(key, answer_to(turn, key, text)) for key, check in turn.pack.checks.items()
             if check.kind == "run" and speaks_of(turn, key, text)]
    found = [HeardResult(key, its.result, its.p) for key, its in heard if its.result is not None and its.p >= SURE]
    if not found:
        return False
    coming = _coming(turn)
    found = [result for result in found if result.check in coming]
    return len(found) == 1 and file_heard(turn, found[0]) is not None


def _coming(turn: Turn) -> list[str]:
    """The checks that the plan would take next, best first."""
    evidence = evidence_of(turn.job)
    decision = turn.context.adviser(turn.model, evidence, believe(turn.model, evidence),
                                    situation_of(turn.job, turn.context), None)
    return [option.id for option in decision.options if option.do == "check"][:NEXT]
