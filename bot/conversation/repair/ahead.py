"""Who is a step ahead: the repair is done before it was begun with us, or has failed before it was said to be done."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.job import Question
from bot.conversation.phases import Move
from bot.conversation.questions.asking import put_again
from bot.conversation.repair.proof import joins_beside_work
from bot.conversation.repair.repairing import answer_repair, answer_repair_failed, stuck
from bot.conversation.told.before_asked import file_what_comes
from bot.conversation.turn import Turn
from bot.conversation.wording.mended import how_it_went, told_of_repair
from bot.conversation.wording.over import over_in
from bot.conversation.wording.ways import way_of
from bot.language.answers.about import stems
from bot.language.words.text import drop_apostrophes

_NOT_YET: Final = re.compile(
    r"\b(not|no|nobody|noone|never|nothing|dont|didnt|havent|hasnt|isnt|wasnt|cant|wont|still|need|needs|will|ill|going|"
    r"gonna|should|before|if|when|last)\b|\?", re.IGNORECASE)


def says_done(text: str) -> bool:
    """Whether words tell of a repair that is done, and not of one that is not, or was not."""
    return way_of("repair", text) == "done" and not _NOT_YET.search(drop_apostrophes(text))


def _tried_the_same(turn: Turn, text: str) -> bool:
    """'Still locked, cool now' where nothing but time and a reset was wanted: it was tried, and it is the same."""
    if how_it_went(text) == "same":
        return True
    found = _STILL.search(drop_apostrophes(text))
    if found is None:
        return False
    told = [turn.pack.complaints[fact.subject] for fact in turn.job.standing("complaint")
            if fact.subject in turn.pack.complaints]
    return bool(stems(found["what"]) & stems(" ".join(f"{one.says} {one.label}" for one in told)))


_STILL: Final = re.compile(r"\bstill (?:the |is |its |it )?(?P<what>\w+(?: \w+)?)", re.IGNORECASE)


def ahead_of_us(turn: Turn, question: Question, text: str, value: str | None) -> bool:
    """'Cleaned it' before it was said to be begun, 'still hums' before it was said to be done, 'order it' where nothing
    is: each taken for what it tells. True if the text was one."""
    if question.kind == "repair":
        how = how_it_went(text)
        tells = told_of_repair(text, asked_for=True) is not None or over_in(text) is not None
        if question.data.get("stuck") and value is None and not tells and how is None and "?" not in text:
            stuck(turn)  # on what, that was asked
            return True
        if value not in {None, "done"} or (how != "same" and (value or not tells)):
            return False
        if how == "same":
            complained = {fact.subject for fact in turn.job.standing("complaint")}
            answer_repair_failed(turn)
            file_what_comes(turn, text)
            joins_beside_work(turn, text, complained)
        else:
            answer_repair(turn, "done")
        return True
    if not {"do_it", "clean_only", "no_part"} & set(question.values):
        return False
    if "do_it" in question.values and value is None and _tried_the_same(turn, text):
        turn.close_question()
        turn.move(Move.NOTHING_TO_PAY)
        answer_repair_failed(turn)
        file_what_comes(turn, text)
        return True
    if value in {"got_part", "order"} and "do_it" in question.values:
        turn.note("finding.no_part")
        put_again(turn, question)
        return True
    if value in {None, "clean_only", "no_part"} and says_done(text):
        turn.close_question()
        turn.move(Move.NOTHING_TO_PAY)
        answer_repair(turn, "done")
        return True
    return False
