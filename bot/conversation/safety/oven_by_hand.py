"""A match held into a gas oven: it fills with gas first. Asked, announced or told, it is answered before all else.

On top a long lighter is a check of ours; a burner that is said to be one there is left alone.
"""

from __future__ import annotations

import re
from typing import Final

_FLAME: Final = re.compile(
    r"\b(?:(?:a|the|my|with|w|use|used|using|try|tried|another|lit|long) (?:match|lighter|torch|candle)|"
    r"matches(?! (?:the|what|its|my)\b)|lighters|f[oó]sforos?|cerillos?|encendedor)\b", re.IGNORECASE)
_LIGHTS: Final = re.compile(
    r"\b(?:lights?|lighting|lit|lite|held|hold\w*|stick|stuck|put|try|tried|trying|use|used|using|ignite|start|started|"
    r"prende\w*|enciend\w*)\b", re.IGNORECASE)
_OVEN: Final = re.compile(r"\b(?:ovens?|broil\w*|bake|horno)\b", re.IGNORECASE)
_OVEN_BURNER: Final = re.compile(r"\b(?:oven|bake|broil\w*|bottom|lower) burners?\b", re.IGNORECASE)
_ON_TOP: Final = re.compile(r"\b(?:burners?|surface|cook ?top|stove ?top|on top|eyes?|hornillas?)\b", re.IGNORECASE)
_NOT: Final = re.compile(
    r"\b(?:no|not|never|without|didnt|dont|wont|nobody) (?:\w+ ){0,3}(?:match(?:es)?|lighters?|torch|candle)\b",
    re.IGNORECASE)


def lights_oven_by_hand(said: str) -> bool:
    """Whether words, without apostrophes, tell of a flame that was, is or shall be held into an oven."""
    oven = _OVEN_BURNER.sub("oven", said)
    return (_FLAME.search(oven) is not None and _LIGHTS.search(oven) is not None and _OVEN.search(oven) is not None
            and not _ON_TOP.search(oven) and not _NOT.search(oven))
