"""What a clear answer says besides: builds, other results, readings of other parts."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from bot.conversation.events import Typed
from bot.conversation.intake import absorb
from bot.conversation.job import Question
from bot.conversation.questions.worded import answer_to
from bot.conversation.told.besides import measured
from bot.conversation.told.readings import tells_reading
from bot.conversation.told.unasked import take_unasked
from bot.conversation.turn import Turn
from bot.conversation.wording.corrects import CORRECTING
from bot.language.answers.about import parts_of
from bot.language.answers.likeness import own_words
from bot.language.answers.open_circuit import tells_open
from bot.language.meaning import HeardResult, Meaning

SHORT: Final = 6
"""Words of an answer in one piece up to which it tells of nothing else."""
LONG: Final = 12
"""Words of an answer from which on it may tell of other things too."""


def file_besides_answer(turn: Turn, meaning: Meaning, question: Question) -> None:
    """What a clear answer says besides: variants, other results, and in a long one what works; its symptoms are the
    answer itself. It takes no trouble back that stands, unless it says that it corrects. What is unsafe has to be said
    in so many words (`told/of_another.py`)."""
    words = len(turn.event.text.split()) if isinstance(turn.event, Typed) else 0
    said_more = words > SHORT or (isinstance(turn.event, Typed) and len(parts_of(turn.event.text)) > 1)
    said = turn.event.text if isinstance(turn.event, Typed) else ""
    absorb(turn, replace(meaning, complaints=measured(turn, question, said), denied=(
        _works_besides(turn, meaning, said) if words >= LONG else ()), results=tuple(
        r for r in meaning.results if said_more and r.check not in question.checks and r.p >= 0.8
        and not (r.result and turn.pack.checks[r.check].results[r.result].unsafe)
        and (words > SHORT or not turn.pack.checks[r.check].results[r.result].complaints)
        and _of_what_is_told(turn, meaning, r)
        and not _told_by_answer(turn, question, r))))


def _of_what_is_told(turn: Turn, meaning: Meaning, beside: HeardResult) -> bool:
    """Whether what takes a complaint apart is heard where that complaint is surely told: 'the lock clunks' while it is
    asked what the lock does is no noisy machine, and so no drum that clunks."""
    apart = turn.pack.checks[beside.check].told
    return not apart or any(guess.id in apart and guess.p >= SURELY for guess in meaning.complaints)


SURELY: Final = 0.9
"""How sure a complaint has to be, in words that answer something else, before more is heard of it in them."""


def _works_besides(turn: Turn, meaning: Meaning, text: str) -> tuple[str, ...]:
    """What a long answer denies: no complaint that stands, unless it corrects ('fan turns nice n quiet' of a range that
    squeaks), and no noise where it tells of none."""
    stands = {fact.subject for fact in turn.job.standing("complaint")} if not CORRECTING.search(text) else set()
    return tuple(denied for denied in meaning.denied if denied not in stands and (
        denied != "noisy" or _NOISELESS.search(text)))


_NOISELESS: Final = re.compile(
    r"\b(?:quiet\w*|silent\w*|nois\w+|racket|loud\w*|squeal\w*|squeak\w*|grind\w*|rattl\w*|hum\w*|bang\w*|ruido\w*)\b",
    re.IGNORECASE)


def _told_by_answer(turn: Turn, question: Question, beside: HeardResult) -> bool:
    """Whether the words of the answer alone tell it: a unit that shows no light is dead, and was not run besides."""
    said = turn.event.text.lower() if isinstance(turn.event, Typed) else ""
    filed = {fact.subject: fact.value for fact in turn.job.standing("result")}
    ways = {way for key in question.checks if key in filed for way in own_words(turn.pack.checks[key], filed[key])}
    return any(way in said for way in ways.intersection(own_words(turn.pack.checks[beside.check], beside.result)))


def take_readings_beside(turn: Turn, text: str, question: Question) -> None:
    """'Belt grips. actuator reads open': a reading beside the answer that is none of what is asked."""
    parts = parts_of(text)
    for part in parts if len(parts) > 1 else ():
        if turn.job.question is not None or not (tells_open(part) or tells_reading(part)):
            continue
        heard = [answer_to(turn, key, part) for key in question.checks]
        if all(its.result is None and (its.heard is None or its.heard.value is None) for its in heard):
            take_unasked(turn, part)
    turn.go_on = turn.go_on and turn.job.question is None
