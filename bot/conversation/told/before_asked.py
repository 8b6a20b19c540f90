"""Answers given while we still ask what kind of machine it is: 'runs, basket just sits there' is what a run shows."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Final

from bot.conversation.facts import evidence_of, situation_of
from bot.conversation.intake import file_heard
from bot.conversation.questions.worded import answer_to, speaks_of
from bot.conversation.told.of_another import has_whole
from bot.conversation.turn import Turn
from bot.conversation.wording.mended import besides_work
from bot.diagnosis.belief import believe
from bot.diagnosis.setting import holds_as_told
from bot.language.answers.about import stems
from bot.language.answers.unasked import SURE
from bot.language.meaning import HeardResult
from knowledge.schema import Check

_ONCE_MORE: Final = re.compile(
    r"\b(still|same|no|nope|not|wont|dont|doesnt|didnt|isnt|help|change|difference|again|thing|nothing|nothin|"
    r"nada|joy|luck|dice|there|just|but|and|done|she|"
    r"machine|washer|dryer|dishwasher|oven|range|fridge)\b")
_RUNS: Final = frozenset({"run", "time"})
"""Kinds of checks that a machine shows by running."""
PLAINLY: Final = 0.95
"""How sure the one run is that words beside a build are on."""
NEXT: Final = 5
"""How many of the checks that would come next are listened for."""


def answers_what_comes(turn: Turn, text: str) -> bool:
    """File words that answer one of the checks that come next, and no other of them. True if they did.

    What takes a tool or an open cover was not done unasked: 'small relay and overload' is no try with a good one.
    """
    question = turn.job.question
    if question is None or question.kind != "variant":
        return False
    found = _of_runs(turn, text, lambda check: check.kind == "run")
    if not found:
        return False
    coming = _coming(turn)
    found = [result for result in found if result.check in coming]
    return len(found) == 1 and file_heard(turn, found[0]) is not None


def tells_what_runs(turn: Turn, text: str) -> bool:
    """File what words say whole of the one run that they are on beyond doubt, once the build is known that has it:
    'glows but no flame' tells of a glow bar, and what it does. True if they did. What is unsafe is asked: 'plain lid
    switch' is a build, whatever it sounds like."""
    evidence = evidence_of(turn.job)
    found = _of_runs(turn, text, lambda check: check.kind in _RUNS and holds_as_told(check, evidence))
    if len(found) != 1 or found[0].p < PLAINLY:
        return False
    result = turn.pack.checks[found[0].check].results[found[0].result]
    return result.unsafe is None and has_whole(result, text) and file_heard(turn, found[0]) is not None


def _of_runs(turn: Turn, text: str, fits: Callable[[Check], bool]) -> list[HeardResult]:
    """What words tell of runs that take neither a tool nor an open cover."""
    heard = [(key, answer_to(turn, key, text)) for key, check in turn.pack.checks.items()
             if fits(check) and not check.tools and not check.access and speaks_of(turn, key, text)]
    return [HeardResult(key, its.result, its.p) for key, its in heard if its.result is not None and its.p >= SURE]


def file_what_comes(turn: Turn, text: str) -> None:
    """What the word on a repair says of the run that comes next: 'no, still hums' is what it shows."""
    text = besides_work(text)
    said = stems(_ONCE_MORE.sub(" ", text))
    told = [turn.pack.complaints[fact.subject] for fact in turn.job.standing("complaint")]
    if said <= {word for c in told for word in stems(f"{c.says} {c.label}")}:
        return  # 'still no spin' is the complaint once more
    for key in _coming(turn)[:1]:
        heard = answer_to(turn, key, text)
        if turn.pack.checks[key].kind in {"run", "listen"} and heard.result is not None and heard.p >= SURE:
            file_heard(turn, HeardResult(key, heard.result, heard.p))


def _coming(turn: Turn) -> list[str]:
    """The checks that the plan would take next, best first."""
    evidence = evidence_of(turn.job)
    decision = turn.context.adviser(turn.model, evidence, believe(turn.model, evidence),
                                    situation_of(turn.job, turn.context), None)
    return [option.id for option in decision.options if option.do == "check"][:NEXT]
