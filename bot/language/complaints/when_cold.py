"""When a noise is there: 'squeals cold, quiet now' says that it goes as the machine warms up, and no word on heat."""

from __future__ import annotations

import re
from typing import Final

_NOISE: Final = (r"(?:squeal\w*|squeak\w*|screech\w*|chirp\w*|nois[ey]\w*|loud|thump\w*|bang\w*|clunk\w*|knock\w*|"
                 r"rattl\w*|grind\w*|rumbl\w*|whin\w*|howl\w*|scrap\w*|hums?|humming|rechina|chilla|ruido)")
_WHEN_COLD: Final = re.compile(
    rf"\b{_NOISE}(?: (?:it|does|is|only|mostly|just|worst|worse|at|first|when|while|if|as|long|its|it's|she|he|still|"
    rf"like|a|pig|starts?|started|starting|up|in|the|morning|cuando|esta|en))* "
    rf"(?P<cold>cold|fri[ao])\b(?! (?:air|water|clothes|drum|inside|and (?:wet|damp)))|"
    r"\b(?:(?:only|mostly) (?:when|while|if)|(?:worst|worse|loudest|louder)(?: when| while)?) "
    r"(?:it |it's |its |she |is |still )*"
    r"(?P<only>cold)\b(?! (?:air|water))", re.IGNORECASE)
_LOUD: Final = re.compile(rf"\b{_NOISE}\b", re.IGNORECASE)


def without_when_cold(text: str) -> str:
    """The text with blanks for the 'cold' that only says when a noise is there, so that all else keeps its place."""
    if not _LOUD.search(text):
        return text
    for found in _WHEN_COLD.finditer(text):
        start, end = found.span("cold" if found["cold"] else "only")
        text = text[:start] + " " * (end - start) + text[end:]
    return text
