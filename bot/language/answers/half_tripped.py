"""A breaker or a protected outlet found tripped, or one half of it: 'one side of the double breaker was off'."""

from __future__ import annotations

import re
from typing import Final

from bot.language.answers.about import parts_of

_BREAKER: Final = (r"(?:breakers?|brkr|bkr|double pole|two pole|2 pole|gfc?i(?: (?:outlet|plug|button|breaker))?|"
                   r"ground fault(?: outlet)?|protected outlet|reset button|pastilla|pastillas)")
_THERE: Final = r"(?: (?:on|under|by|behind|in|at) (?:the |their )?\w+(?: sink| wall| panel| plug)?)?"
_HALF: Final = (r"(?:(?:one|1|the other|only one|just one|a) (?:half|side|leg|pole|handle)|half|una mitad|la mitad|"
                r"un lado|media)")
_DOWN: Final = r"(?:tripped|popped|kicked|thrown|down|dropped|botad[ao]|caid[ao]|abajo)"
_MIDDLE: Final = r"(?:half ?way|in the middle|in between|mid ?way|a la mitad|en medio)"
_IS: Final = r"(?: (?:was|is|were|had|has|got|been|sits?|sat|found|it|estaba|esta|it is|its))*"
_FOUND: Final = re.compile(
    rf"\b{_HALF} (?:of |del? )?(?:the |its |that |a |this |la )?(?:[a-z]+ )?(?:double )?{_BREAKER}{_IS} "
    rf"(?:{_DOWN}|off|{_MIDDLE})\b|"
    rf"\b{_BREAKER}{_IS} (?:{_HALF} (?:{_DOWN}|off)|{_MIDDLE}|(?:{_DOWN}|off) on {_HALF}|{_DOWN} {_HALF})\b|"
    rf"\b{_BREAKER} (?:has|had|with) {_HALF}{_IS} (?:{_DOWN}|off)\b|"
    rf"\b{_HALF}{_IS} (?:tripped|popped|botad[ao])\b|"
    rf"^\W*(?:(?:the|its|found|saw|see|my|and|so) )*{_BREAKER}{_THERE} "
    rf"(?:(?:was|is|had|has|been|sitting|already|all|just) )*{_DOWN}{_THERE}"
    r"(?:\W*$|\W+(?:(?:i|so|and|n|just) )*(?:reset|pushed|pressed)\b)",
    re.IGNORECASE)
_ACROSS: Final = re.compile(
    rf"\b{_BREAKER}{_IS} (?:{_DOWN}|off) ?[,.] ?(?:just |only )?{_HALF}(?: of it)?\W*(?:$|[,.;]|and\b|n\b|but\b)",
    re.IGNORECASE)
"""'Breaker was tripped, one half': told in two parts."""
_NOT_FOUND: Final = re.compile(
    r"\?|\b(?:not|no|never|nothing|neither|isnt|wasnt|arent|isn't|wasn't|if|should|would|could|might|maybe|check for|"
    r"half the time|keeps?|every|again|trips|"
    r"tripp(?:ed|ing) (?:the|my|one|it)|through|thru|into)\b", re.IGNORECASE)
"""Denied, supposed or asked; or a breaker that goes while it runs, which is a complaint."""


def half_tripped(text: str) -> bool:
    """Whether words say that a breaker was found tripped, or half of it."""
    if _ACROSS.search(text) is not None and _NOT_FOUND.search(text) is None:
        return True
    return any(_FOUND.search(part) is not None and _NOT_FOUND.search(part) is None for part in parts_of(text))
