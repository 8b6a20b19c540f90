"""How much, in words of noise: 'screaming hot' is very hot, and nothing that is heard."""

from __future__ import annotations

import re
from typing import Final

_VERY: Final = re.compile(r"\b(?:screaming|roaring|howling|ripping|crying)(?= (?:hot|cold)\b)", re.IGNORECASE)


def without_how_hot(text: str) -> str:
    """The text with 'too' for these words, and blanks, so that every other word keeps its place."""
    return _VERY.sub(lambda found: "too".ljust(len(found[0])), text)
