"""A plain yes or no to a check's question as it was put: 'Does the machine rock?' 'Yep, a bit.'

What it means stands in the pack (`yes`, `no` of a check), since nothing else tells whether a 'no' is good news. The
second time a check is mostly asked by its choices ('Firm, or does a foot tap?'), to which a yes answers nothing.
"""

from __future__ import annotations

import re
from typing import Final, Literal

from bot.conversation.events import PhotoSent
from bot.conversation.job import Question
from bot.conversation.questions.worded import answer_to
from bot.conversation.turn import Turn
from bot.language.meaning import Answer
from bot.language.readings.read import read
from knowledge.schema import Check

LONGEST: Final = 8
"""Words of an answer that is taken as a plain yes or no."""
AS_ASKED: Final = 0.9
"""How surely a plain yes or no answers the question as it was put."""
_YES: Final = r"yes+|yep|yeah|yea|yup|ya|si|sí|affirmative|correct"
_NO: Final = r"nope|nah|naw|negative|neither"
_NO_ANSWER: Final = re.compile(
    r"\b(?:but|except|yet|wait|hold on|let me|havent|haven'?t|unplugged|plugged|no (?:change|problem|worries)|yeah nah|"
    r"though|tho|almost|nearly|half)\b", re.IGNORECASE)
"""What was done, or a yes that takes something back."""
_BARE: Final = re.compile(
    rf"^\W*(?:(?:{_YES}|{_NO}|no+|none|nothing|never)(?: (?:sir|maam|mate|man|bud|buddy|boss|m8|bro|(?:not )?at all))?|"
    rf"(?:(?:{_YES}|{_NO}|no),? )?(?:it|they|she|he|there) (?:sure )?(?:does|do|did|is|are|doesn'?t|don'?t|didn'?t|"
    r"isn'?t|aren'?t|ain'?t|does not|do not|is not)|(?:it )?sure (?:does|do|is|are)|(?:i )?(?:don'?t )?think so|"
    r"(?:looks|seems) (?:like it|so))\W*$", re.IGNORECASE)
_OPENS: Final = re.compile(
    rf"^\W*(?:{_YES}|{_NO})\b|^\W*no+ ?[,.;:-]|^\W*no (?:it|they|its|not|sir|mate|man|bud)\b|"
    r"^\W*no (?:signs?|traces?|hint|evidence)\b|"
    r"^\W*(?:none|nothing|not (?:a|any|one))\b[\w' ]{0,12}\b"
    r"(?:see|find|spot|notice|trace|drop|bit|thing|speck|hint|all)\b", re.IGNORECASE)
"""How a yes or no begins that goes on. 'No power' and 'no sound' tell what is lacking and answer nothing else."""
_ALTERNATIVES: Final = re.compile(
    r"^(?!any\b).*\bor\b|^(?:and |then )?(?:what|which|where|when|how|who|why)\b", re.IGNORECASE)


def plain_word(text: str) -> Literal["yes", "no"] | None:
    """Whether a text is a yes or a no and tells little else."""
    if not (_BARE.search(text) or _OPENS.search(text)) or _NO_ANSWER.search(text):
        return None
    if "?" in text or len(text.split()) > LONGEST:
        return None
    special = read("yes_no", text).special
    return special if special in ("yes", "no") else None


def is_bare(text: str) -> bool:
    """Whether it tells nothing else at all."""
    return _BARE.search(text) is not None


def heard_as_asked(turn: Turn, question: Question, key: str, text: str) -> Answer:
    """What a text says as an answer to the open check; a plain yes or no means what the pack has for it."""
    check, photo = turn.pack.checks[key], isinstance(turn.event, PhotoSent)
    word = None if photo else plain_word(text)
    meant = _meant_by(check, question.asked, word) if word is not None else None
    if word is not None and is_bare(text) and (check.yes or check.no):
        return Answer(meant, AS_ASKED) if meant is not None else Answer()
    heard = answer_to(turn, key, text, aside=photo)
    if meant is not None and heard.result is None and heard.none is None and heard.heard is None:
        return Answer(meant, AS_ASKED)
    return heard


def says_it_twice(turn: Turn, question: Question, text: str) -> bool:
    """Whether a yes or no to the open check and the words beside it say the same: 'nope, bone dry'."""
    word = plain_word(text)
    if word is None or len(question.checks) != 1:
        return False
    meant = _meant_by(turn.pack.checks[question.checks[0]], question.asked, word)
    return meant is not None and answer_to(turn, question.checks[0], text).result == meant


def _meant_by(check: Check, asked: int, word: Literal["yes", "no"]) -> str | None:
    """The result that the word means, asked so often."""
    if asked > 1 and check.again is not None and _gives_choices(check.again):
        return None
    return check.yes if word == "yes" else check.no


def _gives_choices(question: str) -> bool:
    """Whether its last question is none that a yes or no answers."""
    last = re.split(r"(?<=[.:;?])\s+", question.strip())[-1]
    return _ALTERNATIVES.search(last) is not None or not last.endswith("?")
