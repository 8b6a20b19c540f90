"""A hand that hits the machine: 'if i thump the side it kicks in' tells of no thump that it makes."""

from __future__ import annotations

import re
from typing import Final

_BLOW: Final = r"(?P<blow>hit|thump|bang|whack|smack|kick|slap|knock|punch|pound|bash|bonk|rap)"
_WHERE: Final = (
    r"(?: on)?(?: it| her|(?: (?:the|its|that|this))? (?:side|top|front|back|cabinet|case|housing|frame|lid|door|panel|"
    r"console|control|timer|board|machine|unit|washer|dryer|dishwasher|fridge|freezer|stove|oven|pump|motor|valve))\b")
_STRUCK: Final = re.compile(
    rf"(?:^|[,.;]|\b(?:if|when|whenever|unless|till|until|once|gotta|have to|had to|got to|must|then|but))\W*"
    rf"(?:(?:i|you|u|ya|we|they|he|she|cust\w*|somebody|someone) )?(?:just |really |gotta )?{_BLOW}{_WHERE}|"
    rf"\b(?:i|you|u|ya|we) (?:just |really |gotta |have to |had to )?{_BLOW.replace('blow', 'mine')}{_WHERE}|"
    rf"\b(?:gives?|gave|giving) (?:it |her |the \w+ )?an? (?:good |little |big |hard )?"
    rf"{_BLOW.replace('blow', 'given')}\b|"
    r"\bwith an? (?:good |little |big |hard )?(?P<with>hit|whack|smack|kick|punch)\b", re.IGNORECASE)
"""'Lights with a bang' is what the machine does, and may be gas."""


PUSH: Final = "push"


def without_blows(text: str) -> str:
    """The text with 'push' or blanks for what a hand does to it that hits, so that every other word keeps its
    place."""
    for found in _STRUCK.finditer(text):
        start, end = next(found.span(name) for name in ("blow", "mine", "given", "with") if found[name])
        text = text[:start] + (PUSH if end - start >= len(PUSH) else "").ljust(end - start) + text[end:]
    return text
