"""How a proof went, told by the thermometer: '4 n 38', 'down to 12 and dropping', '350 dead on'."""

from __future__ import annotations

import re
from typing import Final

from bot.conversation.turn import Turn
from bot.conversation.wording.mended import how_it_went, no_better, partly, plain
from bot.conversation.wording.ways import TROUBLES
from bot.language.complaints.temperatures import BAKING_FAMILY, COLD_FAMILY

_FALLS: Final = re.compile(
    r"\b(?:(?:drop\w*|fall(?:in|ing|s)?|com(?:es|in|ing) down|pull(?:s|in|ing) down|pulled down|go(?:es|in|ing) down|"
    r"sink\w*|headed down|on (?:the|its) way down|cool(?:s|in|ing)(?: down| off)?|gett?in[g']? (?:there|cold\w*)|"
    r"bajando|enfriando)(?! (?:off|out|too slow\w*)))\b", re.IGNORECASE)
"""The cabinet gets colder."""
_NO_TROUBLE: Final = re.compile(rf"\b(?:no|nothing|without|sin)(?: more| new)? {TROUBLES}\b", re.IGNORECASE)
_NOT_WELL: Final = re.compile(
    r"\b(?:not|no|never|wont|dont|doesnt|isnt|aint|cant|hardly|barely|but|still|again|same|only|except|warm\w*|hot|"
    r"soft|water|drip\w*|slow\w*|just (?:now )?(?:put|plugged|turned))\b|\?", re.IGNORECASE)
_DEGREES: Final = re.compile(
    r"(?<![\w.,])(?P<number>-?\d{1,3}(?:\.\d)?)\s*(?:deg\w*|°|below)?\s*(?P<scale>[cf])?\b"
    r"(?!\s*(?:min\w*|hours?|hrs?|h|sec\w*|amps?|a|v|volts?|ohms?|w|watts?|times?|x|days?|%|am|pm)\b)", re.IGNORECASE)
_PART: Final = re.compile(
    r"\b(?:(?P<cold>freezer|frz\w*|frezer|frezr)|(?P<fresh>fridge|frig\w*|ff|fresh food))\b", re.IGNORECASE)
OF_COLD: Final = frozenset({"fresh_food_warm", "both_warm", "freezer_warm", "too_cold", "frost_build_up",
                            "runs_constantly", "clicks_wont_run", "dead"})
"""Complaints that a thermometer proves mended, alone or with another."""
FREEZER_WELL: Final = 14.0
"""Degrees F up to which a freezer has pulled down, by the proof that the pack asks for."""
FRIDGE_WELL: Final = (33.0, 42.0)
SET_FOR_PROOF: Final = 350.0
"""What the proof of an oven is baked at, degrees F."""
OVEN_WELL: Final = 25.0
"""Degrees F that the mean of an oven may lie off what is set."""
MOST_WORDS: Final = 16


def proved_by_degrees(turn: Turn, text: str) -> bool:
    """Whether words at a proof tell temperatures as it wants them, or that the cabinet is getting cold, and no trouble
    beside it. A thermometer says it: 'frost looks even, pulling down' complains of no frost."""
    said = _NO_TROUBLE.sub(" ", plain(text))
    if len(said.split()) > MOST_WORDS or _NOT_WELL.search(said):
        return False
    if partly(text) or no_better(text) or how_it_went(text) == "same":
        return False
    told = {fact.subject for fact in turn.job.standing("complaint")}
    if turn.job.family == COLD_FAMILY:
        falls = "too_cold" not in told and _FALLS.search(said) is not None
        return bool(told & OF_COLD) and (falls or _cold_enough(turn, said))
    return turn.job.family == BAKING_FAMILY and "oven_temperature_wrong" in told and _bakes_as_set(turn, said)


def _cold_enough(turn: Turn, said: str) -> bool:
    """Whether every number of a line is a temperature that its part should have."""
    read = list(_DEGREES.finditer(said))
    if not read or any(c.isdigit() for c in _DEGREES.sub(" ", said)):
        return False
    return all(_fits(_part_of(said, number), _fahrenheit(turn, number)) for number in read)


def _part_of(said: str, number: re.Match[str]) -> str | None:
    """The part named nearest to a number, before it or after it; None where none is named."""
    start, end = number.span("number")
    named = [(start - part.end() if part.end() <= start else part.start() - end, part.lastgroup)
             for part in _PART.finditer(said)]
    return min(named, key=lambda one: one[0], default=(0, None))[1]


def _fits(part: str | None, degrees: float) -> bool:
    frozen = degrees <= FREEZER_WELL
    cool = FRIDGE_WELL[0] <= degrees <= FRIDGE_WELL[1]
    return frozen if part == "cold" else cool if part == "fresh" else frozen or cool


def _bakes_as_set(turn: Turn, said: str) -> bool:
    """Whether an oven reads what the proof is set to."""
    read = [_fahrenheit(turn, found) for found in _DEGREES.finditer(said)]
    if not read or any(c.isdigit() for c in _DEGREES.sub(" ", said)):
        return False
    mean = (min(read) + max(read)) / 2
    return abs(mean - SET_FOR_PROOF) <= OVEN_WELL


def _fahrenheit(turn: Turn, found: re.Match[str]) -> float:
    """A typed temperature in degrees F: of the scale that was typed, else the firm's."""
    number = float(found["number"])
    scale = (found["scale"] or turn.context.firm.temperature).upper()
    return number * 1.8 + 32 if scale == "C" else number
