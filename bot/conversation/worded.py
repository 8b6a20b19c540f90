"""What words say as an answer to a check of the machine at hand."""

from __future__ import annotations

from typing import Final

from bot.conversation.turn import Turn
from bot.language.about import about
from bot.language.answers import answer
from bot.language.meaning import Answer

TOUCHED: Final = 0.5
"""Weight of a check's own words from which on a text has to do with it."""


def answer_to(turn: Turn, key: str, text: str, *, aside: bool = False) -> Answer:
    """What a text says as an answer to a check."""
    return answer(turn.context.release.index, turn.job.family or "", key, text, given(turn), aside=aside)


def speaks_of(turn: Turn, key: str, text: str) -> bool:
    """Whether words speak of a check's part or question at all."""
    return about(turn.context.release.index, turn.job.family or "", text, (key,)).get(key, 0.0) >= TOUCHED


def given(turn: Turn) -> dict[str, float]:
    """Plate values and temperatures that were told."""
    return {f.subject: f.number for f in turn.job.standing("given") if f.number is not None}
