"""An answer that stands in one part of a line, where all of the line answers nothing: 'came all at once, after a
party', 'its about the water coming in. the plumber was here last week'."""

from __future__ import annotations

from typing import Final

from bot.conversation.job import Question
from bot.conversation.questions.worded import answer_to
from bot.conversation.told.readings import tells_reading
from bot.conversation.turn import Turn
from bot.language.answers.about import parts_of
from bot.language.answers.open_circuit import tells_continuity, tells_open
from bot.language.meaning import Answer
from bot.language.understand import understand

SURELY: Final = 0.95
"""How sure the part has to be. Judgement: a part alone says less than a line."""


def in_one_part(turn: Turn, question: Question, text: str) -> tuple[str, Answer] | None:
    """The one result that parts of a line surely tell of the one check that is asked, with the part: the first, or one
    towards which all of the line leans. Where all of it tells another, it has to be clearly less sure of that: 'float
    clicks fine. its the board i tell ya, burnt'. Readings are shared out elsewhere."""
    parts = parts_of(text)
    if len(parts) < FEWEST or len(question.checks) != 1:
        return None
    key = question.checks[0]
    if turn.pack.checks[key].reading is not None or "meter" in turn.pack.checks[key].tools:
        return None
    if any(tells_reading(part) or tells_open(part) or tells_continuity(part) for part in parts):
        return None
    heard = [(part, answer_to(turn, key, part)) for part in parts]
    told = [(part, its) for part, its in heard if its.result is not None and not _the_trouble(turn, part)]
    if len({its.result for _, its in told}) != 1 or any(its.near for _, its in heard if its.result is None):
        return None
    part, its = max(told, key=lambda one: one[1].p)
    whole = answer_to(turn, key, text)
    if its.p < SURELY or (part != parts[0] and (not whole.near or whole.near[0].id != its.result)):
        return None
    if whole.result is not None and (whole.result == its.result or whole.p > its.p - CLEARLY):
        return None
    return part, its


def _the_trouble(turn: Turn, part: str) -> bool:
    """Whether a part tells what is complained of once more: 'wont spin, all the rest works' shows no basket by hand."""
    stands = {fact.subject for fact in turn.job.standing("complaint")}
    heard = understand(turn.context.release.index, part, family=turn.job.family)
    return bool(stands & {guess.id for guess in heard.complaints})


CLEARLY: Final = 0.05
"""How much less sure. Judgement."""
FEWEST: Final = 2
"""Parts of a line of which one may be the answer."""
