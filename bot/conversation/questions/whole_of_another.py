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
    """The result of another check that the whole line is a way to say, and that makes what is asked senseless: it goes
    before whatever the words are like here. None where what is asked is answered so, letter by letter, too."""
    if len(text.split()) <= FEW or _is_way(turn, question, text):
        return None
    for told in meaning.results:
        clue = next((c for c in meaning.clues if c.meaning == f"result:{told.check}={told.result}"), None)
        if told.check in question.checks or clue is None or clue.end <= clue.start:
            continue
        left = text[:clue.start] + text[clue.end:]
        moots = turn.pack.checks[told.check].results[told.result].moots if told.result else ()
        if not any(c.isalnum() for c in left) and set(question.checks) <= set(moots):
            return told
    return None


def _is_way(turn: Turn, question: Question, text: str) -> bool:
    said = plain_words(text)
    return any(said == plain_words(way) for check in (turn.pack.checks[key] for key in question.checks)
               for result in check.results for way in own_words(check, result))
