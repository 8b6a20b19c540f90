"""'Shipping bolts still in' where the tub is pushed down: a line that is letter by letter what another look shows."""

from __future__ import annotations

from typing import Final

from bot.conversation.job import Question
from bot.conversation.turn import Turn
from bot.language.answers.likeness import own_words
from bot.language.meaning import HeardResult, Meaning
from bot.language.words.text import plain_words

FEW: Final = 2
"""Words of a line that may be an answer to anything."""


def whole_of_another(turn: Turn, question: Question, text: str, meaning: Meaning) -> HeardResult | None:
    """The result of another check that the whole line is a way to say, that one's alone, whatever it is like here; None
    where what is asked is answered so, too. What a meter shows has other rules."""
    if len(text.split()) <= FEW or _is_way(turn, question, text):
        return None
    for told in meaning.results:
        clue = next((c for c in meaning.clues if c.meaning == f"result:{told.check}={told.result}"), None)
        if told.check in question.checks or clue is None or clue.end <= clue.start:
            continue
        left = text[:clue.start] + text[clue.end:]
        if not any(c.isalnum() for c in left) and "meter" not in turn.pack.checks[told.check].tools:
            return told
    return None


def _is_way(turn: Turn, question: Question, text: str) -> bool:
    said = plain_words(text)
    return any(said == plain_words(way) for check in (turn.pack.checks[key] for key in question.checks)
               for result in check.results for way in own_words(check, result))
