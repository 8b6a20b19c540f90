"""How a part was found that the tech put right while he was at it: 'was jammed, freed it with pliers' is jammed."""

from __future__ import annotations

import re
from typing import Final

_PUT_RIGHT: Final = (
    r"(?:freed|cleared|cleaned|unstuck|unjammed|removed|pulled|took|fished|dug|scraped|straightened|seated|reseated|"
    r"tightened|pushed|plugged|worked)")
_WAS_AND: Final = re.compile(
    rf"\bwas (?P<found>[^,.;]{{3,40}}?)(?:[,.;]| and| so| but| then)+ (?:(?:i|we|just|then|and|so|it) )*{_PUT_RIGHT}\b",
    re.IGNORECASE)
_NOW_WAS: Final = re.compile(
    r"\b(?:free|clear|clean|ok|okay|good|fine|turns|moves|works|spins|runs out)(?: \w+)? now[,.; ]+"
    r"(?:(?:but|it|and) )*was (?P<found>[^,.;]{3,40})", re.IGNORECASE)
_NOW_OUT: Final = re.compile(
    r"\b(?:free|clear|turns|moves|spins) now[,.; ]+(?:(?:i|we|just|and|had to|after i) )*"
    r"(?:took|pulled|got|fished|dug|removed|picked) (?:the |a |an |some )?(?P<what>[a-z]+(?: [a-z]+)?) out\b",
    re.IGNORECASE)


def as_found(text: str) -> str | None:
    """What words say of how it was found; None where nothing was put right."""
    told = _WAS_AND.search(text) or _NOW_WAS.search(text)
    if told is not None:
        return told["found"].strip()
    taken = _NOW_OUT.search(text)
    return None if taken is None else f"jammed, {taken['what']} in it"
