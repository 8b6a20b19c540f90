"""A correction part by part: 'sorry the element is ok, its the fuse thats open' takes one back and tells the other."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from bot.conversation.intake import file_heard
from bot.conversation.questions.checks import CLEAR, take_answer
from bot.conversation.questions.sharing import reading_of_another
from bot.conversation.questions.worded import answer_to
from bot.conversation.told.of_another import of_another
from bot.conversation.turn import Turn
from bot.language.answers.about import about, parts_of
from bot.language.answers.bands import usual


def put_right_by_part(turn: Turn, checks: Sequence[str], text: str) -> str | None:
    """The check whose result one part of a line takes back, when another part tells what it is instead; both are filed.
    None where no part calls good what one of `checks` found bad."""
    parts = [_turned(part) for part in parts_of(text)]
    if len(parts) < 2:
        return None
    weights = [about(turn.context.release.index, turn.job.family or "", part, checks) for part in parts]
    for key in checks:
        was = turn.job.result_of(key)
        check = turn.pack.checks.get(key)
        if check is None or was is None or was.value == usual(check):
            continue
        for part, weight in zip(parts, weights, strict=True):
            heard = answer_to(turn, key, part)
            if heard.result == usual(check) and heard.p >= CLEAR and weight.get(key, 0.0) >= max(
                    weight.values(), default=1.0):
                turn.close_question(closed="passed")
                take_answer(turn, key, heard, part)
                _take_instead(turn, key, [other for other in parts if other != part])
                return key
    return None


def _take_instead(turn: Turn, key: str, parts: Sequence[str]) -> None:
    """File what the other parts of the line tell of other checks."""
    for part in parts:
        named = reading_of_another(turn, [key], part)
        if named is not None:
            take_answer(turn, named, answer_to(turn, named, part), part)
        elif (heard := of_another(turn, part, (key,))) is not None and heard.result:
            file_heard(turn, heard)


_ITS_THE: Final = re.compile(
    r"^\W*(?:but |and |so )?(?:its|it is|it's|it was|was)\s+(?:the |my )?(?P<part>\w[\w -]{2,30}?) "
    r"(?:thats|that's|that is|that was|which is|which was|who is|what is|whats) (?P<how>.+)$", re.IGNORECASE)


def _turned(part: str) -> str:
    """'Its the fuse thats open' as 'fuse is open'."""
    found = _ITS_THE.match(part)
    return f"{found['part']} is {found['how']}" if found is not None else part
