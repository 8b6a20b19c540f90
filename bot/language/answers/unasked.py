"""Results of checks that nobody asked for: 'by the way the lint screen was packed solid'."""

from __future__ import annotations

import re
from collections.abc import Collection
from typing import Final

from bot.language.answers.about import about, covered
from bot.language.answers.answer import answer
from bot.language.answers.bands import usual
from bot.language.answers.foreign import names_others
from bot.language.answers.gainsaid import BY_HAND, says_still
from bot.language.index import Index
from bot.language.meaning import HeardResult

SPOKEN_OF: Final = 4.0
"""Weight of a check's own words from which on a text speaks of it: two that some share, or one that no other has."""
NAMED: Final = 0.4
"""Share of a check's name that has to be said."""
BESIDE: Final = 0.75
"""A check that is spoken of nearly as much could be meant too: only one of them may be answered."""
SURE: Final = 0.9
PLAIN: Final = 0.98
DOUBTED: Final = 0.95
"""A result that is so plain where no other is as likely as that wants less of the check's name."""
NEARLY: Final = 0.9
NAMED_LESS: Final = 0.3
"""How much that is. Of 2,500 answers to a check, 38 were heard as an answer to another too, 36 without this rule."""
NOT_TOLD: Final = re.compile(
    r"\?|\b(i'?ll|gonna|going to|will|would|should|could|might|maybe|if|need to|needs? (a|to be)|have to|wants?|let me|"
    r"lemme|about to|next|later|haven'?t|didn'?t (check|look|test)|not checked|forgot|forgotten|yet|used to|"
    r"(?<!code )(?<!codes )(?<!display )(?<!panel )(?<!sheet )(?<!meter )says|said|thinks?|claims?|"
    r"probably|do i|can i|replaced|swapped|changed|new|last (time|week|year|month)|before)\b", re.IGNORECASE)
"""What is planned, supposed, heard from others or done before is no result. A code that says something is none of the
others."""


_METERED: Final = re.compile(
    r"\d|\b(zero|nothing|volts?|ohms?|amps?|continuity|beep\w*|meter\w*|ol|open|closed|infinite|short\w*|ground\w*|"
    r"reads?|reading|tests?|tested|legs?|good|bad|fine|ok|clear)\b", re.IGNORECASE)
"""Words without which nothing is told of what only a meter shows: 'fan aint spinning' is no word on its volts."""


def told_of(index: Index, family: str, part: str, asked: Collection[str], idle: Collection[str] = (),
            ) -> HeardResult | None:
    """The result that one part of a line tells of a check that is not `asked`, where both are beyond doubt. `idle`:
    checks of troubles that nobody reported, of which 'none' is no news."""
    checks = index.knowledge.packs[family].checks
    if NOT_TOLD.search(part):
        return None
    runs = says_still(index, part) and BY_HAND.search(part) is None  # how it runs, and not how it turns by hand
    spoken = about(index, family, part, [key for key, check in checks.items() if not (runs and check.kind == "turn")])
    open_too = max((spoken[key] for key in asked if key in spoken), default=0.0)
    best = max((w for key, w in spoken.items() if key not in asked), default=0.0)
    if best < SPOKEN_OF or best <= open_too:
        return None
    near = [key for key, w in spoken.items() if w >= BESIDE * best and key not in asked
            and (checks[key].kind != "meter" or _METERED.search(part)) and not names_others(family, checks[key], part)]
    found = sorted((heard for key in near if (heard := _result(index, family, key, part)) is not None
                    and not (key in idle and heard.result == usual(checks[key]))), key=lambda heard: -heard.p)
    if not found:
        return None
    top, named = found[0], covered(index, family, part, found[0].check)
    if top.p >= PLAIN and named >= NAMED_LESS and spoken[top.check] >= NEARLY * best and all(
            other.p < DOUBTED for other in found[1:]):
        return top
    return top if len(found) == 1 and spoken[top.check] >= best and named >= NAMED else None


def _result(index: Index, family: str, check: str, part: str) -> HeardResult | None:
    heard = answer(index, family, check, part, unasked=True)
    if heard.result is None or heard.p < SURE:
        return None
    return HeardResult(check, heard.result, heard.p)
