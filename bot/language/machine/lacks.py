"""What a machine was never built with: 'plain fridge, no ice maker, no water line' complains of neither."""

from __future__ import annotations

import re
from typing import Final

_LACKS: Final = re.compile(
    r"\b(?:no|without|w/o|sin|(?:does ?n['’]?t|hasn['’]?t) (?:have|got)(?: an?| any)?|"
    r"(?:there['’]?s|there is|its got|has) no)"
    r"\s+(?:ice ?makers?|ice dispensers?|water dispensers?|water lines?|máquina de hielo)\b"
    r"(?:\s+(?:or|and|nor|no)\s+(?:ice ?makers?|ice dispensers?|water dispensers?|water lines?|dispensers?)\b)?",
    re.IGNORECASE)


def without_lacks(text: str) -> str:
    """The text with blanks for these words, so that every other word keeps its place."""
    return _LACKS.sub(lambda found: " " * len(found[0]), text)
