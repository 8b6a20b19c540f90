"""What is said to be dry: one place, 'some on the floor, no leak from the line', or the load, 'towels dry'."""

from __future__ import annotations

import re
from typing import Final

_PLACE: Final = (r"(?:water |inlet |fill |drain |supply |copper |plastic |ice ?maker |sink |house |soap |detergent )*"
                 r"(?:lines?|hoses?|valves?|fittings?|connections?|pumps?|doors?|taps?|tubes?|filters?|pans?|boot|gasket|"
                 r"seals?|drawers?|dispensers?|bellows|sump|standpipe|"
                 r"front|back|corners?|toe(?: kick)?|base|sides?|joints?|clamps?|there|here|manguera|llave|"
                 r"válvula)")
_DRY: Final = re.compile(
    rf"\b(?:no (?:leaks?|leaking|drips?|water) (?:from|at|by|on|around|off|under|behind|out of|coming from)|"
    rf"(?:isnt|isn['’]?t|not|aint|ain['’]?t) (?:leaking|dripping|coming) (?:from|at|by|out of|off))"
    rf" (?:the |its |any |my |la |el )?{_PLACE}\b|"
    rf"\b(?:the |its )?{_PLACE} (?:(?:is|are|was|looks?|stays?|all|bone|itself|still) )*(?:dry|seca?)\b|"
    rf"\b(?:its |is |all |bone )*dry (?:at|by|around|on|behind|under) (?:the |its )?{_PLACE}\b", re.IGNORECASE)
_WET: Final = re.compile(r"\b(?:water|leak\w*|drip\w*|puddle\w*|wet|flood\w*|agua|gotea|charco)\b", re.IGNORECASE)


def only_a_place_dry(text: str) -> bool:
    """Whether all that words tell of water is that one place has none: 'front is dry'."""
    return _DRY.search(text) is not None and not _WET.search(_DRY.sub(" ", text))


def says_dry(text: str) -> bool:
    """Whether words say that something is dry, and of nothing that it is wet: 'its dry under there'."""
    left = _NO_WATER.sub(" ", text)
    return left != text and not _WET.search(left)


_NO_WATER: Final = re.compile(
    r"\b(?:dry|sec[oa]|no (?:water|leaks?|leaking|drips?|dripping|drops?)|"
    r"(?:not|isn.?t|ain.?t|nothing) (?:wet|leaking|dripping))\b(?! (?:paper|towels?|cycle|vac))", re.IGNORECASE)


def without_dry_place(text: str) -> str:
    """The text with blanks for these words where the rest of it still tells of water; else they are the news."""
    left = _DRY.sub(lambda found: " " * len(found[0]), text)
    return left if _WET.search(left) else text


_LOAD: Final = r"(?:towels?|clothes|laundry|load|sheets|jeans|shirts|everything|stuff|ropa|toallas)"
_DRIED: Final = re.compile(
    rf"\b{_LOAD} (?:(?:is|are|was|were|all|come|comes|came|coming|out|now|nice|and|bone|fully|got|get|gets) )*"
    rf"(?:dry|dried|sec[oa]s?)\b|^\W*(?:(?:its|it is|all|bone|came out) )*dry(?: now)?\W*$", re.IGNORECASE)
_HARDLY: Final = re.compile(
    r"\b(?:not|no|wont|won.t|dont|don.t|doesnt|doesn.t|isnt|isn.t|arent|aren.t|never|still|half|almost|nearly|takes?|took|"
    r"slow\w*|forever|long|damp|wet|barely|hardly|until|till|if|when\w*|sens\w*|suppos\w*|think\w*|twice|"
    r"\d+ (?:times|cycles|runs|hours|hrs))\b",
    re.IGNORECASE)


def load_is_dry(text: str) -> bool:
    """Whether words say that a load came out dry, and of nothing that it took long: 'burns every time, towels dry'."""
    parts = [part for part in re.split(r"[,.;]|\b(?:and|n|but)\b", text) if part.strip()]
    return any(_DRIED.search(part) and not _HARDLY.search(part) for part in parts) and not any(
        _HARDLY.search(part) and re.search(r"\bdr(?:y|ies|ying)\b", part, re.IGNORECASE) for part in parts)
