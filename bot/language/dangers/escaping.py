"""Refrigerant that gets out: "gas hissing out", "r600a and a hiss at the back", "chipped ice and heard a pssst"."""

from __future__ import annotations

import re
from typing import Final

_OUT: Final = r"(hiss|leak|escap|coming out|blowing out|spray|burst|punctur|pierc)"
_STUFF: Final = r"\b(gas|refrigerant|coolant)\b"
_HISS: Final = r"(?<!no )(?<!not )(?<!any )(?<!without )(?<!isnt )\b(?:hiss\w*|p+s+[sht]+|fizz\w*)\b"
_OF_THE_SYSTEM: Final = (
    r"(?<!no )\b(?:r-?\s?(?:600|290)\w*|isobutane|butane|refrigerant\w*|freon|flammable|oily|"
    r"oil (?:spot|film|stain|mark)|chip(?:ped|ping)|scrap(?:ed|ing)|hack(?:ed|ing)|"
    r"(?:at|from|by|on|out of) the (?:\w+ )?(?:tub(?:e|ing)|pipe|joint|capillary|cap tube|braze))\b")
_ESCAPES: Final = re.compile(rf"{_OUT}.{{0,40}}{_STUFF}|{_STUFF}.{{0,40}}{_OUT}", re.IGNORECASE)
_HISSES: Final = re.compile(
    rf"{_HISS}.{{0,50}}{_OF_THE_SYSTEM}|{_OF_THE_SYSTEM}.{{0,50}}{_HISS}", re.IGNORECASE)
_AT_REST: Final = re.compile(
    r"\b(?:after|when|once|as) (?:it|she|the comp\w*|compressor|comp)\b(?: \w+)? ?(?:stop|shut|cut|quit|turn)s?\b",
    re.IGNORECASE)
"""A compressor that stops lets the pressures even out with a hiss: 'faint hiss after it stops' is how it should be."""


def refrigerant_escapes(text: str) -> bool:
    """Whether words of a cooling machine tell of refrigerant that gets out, and not of the hiss of one at rest."""
    if _ESCAPES.search(text):
        return True
    return _HISSES.search(text.replace("'", "")) is not None and _AT_REST.search(text) is None
