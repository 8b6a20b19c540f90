"""'119 going in, nothing out': a place where nothing was found, beside one where there was a reading."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from bot.language.readings.amounts import Amount
from bot.language.readings.numbers import Lexeme
from bot.language.words.text import word_set

NOTHING: Final = word_set("nothing nothin nuthin nada zip zilch none nil squat dead")
_PLACE: Final = word_set("before at on to out in from across between past after downstream there en al hacia side leg "
                         "below above red black white blue brown yellow orange coming going leaving")
MORE: Final = word_set("wrong weird else loose burnt burned special unusual bad visible funny changes changed "
                        "changing yet moves happens happening happened")
"""After 'nothing': of what happened, not of a reading."""
_JOINTS: Final = word_set(", ; . but and then pero y / while")
_WITH: Final = word_set("with for if basically so like its or is")
"""Before 'nothing': no clause of its own."""


def bare_places(items: Sequence[Lexeme], amounts: Sequence[Amount]) -> list[int]:
    """How many amounts were told before each clause that tells of nothing at a place."""
    ends = {a.last + 1 for a in amounts}
    found: list[int] = []
    start = 0
    for end in range(len(items) + 1):
        joint = end < len(items) and items[end].text in _JOINTS
        if end < len(items) and not joint and end not in ends and not _opens(items, end, start):
            continue
        if _tells_nothing(items[start:end]) and not any(start <= a.first < end for a in amounts):
            found.append(sum(a.first < start for a in amounts))
        start = end + joint
    return found


def _opens(items: Sequence[Lexeme], place: int, start: int) -> bool:
    """'119 in nothing out', with no comma."""
    after = items[place + 1].text if place + 1 < len(items) else ""
    return place > start and items[place].text in NOTHING and after in _PLACE and items[place - 1].text not in _WITH


def _tells_nothing(clause: Sequence[Lexeme]) -> bool:
    words = {i.text for i in clause}
    hedged = any(i.text in _WITH and then.text in NOTHING for i, then in pairwise(clause))
    told = not hedged and not MORE & words
    return told and bool(NOTHING & words and _PLACE & words)
