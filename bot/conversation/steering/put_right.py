"""A correction part by part: 'sorry the element is ok, its the fuse thats open' takes one back and tells the other."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from bot.conversation.intake import file_heard, file_result
from bot.conversation.questions.checks import CLEAR, take_answer
from bot.conversation.questions.sharing import reading_of_another
from bot.conversation.questions.worded import answer_to
from bot.conversation.told.of_another import of_another
from bot.conversation.turn import Turn
from bot.language.answers.about import about, parts_of
from bot.language.answers.bands import usual
from bot.language.meaning import HeardResult


def put_right_by_part(turn: Turn, checks: Sequence[str], text: str) -> tuple[str, ...]:
    """The check whose result one part of a line takes back, when another part tells what it is instead; both are filed.
    Nothing where no part calls good what one of `checks` found bad."""
    parts = [_turned(part) for part in parts_of(text)]
    if len(parts) < 2:
        return ()
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
                return (key,)
    return ()


def exchanged(turn: Turn, text: str) -> tuple[str, ...]:
    """'The other one that's open', 'other way round' after two parts were told in one line, one of them bad: that one
    is well and the other is not. Both are filed; the checks, or none."""
    found = _THE_OTHER.match(text)
    told = [f for f in turn.job.standing("result") if f.subject in turn.pack.checks][-TWO:]
    if found is None or len(told) < TWO or told[0].turn != told[1].turn:
        return ()
    bad = [f for f in told if f.value != usual(turn.pack.checks[f.subject])]
    good = [f for f in told if f not in bad]
    well = usual(turn.pack.checks[bad[0].subject]) if len(bad) == len(good) == 1 else None
    if well is None:
        return ()
    how = found["how"] or turn.pack.checks[bad[0].subject].results[bad[0].value].label
    heard = answer_to(turn, good[0].subject, how)
    if heard.result in {None, good[0].value} or heard.p < CLEAR:
        return ()
    turn.close_question(closed="passed")
    file_heard(turn, HeardResult(good[0].subject, str(heard.result), heard.p))
    file_result(turn, bad[0].subject, well)
    return good[0].subject, bad[0].subject


def doubted(turn: Turn, text: str) -> str | None:
    """The check that told latest of something bad, where 'the other one' says that it was not that and nothing is known
    of another."""
    told = [f for f in turn.job.standing("result") if f.subject in turn.pack.checks][-1:]
    bad = [f.subject for f in told if f.value != usual(turn.pack.checks[f.subject])]
    return bad[0] if bad and _THE_OTHER.match(text) is not None else None


TWO: Final = 2
_THE_OTHER: Final = re.compile(
    r"^\W*(?:(?:the |its |it is |i (?:had|got|have|mixed) (?:it|them|those|that) )*"
    r"(?:other way (?:a?round|about)|backwards|mixed up|swapped|the wrong way round)\W*$|"
    r"(?:(?:the|its|thats|that is) )*(?:other|second|2nd) (?:one|1|switch|contacts?|fuse|coil)\b"
    r"(?:(?:'s| thats| that is| that's| is| was| which is| whats| what is| reads?)? (?P<how>.+))?$)", re.IGNORECASE)


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
