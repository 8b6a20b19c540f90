"""Lightning that struck outside: 'dead, day after lightning' tells what came before, and of no spark in a machine."""

from __future__ import annotations

import re
from typing import Final

_FLASH: Final = r"(?:thunder ?(?:storm)?s? (?:and|n|&) )?light(?:e?n)ing"
_STORM: Final = re.compile(
    rf"\b{_FLASH}(?= (?:storms?|strikes?|struck|hits?|bolts? (?:hit|struck|strike)|rods?|surges?|"
    r"(?:and|n|&) thunder|last|yesterday|on|"
    r"(?:mon|tues|wednes|thurs|fri|satur|sun)day|over the weekend|outside|nearby|close by|down the street)\b)|"
    r"\b(?:since|after|following|from|by|during|due to|because of|cause of|bc of)"
    r"(?: (?:the|a|an|that|all|some|this|last|big|bad|recent|nights?|weeks?|mondays?|sundays?))* "
    rf"(?P<at>{_FLASH})\b"
    r"(?! (?:in|inside|at|behind|under|from|around|by) (?:the|its|it|my)\b)|"
    rf"\b(?:had|was|got|been|there was)(?: (?:a|an|some|lots of|bad|big|lot of|heavy|much|nearby))* (?P<was>{_FLASH})\b"
    r"(?! (?:in|inside|at|behind|under|from|around|by|when|like|flash\w*)\b)", re.IGNORECASE)

_IN_IT: Final = re.compile(
    rf"\b{_FLASH}(?: \w+){{0,3}} (?:in|inside|behind|under|underneath|from|around|by|out of|between|across)"
    r"(?: (?:the|its|it|my|this|that))* "
    r"(?:back|front|side|bottom|top|inside|drum|tub|motor|board|panel|plug|outlet|socket|machine|unit|washer|dryer|"
    r"dishwasher|oven|range|stove|burner|element|fridge|freezer|compressor|cabinet|console|door|lid|it)\b|"
    rf"\b{_FLASH}\b[^.;]{{0,40}}\b(?:when|whenever|every time|each time|as soon as) (?:it|i|you|the|she)\b",
    re.IGNORECASE)
"""'Lightning bolts inside the back whenever it spins': that is the machine."""


def without_weather(text: str) -> str:
    """The text with blanks for that word, so that every other word keeps its place."""
    for found in () if _IN_IT.search(text) else _STORM.finditer(text):
        start, end = found.span("at" if found["at"] else "was" if found["was"] else 0)
        text = text[:start] + " " * (end - start) + text[end:]
    return text
