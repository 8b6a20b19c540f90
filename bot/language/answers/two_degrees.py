"""How cold a fridge and its freezer are, or are set, told as two figures: '3 and minus 18', 'freezer 0 fridge 52'."""

from __future__ import annotations

import re
from typing import Final, NamedTuple

from bot.language.words.text import drop_apostrophes
from knowledge.schema import Check

_FIGURE: Final = (
    r"(?<![\w.])(?P<%s>(?:-|minus |neg(?:ative)? |below )?(?:\d{1,2}(?:\.\d)?|zero)|(?:\d{1,2}|zero) below)"
    r" ?(?:degrees?|deg)? ?(?P<%s_scale>[fc]|fahrenheit|celsius)?(?![\w.])")
_AT: Final = (
    r"(?:\s*(?:is|s|at|reads?|shows?|says|set(?: to| at)?|to|on|about|around|like|near|:|=|holding|sits|side|part|"
    r"section|its))*\s*")
_FRIDGE: Final = r"(?:fridge|frig|refrigerator|refer|ff|fresh food|top|glass|water)"
_FREEZER: Final = r"(?:freezer|frzr?|frz|packs?|bottom|peas|ice cream)"
_BETWEEN: Final = (
    r"\s*(?:,|/|;|\band\b|\bn\b|&|\bin the \w+(?: and| n|,)?|\bup top(?: and| n|,)?)*\s*")
_PAIR: Final = re.compile(
    rf"(?:\b(?P<one>{_FRIDGE}|{_FREEZER}){_AT})?{_FIGURE % ('a', 'a')}{_BETWEEN}"
    rf"(?:\b(?P<other>{_FRIDGE}|{_FREEZER}){_AT})?{_FIGURE % ('b', 'b')}", re.IGNORECASE)
_OTHERWISE: Final = re.compile(
    r"\b(?:demo|lock\w*|code|alarm|flash\w*|blink\w*|err\w*|off|vacation|holiday|dashes|ohms?|k|volts?|amps?|v|min(?:s|utes?)?|"
    r"hours?|hrs?|days?|out of)\b", re.IGNORECASE)
_DENIED: Final = re.compile(
    r"\b(?:no|not|nothing|isnt|aint|without|nor|or)(?: (?:in|on|any|a|the|is|lit|showing))* "
    r"(?:demo(?: mode)?|lock\w*|codes?|alarms?|flashing|vacation|errors?)", re.IGNORECASE)


class Degrees(NamedTuple):
    """Of a fridge and its freezer, whether each is cold enough, and the fridge too cold."""

    fridge_warm: bool
    freezer_warm: bool
    freezing: bool


def by_two_degrees(check: Check, text: str) -> str | None:
    """The result of a check of both temperatures, or of how they are set, that two figures tell; None where they tell
    nothing of it, or could be of either scale."""
    told = _told(text) if check.results.keys() >= TEMPERATURES or check.results.keys() >= SETTINGS else None
    if told is None:
        return None
    right = told == Degrees(fridge_warm=False, freezer_warm=False, freezing=False)
    if check.results.keys() >= SETTINGS:
        return "right" if right else "odd" if _SET.search(text) else None
    if right:
        return "both_right"
    if told.freezing:
        return None if told.freezer_warm else "fridge_freezing"
    return "both_warm" if told.fridge_warm and told.freezer_warm else (
        "fridge_warm" if told.fridge_warm else "freezer_soft")


TEMPERATURES: Final = frozenset({"both_right", "fridge_warm", "both_warm", "freezer_soft", "fridge_freezing"})
SETTINGS: Final = frozenset({"right", "odd", "off_or_lock"})
_SET: Final = re.compile(r"\bset\b|\bsettings?\b|\bturned\b", re.IGNORECASE)
"""A display may show how cold it is: that is no odd setting."""
FRIDGE_F, FREEZER_F = (33.0, 41.0), 8.0
FRIDGE_C, FREEZER_C = (0.5, 5.5), -14.0
"""From, to of a fridge that is right; a freezer is warm above the other. The pack's 1 to 5 and -15 to -20 degrees C
with half a degree, or one, for the thermometer."""
COLD_F: Final = 25.0
"""From here on a fridge's figure is one of Fahrenheit: nobody has it at 25 degrees C and a freezer cold."""


def _told(text: str) -> Degrees | None:
    plain = drop_apostrophes(text)
    pairs = list(_PAIR.finditer(plain))
    if len(pairs) != 1 or _OTHERWISE.search(_DENIED.sub(" ", plain)):
        return None
    pair = pairs[0]
    first, second = _value(pair["a"]), _value(pair["b"])
    fridge, freezer = (first, second) if _fridge_first(pair, first, second) else (second, first)
    scale = (pair["a_scale"] or pair["b_scale"] or "").lower()[:1] or _scale(fridge, freezer)
    if scale not in {"f", "c"}:
        return None
    (low, high), cold = (FRIDGE_F, FREEZER_F) if scale == "f" else (FRIDGE_C, FREEZER_C)
    return Degrees(fridge > high, freezer > cold, fridge < low)


def _fridge_first(pair: re.Match[str], first: float, second: float) -> bool:
    """Which of two figures is the fridge's: as they are named, else the warmer."""
    for name, leads in ((pair["one"], True), (pair["other"], False)):
        if name:
            return leads == (re.fullmatch(_FRIDGE, name, re.IGNORECASE) is not None)
    return first >= second


def _scale(fridge: float, freezer: float) -> str:
    """The scale in which two figures make sense together; '' where they could be of either."""
    if fridge >= COLD_F:
        return "f"
    return "c" if freezer <= -10.0 and fridge < COLD_F else ""


def _value(said: str) -> float:
    figure = re.search(r"[\d.]+", said)
    value = float(figure[0]) if figure is not None else 0.0
    return -value if re.search(r"-|minus|neg|below", said, re.IGNORECASE) else value
