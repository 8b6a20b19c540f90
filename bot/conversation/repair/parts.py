"""Words about the part itself: it came before it was asked for, or it is the wrong one."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.job import Question
from bot.conversation.repair.finding import current_repair
from bot.conversation.repair.repairing import answer_finding, answer_waiting, wrong_part
from bot.conversation.safety.hazards import has_the_part
from bot.conversation.turn import Turn
from bot.conversation.wording.ways import says_arrived, says_wrong_part, way_of
from bot.language.answers.about import stems
from bot.language.words.text import drop_apostrophes

_MISFITS: Final = re.compile(
    r"\b(too|bit|lot|inch(es)?|way) (too )?(short|long|small|big|large|wide|narrow|thick|thin|tall)\b|"
    r"\bwrong (size|length|model|plug|connector|rating|voltage|color|kind|type|side)\b|"
    r"\b(doesnt|dont|does not|didnt|wont) (match|fit|line up|go on|plug in)\b|"
    r"\bfor (a|another|the other|some other) (other |different )?(model|machine|brand)\b|muy (cort|larg|chic|grand)\w+")
_WRONG: Final = re.compile(r"\b(wrong|not the right|different|incorrect)( \w+){1,3}\b")


def tells_wrong_part(turn: Turn, text: str) -> bool:
    """Whether words say that what was brought is not the part, also by its name: 'wrong belt', 'belt is too short'."""
    question = turn.job.question
    if question is None or question.kind != "repair" or turn.job.position.fault is None:
        return False
    parts = current_repair(turn).parts
    said = drop_apostrophes(text.lower())
    if not parts or says_wrong_part(said):
        return bool(parts)
    named = frozenset(word for part in parts for word in stems(part))
    wrong = _WRONG.search(said)
    if wrong is not None and named & stems(wrong.group()):
        return True
    return _MISFITS.search(said) is not None and bool((named | {"part"}) & (stems(said) | set(said.split())) or
                                                      re.search(r"\b(its?|this|that|one|they sent)\b", said))


_HAS_IT: Final = re.compile(
    r"\b(?:got|have|ive got|brought|carry|picked up|theres|heres|here is|tengo)"
    r"(?: (?:the|a|an|one|my|his|new|spare|that|right|good|correct|another))*(?P<what>(?: \w+){1,4})", re.IGNORECASE)
_NEEDS_IT: Final = re.compile(
    r"\b(?:need|needs|gotta get|have to get|get me|send me|send|pick up|order|dont have|do not have|havent got|"
    r"aint got|no)(?: (?:to|get|order|the|a|an|one|new|spare|that|another))*(?P<what>(?: \w+){1,4})", re.IGNORECASE)


def has_or_needs_by_name(turn: Turn, text: str) -> str | None:
    """'Got the switch', 'need a heater' at a finding that names it: at hand, or to order; None for neither."""
    said = drop_apostrophes(text.lower())
    named = frozenset(word for part in current_repair(turn).parts for word in stems(part))
    for value, way in (("order", _NEEDS_IT), ("got_part", _HAS_IT)):
        found = way.search(said)
        if found is not None and named & stems(found["what"]):
            return value
    return None


def of_the_part(turn: Turn, question: Question, text: str) -> bool:
    """Deal with words about the part, whatever is asked just now. True if they were some."""
    if question.kind == "finding" and "got_part" in question.values and has_the_part(turn, text) and (
            way_of("finding", text) in {None, "got_part"}):
        turn.place(misses=0)
        answer_finding(turn, "got_part")
        return True
    if question.kind == "repair":
        told = tells_wrong_part(turn, text)
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
