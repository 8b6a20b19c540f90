"""The temperature at which ohms were read: 'OL at 10 degrees', '0.3 ohm, coil at 5 F'. It is no reading of them."""

from __future__ import annotations

import re
from typing import Final

_READ_AT: Final = re.compile(
    r"[ ,]*(?:\b(?:and|n|but|with|when|while)\b )?(?:\b(?:the|its|it is|it|coil|evap|bimetal|stat|tstat|thermostat|"
    r"temp|that|thats)\b ?){0,3}(?:\b(?:is|s|was|reads|frozen|down|cold|still|only|already)\b ?){0,2}"
    r"(?:\b(?:at|to|around|about|below|under|near)\b|@) ?(?:about |around |like )?"
    r"(?P<minus>-|minus )?(?P<degrees>\d{1,3})(?: ?(?:deg(?:rees?|s)?|°|grados))?(?: ?(?P<scale>[fc])\b)?",
    re.IGNORECASE)
_HAS_UNIT: Final = re.compile(r"(?:deg\w*|°|grados)(?: ?[fc])?$|\d ?[fc]$", re.IGNORECASE)
_WORDED: Final = re.compile(
    r"\b(?:ol|o\.l\.|open|closed|beeps?|beep|continuity|infin\w*|shorted)\b|\d ?(?:k|kohms?|ohms?|Ω)\b", re.IGNORECASE)
_WARM: Final = re.compile(
    r"\b(?:at room temp\w*|room temp\w*|(?:its|it is|is|was|while|still|coil|all) (?:still |all )?(?:warm|thawed)|"
    r"not frozen|thawed out|in my hand)\b", re.IGNORECASE)
_AT_ROOM: Final = re.compile(r"\b(?:at|in) (?:the )?room(?: temp\w*)?\b", re.IGNORECASE)
F_ZERO, F_STEP = 32.0, 1.8


def without_degrees(text: str, *, of_ohms: bool = False) -> str:
    """A text without the temperature at which it was read, where it tells a reading besides; `of_ohms`: any number
    left is one."""
    apart = _AT_ROOM.sub(" ", text)
    rest = _READ_AT.sub(lambda found: " " if _HAS_UNIT.search(found[0]) else found[0], apart)
    reading = _WORDED.search(rest) or (of_ohms and re.search(r"\d", rest))
    return re.sub(r"\s+", " ", rest).strip(" ,") if rest != text and reading else text


def read_at(text: str, scale: str) -> float | None:
    """The temperature at which something was read, degrees C; `scale`: 'F' or 'C', of a number that has none. None
    where no temperature is told."""
    for found in _READ_AT.finditer(text):
        if _HAS_UNIT.search(found[0]):
            degrees = float(found["degrees"]) * (-1.0 if found["minus"] else 1.0)
            return degrees if (found["scale"] or scale).lower() == "c" else (degrees - F_ZERO) / F_STEP
    return None


def read_warm(text: str) -> bool:
    """Whether words say that a part was warm as it was read."""
    return _WARM.search(text) is not None
