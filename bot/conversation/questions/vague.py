"""Amounts that are no measured figure: 'a few ohms', 'under 1', 'couple of k'. Filed as the result that they plainly
mean, without a number."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from bot.diagnosis.evidence import Seen
from bot.diagnosis.readings import judge
from bot.language.meaning import Answer, Guess, Heard
from knowledge.schema import Check

_ROUGHLY: Final = r"(?<!just )(?<!bit )(?<!little )(?<!slightly )(?<!tad )(?<!barely )(?<!hair )(?<!right )(?<!shade )"
_NUMBER: Final = (
    r"(?=(?:about |around |like )?[\d.]|"
    r"(?:a |an |one |half|two |three |four |five |ten |twenty |fifty |hundred|thousand|quarter|point ))")
_UNDER: Final = re.compile(
    rf"(?:{_ROUGHLY}\b(?:under|below|less than|lower than|not even|menos de|bajo)|<) ?{_NUMBER}", re.IGNORECASE)
_OVER: Final = re.compile(
    rf"(?:{_ROUGHLY}\b(?:over|above|more than|higher than|north of|upwards of|m[aá]s de)|>) ?{_NUMBER}", re.IGNORECASE)
_FEW: Final = re.compile(
    r"\b(?:a )?(?:few|couple(?: of)?|handful of|several)(?: of)? (?:k|m|kilo\w*|meg\w*|ohms?|volts?|amps?|hundred|"
    r"thousand|tens?|milli\w*|tenths?)\b|\bunos (?:pocos|cuantos)\b|^\W*(?:reads? )?(?:a )?(?:few|couple)\W*$",
    re.IGNORECASE)
_TIMES: Final = tuple(
    (re.compile(rf"\b(?:few|couple|handful|several)(?: of)? {unit}\b", re.IGNORECASE), times)
    for unit, times in ((r"(?:k|kilo\w*|thousand)", 1e3), ("hundred", 1e2), (r"(?:m|meg\w*)", 1e6)))
SMALL: Final = 10.0
"""'Couple of k' read as two: the unit is still to be reckoned in."""
SHARE: Final = 0.6
"""Share of what 'under 1' leaves open from which on one result is plainly meant."""
FEW: Final = (0.7, 1.7)
"""'A few' is from two to five where it is read as three."""
FAR: Final = 100.0
"""'Over' reaches so many times as far, as far as bands go."""
QUANTITIES: Final = frozenset({"ohm", "continuity", "volt", "amp", "microfarad"})


def without_figure(check: Check, text: str, heard: Heard | None, given: Mapping[str, float]) -> Answer | None:
    """What words with no measured figure say as an answer to a check: a result, or the two that they may mean. None
    where they have a figure."""
    reading = check.reading
    if reading is None or reading.quantity not in QUANTITIES or heard is None or heard.value is None:
        return None
    if heard.multiple or heard.unit_mismatch or heard.low is not None or not heard.plausible or heard.value < 0:
        return None
    ends = _ends(text, heard.value)
    if ends is None:
        return None
    low, high = ends
    within = [low + (high - low) * (place + 0.5) / STEPS for place in range(STEPS)]
    values = within if high < low * FAR or not low else [low * 1.01, high]
    said = [judge(check, Seen("", value=value), given).result for value in values]
    best = max(dict.fromkeys(said), key=said.count)
    if said.count(best) >= SHARE * len(said):
        return Answer(best, 0.95)
    return Answer(near=tuple(Guess(result, 0.45) for result in dict.fromkeys(said)))


def no_figure(text: str) -> bool:
    """Whether words say of their number that it is none that was read."""
    return any(way.search(text) for way in (_FEW, _UNDER, _OVER))


STEPS: Final = 20


def _ends(text: str, value: float) -> tuple[float, float] | None:
    """From where to where words reach that give one number and say that it is not the figure; SI units."""
    if _FEW.search(text):
        value *= next((times for unit, times in _TIMES if value < SMALL and unit.search(text)), 1.0)
        return value * FEW[0], value * FEW[1]
    if _UNDER.search(text):
        return 0.0, value
    if _OVER.search(text):
        return value, value * FAR
    return None
