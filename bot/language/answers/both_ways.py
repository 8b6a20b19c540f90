"""A switch that was read in both its positions: '0 shut, OL open' changes, 'OL pressed and released' stays open."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final, Literal

from bot.language.answers.bands import usual
from bot.language.words.text import drop_apostrophes
from knowledge.schema import Check

Ways = Literal["changes", "open", "closed", "reversed"]
_OPEN_READ: Final = (r"(?:ol|o\.l\.?|infin\w*|inf|(?:no|never|doesnt|dont|wont|not) (?:a )?(?:beep\w*|continuity)|"
                     r"open circuit|open line)")
_CLOSED_READ: Final = (r"(?:(?:(?:near(?:ly)?|about|around|bout|almost) )*(?:zero|0|[01]?\.\d+|0 ?\.\d+|1)"
                       r"(?: ?(?:ohms?|Ω))?(?![\w.])|beeps?|continuity|short(?:ed|s)?)")
_MADE: Final = (r"(?:shut|latched|pressed(?: in)?|pushed(?: in| down)?|depressed|engaged|held(?: in| down)?|"
                r"press(?:ing)?|push(?:ing)?|down|in)")
_RELEASED: Final = (r"(?:not (?:pressed|pushed|latched)|un(?:latched|pressed|pushed)|released?|let(?:ting)? go|let off|"
                    r"up|out|off|at rest)")
_TOKEN: Final = re.compile(
    rf"(?<![\w.])(?:(?P<R0>{_OPEN_READ})|(?P<R1>{_CLOSED_READ})|(?P<P0>{_RELEASED})|(?P<P1>{_MADE})|"
    r"(?P<X0>opened|opens?)|(?P<X1>closed|closes?))(?![\w])", re.IGNORECASE)
"""R a reading, P a position, X what may be either; 1 closed or pressed, 0 open or let go."""
_EITHER: Final = re.compile(
    r"\b(?:both|either) (?:ways?|positions?|times)\b|\b(?:pressed|shut|latched|closed|down|in|pushed) "
    r"(?:and|n|or|&|then) (?:released|open|unlatched|up|out|not|let go)\b|"
    r"\b(?:open|released|up) (?:and|n|or|&|then) (?:shut|closed|pressed|down)\b|"
    r"\bno matter\b|\bwhether\b", re.IGNORECASE)
_NUMBER: Final = re.compile(r"(?<![\w.])\d+(?:\.\d+)?(?![\w.])")
MOST: Final = 18
"""Words of a line that tells two readings of one switch."""


def both_ways(text: str) -> Ways | None:
    """What a line says a switch does between its two positions; None where it does not tell a reading in each."""
    plain = drop_apostrophes(text)
    if len(plain.split()) > MOST or any(float(n) > 1 for n in _NUMBER.findall(plain)):
        return None
    if _EITHER.search(plain) is not None:
        read = {kind for kind, _ in _tokens(_EITHER.sub(" ", plain)) if kind[0] == "R"}
        return "open" if read == {"R0"} else "closed" if read == {"R1"} else None
    tokens = [kind for kind, _ in _tokens(plain)]
    if len(tokens) != PAIRS * 2:
        return None
    told = [_pair(one, other) for one, other in zip(tokens[::2], tokens[1::2], strict=True)]
    at = {place: read for pair in told if pair is not None for place, read in (pair,)}
    if len(at) != PAIRS:
        return None
    match at["1"], at["0"]:
        case "1", "0":
            return "changes"
        case "0", "0":
            return "open"
        case "1", "1":
            return "closed"
    return "reversed"


PAIRS: Final = 2
"""One reading with the switch pressed, one with it let go."""


def _tokens(text: str) -> Iterator[tuple[str, str]]:
    for found in _TOKEN.finditer(text):
        yield str(found.lastgroup), found[0]


def reads(text: str) -> bool:
    """Whether words tell a reading of a switch."""
    return any(kind[0] == "R" for kind, _ in _tokens(drop_apostrophes(text)))


def of_a_switch(text: str) -> bool:
    """Whether words tell a reading of a switch, name one, or only praise."""
    return reads(text) or _A_SWITCH.search(text) is not None or _PRAISE.fullmatch(text) is not None


def _pair(one: str, other: str) -> tuple[str, str] | None:
    """(position, reading) of two words beside each other; what may be either is what the other is not."""
    kinds = {one[0], other[0]}
    if kinds not in ({"R", "P"}, {"R", "X"}, {"P", "X"}):
        return None
    place = next((t for t in (one, other) if t[0] == "P"), None) or next(
        t for t in (one, other) if t[0] == ("X" if "R" in kinds else "P"))
    read = other if place is one else one
    return place[1], read[1]


def switched(entry: Check, text: str) -> str | None:
    """The result of a switch's check that readings in both positions tell; None where the check is of none, or they
    tell none."""
    good = usual(entry)
    others = [name for name in entry.results if name != good]
    if entry.kind != "meter" or entry.reading is not None or good is None or len(others) > PAIRS:
        return None
    if _A_SWITCH.search(entry.name) is None or (does := both_ways(text)) in {None, "reversed"}:
        return None
    if does == "changes" or len(others) == 1:
        return good if does == "changes" else others[0]
    return next((name for name in others if _STAYS[does].search(entry.results[name].label)), None) if does else None


_A_SWITCH: Final = re.compile(r"\b(?:switch|sw|contacts?)\b", re.IGNORECASE)
_PRAISE: Final = re.compile(r"\W*(?:(?:its|all|so|thats|seems|looks|is) )*(?:good|fine|ok|okay|great|perfect)\W*",
                            re.IGNORECASE)
_STAYS: Final = {"open": re.compile(r"\b(?:open|never closes)\b", re.IGNORECASE),
                 "closed": re.compile(r"\b(?:closed|never opens)\b", re.IGNORECASE)}
