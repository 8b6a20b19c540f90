"""Of which quantity a reading is that nobody asked for: by its unit, and by words that go with no other quantity."""

from __future__ import annotations

import re
from typing import Final

_NUMBER: Final = r"(?<![\w.])\d[\d.,]*\s*"
_UNITS: Final = {quantity: re.compile(pattern, re.IGNORECASE) for quantity, pattern in {
    "volt": rf"{_NUMBER}(?:m?v|vac|vdc|volts?|voltios?)\b",
    "ohm": rf"{_NUMBER}(?:(?:k|m|meg|mega|kilo)?\s*(?:ohms?\b|Ω|ohmios?\b)|(?:k|megs?|kohms?|megohms?)\b)",
    "temperature": rf"{_NUMBER}(?:(?:deg\w*|°|grados)(?:\s*[cf])?|[cf]|fahrenheit|celsius)(?![\w'])",
    "amp": rf"{_NUMBER}(?:a(?!\s+\w)|m?amps?|amperes?|amperios?)\b",
    "farad": rf"{_NUMBER}(?:uf|mfd|microfarads?)\b",
    "time": rf"{_NUMBER}(?:min\w*|sec\w*|hours?|hrs?)\b",
    "rpm": rf"{_NUMBER}rpm\b"}.items()}
"""Quantity -> a number with a unit of it."""
_WORDS: Final = {quantity: re.compile(pattern, re.IGNORECASE) for quantity, pattern in {
    "volt": r"\b(?:volts?|voltage|voltaje|hot to hot|leg to leg|line to line|l1|l2|to neutral|"
            r"(?:each|both|one|other) legs?)\b",
    "ohm": r"\b(?:ohm(?:s|ed)?|resistance|continuity|resistencia)\b|Ω",
    "temperature": r"\b(?:temps?|temperatures?|thermometer|degrees|grados|termometro)\b",
    "amp": r"\b(?:amps?|amperage|clamp|draws?|drawing|pulls|pulling)\b"}.items()}
"""Quantity -> words that go with no other."""
_DIFFERENCE: Final = re.compile(
    rf"{_NUMBER}(?:(?:deg\w*|°|grados)\s*)?(?:[cf]\s+)?(?:or so |or more )?(?:too |mas )?"
    r"(?:low|lower|high|higher|hot|hotter|cold|colder|cool|cooler|warm|warmer|off|out|under|over|below|above|short|shy|"
    r"less|more|behind|slow|fri[oa]|caliente|menos|de menos|de mas)(?!\s*(?:to|of the)\b)\b"
    r"|\b(?:off|out|short|low|high|over|under) by (?:about |like |around |maybe |some )?\d", re.IGNORECASE)
"""'50 degrees too cold', 'off by 50': how far it is from where it should be, no reading."""
_OF_HEAT: Final = re.compile(
    rf"{_NUMBER}(?:(?:deg\w*|°|grados)\s*)?(?:hot|hotter|warmer|too (?:hot|cold|warm|cool)|colder|cooler)\b(?!\s*to\b)",
    re.IGNORECASE)
"""'40 hot', 'now 25 too cold': degrees off, and no ohms."""
MAINS: Final = ((100.0, 130.0), (200.0, 250.0))
"""Volts that a household supply shows."""
_AT_SUPPLY: Final = re.compile(
    r"\b(?:outlet|receptacle|recep|recept|wall|socket|wall plug|toma|enchufe)\b", re.IGNORECASE)
_CALLED: Final = re.compile(
    r"\b(?:when|while|as|with)(?: (?:it|its|it's|she|the \w+))? (?:calls?|called|calling|filling|fills|draining|drains|"
    r"running|runs|spinning|spins|washing|heating|power on|plugged in)\b|\blive\b|\bgets? its (?:power|volts)\b|"
    r"\b(?:gets|getting|is getting)(?: (?:a|its|the|full|good|steady))* (?:1[01]\d|12\d|2[0-4]\d)"
    r"(?! ?(?:ohms?|k|deg\w*|f|c)\b)",
    re.IGNORECASE)
_CONNECTION: Final = re.compile(r"\b(?:j[ -]?box|(?:junction|connection) box)\b", re.IGNORECASE)
_OF_THE_AIR: Final = re.compile(r"\b(?:air|vent|exhaust|hood|duct|hose|box)\b", re.IGNORECASE)


ELECTRICAL: Final = frozenset({"ohm", "volt", "amp", "farad"})
"""Quantities that only a meter shows."""


def quantity_of(text: str) -> str | None:
    """The quantity of the one reading that words tell (volt, ohm, temperature, amp, farad, time, rpm); None
    where they leave it open."""
    for said in (_UNITS, _WORDS):
        found = [quantity for quantity, pattern in said.items() if pattern.search(text)]
        if found:
            return found[0] if len(found) == 1 else None
    return None


def is_difference(text: str) -> bool:
    """Whether a number tells by how much something is off."""
    return _DIFFERENCE.search(text) is not None


def is_off_in_heat(text: str) -> bool:
    """Whether a number tells by how many degrees something is too hot or too cold."""
    return _OF_HEAT.search(text) is not None


def like_mains(value: float) -> bool:
    """Whether a bare number may be volts of the supply: there, or gone."""
    return value == 0 or any(low <= value <= high for low, high in MAINS)


def at_supply(text: str) -> bool:
    """Whether words name the outlet in the wall or the box where it is wired in, and not the outlet for the air."""
    if _CONNECTION.search(text):
        return True
    return _AT_SUPPLY.search(text) is not None and _OF_THE_AIR.search(text) is None


def read_live(text: str) -> bool:
    """Whether words say of a reading that the machine called for that part: then it can only be volts."""
    return _CALLED.search(text) is not None


_AFTER_ONE: Final = re.compile(
    r"(?:(?<=\d\.\d)|(?<=\dk)|(?<=ohm)|(?<=ohms)|(?<=Ω)|(?<=volts)|(?<=\dv)|(?<=\bol)|(?<=open)|(?<=closed))\s+"
    r"(?=(?:the |and )?(?:hi |[a-z]{3,}\b))(?!(?:on|across|at|to|for|from|when|with|cold|hot|each|but|so|"
    r"per|between|circuit|in|of|ohms?|and then)\b)", re.IGNORECASE)


def readings_apart(part: str) -> list[str]:
    """'Sensor 10k heater 11 ohms fuse closed' as three; a part with one number, or one whose number comes first, stays
    whole."""
    apart = [one for one in _AFTER_ONE.split(part) if one]
    named = not part[:1].isdigit() and all(not one[:1].isdigit() for one in apart)
    return apart if named and len(_READ.findall(part)) > 1 else [part]


_READ: Final = re.compile(r"(?<![\w.])\d|\b(?:ol|open|closed|beeps)\b", re.IGNORECASE)
