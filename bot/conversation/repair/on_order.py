"""Words about a part on order: no plate, no day, on its way, the wrong one, here and not to be fitted yet."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.job import Question
from bot.conversation.questions.asking import put
from bot.conversation.repair.repairing import answer_waiting
from bot.conversation.repair.waiting import CHOICES, answer_due, answer_plate, ask_day, day_after, day_in_words
from bot.conversation.turn import Turn
from bot.conversation.wording.ways import says_arrived, way_of
from bot.language.words.text import drop_apostrophes

_NO_PLATE: Final = re.compile(
    r"\bno (?:label|plate|sticker|tag|model|serial|number)\b|"
    r"\b(?:cant|can not|cannot|couldnt|unable to) (?:read|find|see|make|get)\b|"
    r"\b(?:gone|missing|worn|rubbed|torn|peeled|faded|illegible|unreadable|not there|painted over|blank)\b|"
    r"\b(?:too|very) (?:dark|dirty|small|rusty|worn)\b|^(?:nope|nah|dunno|n/?a|not there|dont have (?:it|that|them))\b")
_SUPPLIER: Final = r"(?:they|supplier|vendor|shop|office|store|warehouse)"
_NO_DAY: Final = re.compile(
    rf"\bback ?order(?:ed)?\b|\b{_SUPPLIER} (?:dont|doesnt|cant|didnt|wont|wouldnt) (?:know|say|tell)\b|"
    rf"\b(?:{_SUPPLIER}|he|she)(?: will|ll| gonna)? (?:rings?|calls?|text|let me know)\b|"
    r"\bno(?:body knows| (?:date|day|eta|clue))\b|^(?:n/?a|asap|tba|tbd|unknown|open|whenever|soon|depends)\b|"
    r"\bwhen (?:they|it) (?:call|ring|come|get)s?\b")
_WRONG: Final = re.compile(
    r"\bwrong (?:part|one|thing|size|model)\b|\bnot the right (?:part|one)\b|\bdoesnt fit\b|"
    r"\b(?:came|come|arrived|part is|its|it was|is|got it) (?:in )?(?:but )?(?:its |it is |is )?"
    r"(?:broken|damaged|cracked|smashed|bent|doa|defective)\b|"
    r"\bsent (?:me |us )?(?:the|a) (?:wrong|broken|cracked)\b")
_CALLED_OFF: Final = re.compile(
    r"\b(?:order|supplier|vendor|warehouse)\b.{0,20}\b(?:cancel\w*|lost it|lost the)\b|"
    r"\bout of stock\b|\bdiscontinued\b")
_ELSEWHERE: Final = re.compile(
    rf"\b{_SUPPLIER} (?:has|have|got) (?:it|the part|one)\b|"
    r"\b(?:at|in) the (?:shop|store|warehouse|depot|office|counter|post)\b|"
    r"\b(?:shipped|dispatched|in transit|on (?:its|the) way|out for delivery)\b|"
    r"\b(?:not|isnt|aint) (?:here|there|arrived|come)\b|\b(?:hasnt|havent|didnt) (?:come|arrived?|got|shown)\b|"
    r"\bpick(?:ing)? it up\b")
_NOT_NOW: Final = re.compile(r"\b(?:but|cant|wont|another job|other job|not on site|not there|later|until|till?)\b")
_HERE: Final = re.compile(
    r"(?:(?:ok|yes|yep|good)\W+)?(?:its|it is|parts|part is|the part is|the parts) (?:in|here)(?: now)?\W*")
_ASKS: Final = re.compile(
    r"(?:(?:so|ok|hey|hi|and|well)\W+)*(?:wheres?\b|any (?:news|word|sign|update|eta)\b|(?:what|how) about\b|"
    r"whats (?:up|happening|going on|the (?:news|word|status))\b|when (?:is|does|do|will|can)\b|"
    r"(?:is|has|did) (?:my|our|the|that|it|they)\b.*\b(?:in|here|come|came|arrived?|ready|shipped|sent?)\b)")
"""For news of the part, with or without a question mark: news comes from the tech."""
_NAMES_DAY: Final = re.compile(r"^\D+$")


def of_the_order(turn: Turn, question: Question, text: str) -> bool:
    """Deal with words about a part that is ordered. True if they were some."""
    said = drop_apostrophes(text.lower()).strip()
    known = {"plate": _at_plate, "due": _at_day, "waiting": _while_waiting}.get(question.kind)
    if known is None or not known(turn, question, said):
        return False
    turn.place(misses=0)
    return True


def _at_plate(turn: Turn, question: Question, said: str) -> bool:
    """A plate that cannot be read is none; a day told ahead is the day."""
    if _NAMES_DAY.fullmatch(said) and day_in_words(turn, said):
        return True
    if any(c.isdigit() for c in said) or _NO_PLATE.search(said) is None:
        return False
    answer_plate(turn, None)
    return True


def _at_day(turn: Turn, question: Question, said: str) -> bool:
    if _NO_DAY.search(said) is None or day_in_words(turn, said):
        return turn.job.question is not question
    answer_due(turn, "dont_know")
    return True


def _while_waiting(turn: Turn, question: Question, said: str) -> bool:
    """What is here is fitted; what is on its way, wrong or called off is waited for, and said so."""
    if _ASKS.match(said) or (said.endswith("?") and says_arrived(said)):
        still_waits(turn, "waiting.you_tell")
    elif _WRONG.search(said) or _CALLED_OFF.search(said):
        order_again(turn)
    elif _HERE.fullmatch(said):
        answer_waiting(turn, "arrived")
    elif says_arrived(said) and _NOT_NOW.search(said):
        here_not_now(turn, said)
    elif _ELSEWHERE.search(said) or way_of("waiting", said) == "not_yet":
        not_come(turn, question, said)
    else:
        return turn.job.question is not question
    return True


def order_again(turn: Turn) -> None:
    """The wrong part came, or none will: the right one is ordered, and when it should be there is asked."""
    turn.close_question()
    turn.note("waiting.order_again")
    ask_day(turn)


def here_not_now(turn: Turn, said: str) -> None:
    """It has come, and is fitted later: on the day that is told, if one is."""
    if not day_after(turn, said):
        still_waits(turn, "waiting.have_it")


def not_come(turn: Turn, question: Question, said: str) -> None:
    """It has not come: a day that is told is kept; on the day itself it is asked for when it is now."""
    if day_in_words(turn, said):
        return
    if "not_yet" in question.values:
        answer_waiting(turn, "not_yet")
    else:
        still_waits(turn, "waiting.on_its_way")


def still_waits(turn: Turn, key: str) -> None:
    """A word on it, and on with waiting."""
    turn.close_question()
    turn.note(key)
    put(turn, "waiting", CHOICES)
