"""Volts told of the two legs of a supply: 'got 120 on each leg but 0 leg to leg'."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, Literal

from bot.language.answers.about import parts_of
from bot.language.answers.measured import at_supply

Legs = Literal["both", "one"]
LEGS: Final = "leg_volts"
"""The check of both legs, in each pack that has one."""
Point = Literal["across", "each", "one"]

_VALUE: Final = re.compile(
    r"(?<![\w.])(?P<number>\d{1,3}(?:\.\d+)?)\s*(?:v|vac|volts?)?(?![\w.]|\s*(?:ohms?|amps?|min\w*|deg\w*)\b)"
    r"|\b(?P<nothing>zero|nothing|nothin|none|nada|zip|dead)\b", re.IGNORECASE)
_VOLTS: Final = re.compile(r"(?<![\w.])(\d{3}(?:\.\d+)?)\s*(?:v|vac|volts?)\b", re.IGNORECASE)
_SIDES: Final = r"(?:legs?|sides?|hots?|lines?|phases?|slots?|poles?|screws?|lugs?|fases?|lados?)"
_ACROSS: Final = re.compile(
    r"\b(?:(leg|hot|line|phase|side|slot) (?:to|2) (?:the |other |the other )?\1|l1 ?(?:to|-|/|2|and|&) ?l2|"
    rf"(?:between|across|entre) (?:the |both |two |las |dos )*{_SIDES}|(?:between|across) (?:them|the two|both)|"
    r"entre fases|across(?=\W*(?:$|\d|is\b|reads?\b|its\b)))(?!\w)", re.IGNORECASE)
_EACH: Final = re.compile(
    rf"\b(?:each|both|either|per|cada|ambas|las dos)(?: (?:hot|of the|the))? {_SIDES}\b|"
    rf"\b{_SIDES} to (?:neutral|ground)\b|\b(?:on|from|at) (?:each|both)\b|\beach(?: one)? to (?:neutral|ground)\b|"
    r"\beach\b|\bcada una\b", re.IGNORECASE)
_ONE: Final = re.compile(
    rf"\b(?:one|1|(?:the )?other|left|right|first|second|red|black|una?|(?:la )?otra|(?:el )?otro)(?: hot)? {_SIDES}\b|"
    r"\bon (?:the )?(?:left|right)\b|\b(?:the other|other|otra|la otra)\b|\b(?:l1|l2)\b", re.IGNORECASE)
_PATTERNS: Final[tuple[tuple[Point, re.Pattern[str]], ...]] = (("across", _ACROSS), ("each", _EACH), ("one", _ONE))
_ELSEWHERE: Final = re.compile(
    r"\b(?:element|heater|relay|motor|timer|igniter|valve|board|switch|coil|fuse|thermostat|limit|panel|breaker|block|"
    r"terminals?|burner|unit|bake|broil)\b", re.IGNORECASE)
"""Where else two legs can be read: that is another check's."""
_NOT_READ: Final = re.compile(
    r"\?|\b(?:can you|do i|should|supposed|would|will|if|ought|expect\w*|says?|said|told|claims?|before|yesterday|"
    r"deberia|ground|tierra|cabinet|case|frame)\b",
    re.IGNORECASE)
"""Asked, supposed, heard from others; or read to ground, which tells of the neutral too."""
ZERO, HALF, FULL = 20.0, (95.0, 135.0), (190.0, 260.0)
"""Volts up to which a leg is dead, those of one leg to neutral, and those between two legs (208 or 240)."""


@dataclass(frozen=True, slots=True)
class _Told:
    """Volts, and the points between which they were read."""

    volts: float
    at: Point


def legs(text: str) -> Legs | None:
    """What volts told of the legs come to; None where they leave it open, or are not of the outlet."""
    told = _told(text) or _at_the_outlet(text)
    if not told:
        return None
    across = [t.volts for t in told if t.at == "across"]
    single = [t.volts for t in told if t.at != "across"]
    half, dead = any(_in(v, HALF) for v in single), any(v <= ZERO for v in single)
    if any(_in(v, FULL) for v in across):
        return None if dead else "both"
    lost = any(_in(v, HALF) for v in across) or (half and (dead or any(v <= ZERO for v in across)))
    return "one" if lost else None


_AT_CORD: Final = re.compile(r"\b(?:at|on|to|across|thru|through) (?:the |its |my )?(?:power |dryer |range )?"
                             r"(?:cord|pigtail|plug|terminal block|block)\b", re.IGNORECASE)
"""Where both legs come in: what is there was at the outlet, too. One that is missing there may have gone on the way."""


def _at_the_outlet(text: str) -> list[_Told]:
    """'240 volts at the outlet': so much there is only from leg to leg."""
    if _NOT_READ.search(text):
        return []
    volts = [float(number) for number in _VOLTS.findall(text)]
    fed = at_supply(text) or _AT_CORD.search(text) is not None
    full = len(volts) == 1 and _in(volts[0], FULL) and fed and not _points(text)
    return [_Told(volts[0], "across")] if full else []


def tells_of_legs(text: str) -> bool:
    """Whether words say of which legs, and between what, a reading is."""
    return bool(_points(text)) and bool(_values(text))


def _told(text: str) -> list[_Told]:
    """Each value with its point, clause by clause; none where one stays without, or all is of another place."""
    found: list[_Told] = []
    for clause in parts_of(text):
        values, points = _values(clause), _points(clause)
        if _NOT_READ.search(clause):
            continue
        if _ELSEWHERE.search(clause):
            if not any(c.isdigit() for c in clause):
                return []  # 'at the element, 120 on one leg'
        elif values and points:
            pairs = _paired(values, points)
            if len(pairs) < len(values):
                return []
            found += pairs
    return found


def _values(clause: str) -> list[tuple[int, float]]:
    """Where volts stand that are not the 1 of 'l1', and how many they are."""
    points = _points(clause)
    return [(m.start(), float(m["number"]) if m["number"] else 0.0) for m in _VALUE.finditer(clause)
            if not any(start <= m.start() < end for start, end, _ in points)]


def _paired(values: Sequence[tuple[int, float]], points: Sequence[tuple[int, int, Point]]) -> list[_Told]:
    """A value and the point after it; where a point comes first ('L1 120 L2 0'), the point and the value after it."""
    line = sorted([(place, volts) for place, volts in values] + [(p[0], p[2]) for p in points], key=lambda i: i[0])
    first_is_point = isinstance(line[0][1], str)
    found: list[_Told] = []
    for (_, one), (_, two) in pairwise(line):
        before, after = (two, one) if first_is_point else (one, two)
        if isinstance(before, float) and not isinstance(after, float):
            found.append(_Told(before, after))
    return found


def _points(text: str) -> list[tuple[int, int, Point]]:
    """Where points are named, in the order typed; what lies within a longer name counts for none."""
    found: list[tuple[int, int, Point]] = []
    for kind, pattern in _PATTERNS:
        found += [(m.start(), m.end(), kind) for m in pattern.finditer(text)
                  if not any(start < m.end() and m.start() < end for start, end, _ in found)]
    return sorted(found)


def _in(volts: float, band: tuple[float, float]) -> bool:
    return band[0] <= volts <= band[1]
