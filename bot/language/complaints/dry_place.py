"""One place that is dry: 'some on the floor, no leak from the line' says where it does not leak, no more."""

from __future__ import annotations

import re
from typing import Final

_PLACE: Final = (r"(?:water |inlet |fill |drain |supply |copper |plastic |ice ?maker |sink |house )*"
                 r"(?:lines?|hoses?|valves?|fittings?|connections?|pumps?|doors?|taps?|tubes?|filters?|pans?|boot|gasket|"
                 r"seals?|manguera|llave|válvula)")
_DRY: Final = re.compile(
    rf"\b(?:no (?:leaks?|leaking|drips?|water) (?:from|at|by|on|around|off|out of|coming from)|"
    rf"(?:isnt|isn['’]?t|not|aint|ain['’]?t) (?:leaking|dripping|coming) (?:from|at|by|out of|off))"
    rf" (?:the |its |any |my |la |el )?{_PLACE}\b", re.IGNORECASE)
_WET: Final = re.compile(r"\b(?:water|leak\w*|drip\w*|puddle\w*|wet|flood\w*|agua|gotea|charco)\b", re.IGNORECASE)


def without_dry_place(text: str) -> str:
    """The text with blanks for these words where the rest of it still tells of water; else they are the news."""
    left = _DRY.sub(lambda found: " " * len(found[0]), text)
    return left if _WET.search(left) else text
