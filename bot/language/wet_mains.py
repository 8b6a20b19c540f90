"""Water near the mains: 'outlet's hanging out of the wall and the floor is wet', 'the plug lies in the water'."""

from __future__ import annotations

import re
from typing import Final

_MAINS: Final = (r"\b(?:outlets?|sockets?|receptacles?|(?<!drain )(?<!spark )plugs?(?! it)|cords?|power strips?|"
                 r"extension|wir(?:es?|ing)|junction box|enchufe|contacto)\b")
_LOOSE: Final = (r"\b(?:hang\w*|dangl\w*|exposed|bare|broken|cracked|smashed|ripped|torn|pulled out|off the wall|"
                 r"out (?:of )?the wall|in pieces|colgando|suelto|pelados?)\b")
_WET: Final = (r"\b(?:floors?(?: is| are|s|'s)?(?: \w+){0,2} (?:wet|soaked|flooded|slick)|wet floors?|puddles?|"
               r"standing water|water (?:all )?(?:on|over|across) the (?:\w+ )?floor|standing in (?:the )?water|"
               r"piso mojado|charco)\b")
_IN_WATER: Final = r"\b(?:in|under) (?:the |a |some |an inch of |all that )?(?:water|puddle)\b"
_AMID: Final = r"(?:(?!\b(?:no|not|nothing|isnt|isn't|arent|never|dry|was|were)\b)[^.;!?]){0,40}?"
_OPEN_MAINS: Final = re.compile(f"{_MAINS}{_AMID}{_LOOSE}|{_LOOSE}{_AMID}{_MAINS}", re.IGNORECASE)
_MAINS_IN_WATER: Final = re.compile(f"{_MAINS}{_AMID}{_IN_WATER}", re.IGNORECASE)
_LIVE_PLACE: Final = (r"(?:outlets?|(?<!light )(?<!lamp )sockets?|receptacles?|(?<!drain )(?<!spark )(?<!hall )plugs?|"
                      r"cords?|power strips?|breaker panel|enchufe)")
_ONTO_MAINS: Final = re.compile(
    r"(?<!\bno )\b(?:water|leak\w*|drip\w*|spray\w*|pour\w*|runn?(?:s|ing)?|wet)\b"
    r"(?:(?!\b(?:no|not|nothing|isnt|never|dry|from|out|was|were)\b)[^.;,:!?]){0,25}?"
    rf"\b(?:on|onto|into|over|around|round|down to)\s+(?:to )?(?:the |its |that |my )?(?:wall |power )?{_LIVE_PLACE}\b|"
    rf"\b{_LIVE_PLACE} (?:is |are |all |soaking |dripping )+(?:wet|soaked)\b|"
    r"\bstanding in (?:a |the )?(?:puddle|water)\b[^.;!?]{0,25}\b(?:plugged in|still on|live|power)\b", re.IGNORECASE)
"""Water on its way to what is live, or the tech in it."""
_FLOOR: Final = re.compile(_WET, re.IGNORECASE)
_IS_DRY: Final = re.compile(rf"\b(?:no|not|isnt|isn't|arent|never|was|were)\b[^.;,]{{0,20}}{_WET}|"
                            rf"\bfloors? was\b|\bdry floor", re.IGNORECASE)


def water_at_mains(text: str) -> bool:
    """True where a live part hangs open over a wet floor, lies in water, or has water running onto it."""
    if _IS_DRY.search(text):
        return False
    hangs = _FLOOR.search(text) is not None and _OPEN_MAINS.search(text) is not None
    return hangs or _MAINS_IN_WATER.search(text) is not None or _ONTO_MAINS.search(text) is not None
