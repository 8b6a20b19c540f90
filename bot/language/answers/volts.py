"""Volts that are told where ohms are asked: '240 at the element', 'no power at the fan plug'."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from knowledge.schema import Check

_FIGURE: Final = (
    r"(?<![\w.])(?:1[01]\d|12\d|130|20[89]|2[1-4]\d|250)(?:\.\d)? ?(?:v|vac|volts?)?\b"
    r"(?! ?(?:ohms?|k|Ω|meg\w*|deg\w*|f|c|rpm|min\w*)\b)")
_PART: Final = (
    r"(?:outlet|wall|receptacle|socket|plug|cord|block|terminals?|element|heater|fan|pump|motor|valve|coils?|board|relay|"
    r"connector|igniter|compressor|solenoid|lock|thermostat|fuse)s?")
_AT_PART: Final = re.compile(
    rf"{_FIGURE}(?: \w+)?? (?:at|to|into|is|in) (?:the |its |that )?(?:\w+ ){{0,2}}?{_PART}\b|"
    rf"\b{_PART} (?:is|has|gets|shows|got) (?:a |the |good )?{_FIGURE}", re.IGNORECASE)
_NO_VOLTS: Final = re.compile(
    r"\bno (?:volts?|voltage|power|juice|supply|call)\b(?: \w+)?? (?:at|to|on|there|in|getting|reaching|coming)\b|"
    r"\bno (?:volts?|voltage)\b", re.IGNORECASE)
_OF_OHMS: Final = re.compile(r"\b(?:ohms?|ohmed|resistance|continuity|ol|beeps?|megs?)\b|Ω", re.IGNORECASE)
_LIVE: Final = re.compile(rf"{_FIGURE}|(?<![\w.])\d+(?:\.\d+)? ?(?:v|vac|vdc|volts?)\b", re.IGNORECASE)
_NAUGHT: Final = re.compile(r"\b(?:no|not|zero|0|under|less|instead|should|supposed|of|where)\b", re.IGNORECASE)


def volts_for_ohms(entry: Check, text: str) -> bool:
    """Whether words tell volts of a part and the check asks for its ohms: no ohms, whatever the number."""
    ohms = entry.reading.quantity == "ohm" if entry.reading is not None else (
        "meter" in entry.tools and entry.power == "off" and _OF_OHMS.search(entry.ask) is not None)
    if not ohms or _OF_OHMS.search(text):
        return False
    return tells_volts(text)


def tells_volts(text: str) -> bool:
    """Whether words tell volts of a part, or that it has none."""
    return volts_of_part(text) or _NO_VOLTS.search(text) is not None


def volts_of_part(text: str) -> bool:
    """Whether words tell a figure that can only be volts at a part: 'fan gets 120', '240 at the element'."""
    return _AT_PART.search(text) is not None


def gainsaid_by_volts(entry: Check, text: str) -> Iterator[str]:
    """Results of a check that say there are no volts, where words tell a figure: '120 at the plug, switch held'."""
    if "meter" not in entry.tools or _LIVE.search(text) is None or _NAUGHT.search(text):
        return
    for name, result in entry.results.items():
        if _NO_VOLTS.search(f"{result.label}, {result.says}"):
            yield name
