"""Who is a step ahead: the repair is done before it was begun with us, or has failed before it was said to be done."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.job import Question
from bot.conversation.phases import Move
from bot.conversation.questions.asking import put_again
from bot.conversation.repair.finding import current_repair
from bot.conversation.repair.proof import joins_beside_work
from bot.conversation.repair.repairing import answer_finding, answer_repair, answer_repair_failed, stuck
from bot.conversation.told.before_asked import file_what_comes
from bot.conversation.turn import Turn
from bot.conversation.wording.mended import how_it_went, told_of_repair
from bot.conversation.wording.over import over_in
from bot.conversation.wording.ways import way_of
from bot.language.answers.about import stems
from bot.language.words.forms import stem
from bot.language.words.text import drop_apostrophes, plain_words

_NOT_YET: Final = re.compile(
    r"\b(not|no|nobody|noone|never|nothing|dont|didnt|havent|hasnt|isnt|wasnt|cant|wont|still|need|needs|will|ill|going|"
    r"gonna|should|before|if|when|last)\b|\?", re.IGNORECASE)


_SETS_ABOUT: Final = re.compile(
    r"^\W*(?:(?:ok|okay|yep|yes|yeah|sure|right|alright|cool|so|well|im|i am|ill|i will|we|were|we are|well|gonna|"
    r"going to|let me|lemme|now|just|then|i)\W+)*"
    r"(?P<verb>[a-z]{3,})(?: (?:it|them|that|this|the|her|both|out|off|down|back))+\b", re.IGNORECASE)
_WHO_NOT: Final = re.compile(
    r"\?|\b(?:not|never|dont|wont|cant|didnt|doesnt|no|if|they|customer|cust|owner|saturday|tomorrow|later)\b",
    re.IGNORECASE)


def _sets_about(turn: Turn, text: str) -> bool:
    """'Ok moving it to the kitchen': whether words begin with a thing that the repair on the table has one do."""
    plain = drop_apostrophes(text)
    found = _SETS_ABOUT.match(plain)
    if found is None or _WHO_NOT.search(plain):
        return False
    entry = current_repair(turn)
    named = (word for line in (entry.name, *entry.steps, *entry.cautions) for word in plain_words(line))
    return _root(found["verb"]) in map(_root, named)


def _root(verb: str) -> str:
    """'mov' of 'moving', 'moved' and 'move'."""
    return stem(verb.lower()).rstrip("e")


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
    if "do_it" in question.values and value is None and _sets_about(turn, text):
        answer_finding(turn, "do_it")
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
