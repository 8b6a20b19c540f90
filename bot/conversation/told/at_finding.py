"""A finding that was looked at already: 'free, nothing in there' where a blocked pump is named; what brought it on."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.facts import evidence_of, situation_of
from bot.conversation.intake import file_heard
from bot.conversation.questions.asking import put_again
from bot.conversation.questions.worded import answer_to, speaks_of
from bot.conversation.told.suspected import names_its_part
from bot.conversation.turn import Turn
from bot.diagnosis.advice import check_that_shows
from bot.language.answers.about import stems
from bot.language.answers.unasked import NOT_TOLD, SURE
from bot.language.meaning import HeardResult

FEWEST: Final = 2
"""Words of a line that can tell what a look showed, or what brought it on."""


def tells_cause(turn: Turn, text: str) -> bool:
    """'City worked on the main' where a finding had asked whether somebody worked on the pipes. True if words were on
    that, and the finding's own question was put again."""
    question, fault = turn.job.question, turn.job.position.fault
    if question is None or question.kind not in {"finding", "repair"} or fault is None or len(text.split()) < FEWEST:
        return False
    asked = [cause.ask for cause in turn.pack.faults[fault].root_causes if cause.ask is not None]
    if not stems(text) & stems(" ".join(asked)):
        return False
    turn.place(misses=0)
    turn.note("finding.cause_told")
    put_again(turn, question)
    return True

_NO_SUCH: Final = re.compile(r"(?:no|not|without|sin) [\w-]+\W*", re.IGNORECASE)
"""'No plate': it says of something that it is not there, and of no part how it is."""


def tells_what_it_showed(turn: Turn, text: str) -> bool:
    """File what words say, that nothing else could be made of, on the check that shows the fault itself, or else on the
    one that knows of it and that they are on. True if they did."""
    question, fault = turn.job.question, turn.job.position.fault
    if question is None or question.kind not in {"finding", "repair"} or fault is None or len(text.split()) < FEWEST:
        return False
    if names_its_part(turn, fault, text):
        turn.place(misses=0)
        turn.note("finding.that_one")
        put_again(turn, question)
        return True
    check = check_that_shows(turn.model, evidence_of(turn.job), situation_of(turn.job, turn.context), fault)
    heard = None if check is None else answer_to(turn, check, text)
    if check is None or heard is None or heard.result is None or heard.p < SURE:
        return _tells_of_another_look(turn, fault, text)
    if _NO_SUCH.fullmatch(text.strip()) and not speaks_of(turn, check, text):
        return False
    turn.place(misses=0)
    file_heard(turn, HeardResult(check, heard.result, heard.p))
    turn.go_on = True
    return True


def _tells_of_another_look(turn: Turn, fault: str, text: str) -> bool:
    """'Pulled the switches off and it quit' where they are named: what another look at that fault showed, where the
    words are on one of them alone. True if it was filed."""
    answered = {fact.subject for fact in turn.job.standing("result")}
    told: list[HeardResult] = []
    if NOT_TOLD.search(text):
        return False  # 'cut back n new wire nut' is what was done
    for key, check in turn.pack.checks.items():
        if key in answered or fault not in check.likelihoods or not speaks_of(turn, key, text):
            continue
        heard = answer_to(turn, key, text)
        if heard.result is not None and heard.p >= SURE:
            told.append(HeardResult(key, heard.result, heard.p))
    if len(told) != 1 or file_heard(turn, told[0]) is None:
        return False
    turn.place(misses=0)
    turn.go_on = True
    return True
