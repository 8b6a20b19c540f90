"""'Dead and safe', 'unplugged it': what was told to be done is done, while a check is open. It is no reading."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.facts import stays_dead
from bot.conversation.turn import Turn

_WELL: Final = (r"(?:ok(?:ay)?|yes|yep|yeah|done|its|it's|it is|its all|all|alright|sure|did that|sí|si|ya|and|now|"
                r"already|both)")
_DEAD: Final = (r"(?:dead and (?:safe|tagged)|dead n safe|made (?:it )?(?:safe|dead)|safe and dead|safe now|"
                r"(?:i )?(?:un ?plugged|pulled)(?: it| the plug)?|(?:the )?plugs? (?:is |are )?(?:out|pulled)|"
                r"tagged(?: it)?|desenchufad[ao]|(?:left|stays) off|off and tagged)")
_AT_PANEL: Final = (r"(?:(?:the )?breakers? (?:is |are )?off|breaker off|(?:turned |switched |killed )"
                    r"(?:it |the breaker )(?:off )?(?:at the (?:breaker|panel))?|all off|its off|power(?: is)? off)")


def _only(*ways: str) -> re.Pattern[str]:
    way = "|".join(ways)
    return re.compile(rf"\W*(?:{_WELL}\W+)*(?:{way})(?:\W+(?:{_WELL}\W+)*(?:{way}))*(?:\W+{_WELL})*\W*", re.IGNORECASE)


_TOLD: Final = _only(_DEAD, _AT_PANEL)
_TOLD_AWAY_FROM_IT: Final = _only(_DEAD)
"""Where a check is made with the power as it is, 'breaker off' may be what was found at the panel."""


def takes_made_dead(turn: Turn, text: str) -> bool:
    """A word that the machine is dead now, and nothing else, after it was told to be left dead: the question stands."""
    question = turn.job.question
    if question is None or question.kind != "check" or not stays_dead(turn.job, turn.pack):
        return False
    free = turn.pack.checks[question.checks[0]].power == "any"
    if not (_TOLD_AWAY_FROM_IT if free else _TOLD).fullmatch(text):
        return False
    turn.place(misses=0)
    turn.note("check.made_dead")
    turn.send()
    return True
