"""Questions back: 'where is that fuse', 'what do you mean by growl', 'how much is it again'."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.repair.finding import ask_consent
from bot.conversation.steering.acts import steer
from bot.conversation.steering.words import Steer
from bot.conversation.turn import Turn

_MEANING: Final = re.compile(
    r"\bwhat do (you|u|ya) mean\b|\bwhat does .{1,30} mean\b|\bque quieres decir\b", re.IGNORECASE)
_BACK: Final = re.compile(
    rf"^\W*(where|what|which|how|hows|whats|wheres|donde|que|como|cual|cuanto)\b|{_MEANING.pattern}", re.IGNORECASE)
_OF_PRICE: Final = re.compile(r"\b(how much|price|cost|costs|cuanto)\b", re.IGNORECASE)


def asks_meaning(text: str) -> bool:
    """Whether words ask what was meant: they answer nothing, whatever of the question they repeat."""
    return _MEANING.search(text) is not None


def asked_back(turn: Turn, text: str) -> bool:
    """A question that none of the steering words is: how to do it, or the price once more. True if that was said."""
    question = turn.job.question
    if question is None or not _BACK.search(text):
        return False
    if question.kind == "consent" and _OF_PRICE.search(text):
        ask_consent(turn, to_order=bool(question.data.get("to_order")))
    elif question.kind in {"check", "repair"}:
        steer(turn, Steer.HOW)
    else:
        return False
    return True
