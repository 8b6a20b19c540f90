"""A capacity that was read beside the one on the can: '10 uf stamped 45' is far under it."""

from __future__ import annotations

import re
from typing import Final

from knowledge.schema import Check

_NUMBER: Final = r"(?<![\w.])(\d{1,3}(?:\.\d+)?)\s*(?:u|uf|mfd|mf|µf|microfarads?)?(?![\w.]*\d)"
_STAMP: Final = (r"(?:stamp(?:ed|s)?|mark(?:ed|ing)?|rat(?:ed|ing)|label(?:ed|led|s)?|can|case|side|says|sticker|"
                 r"should be|shud be|supposed to be|spec|nominal|number)")
_READ: Final = r"(?:reads?|reading|read|measures?|measured|meter(?:ed|s)?|got|gives|shows?|is at|tests?)"
_FILL: Final = r"(?:[\s,;:.-]|the|it|its|is|at|as|on|of|a|an|and|n|but|uf|mfd|to|for|only|just|says)*"
_READ_FIRST: Final = re.compile(
    rf"{_NUMBER}{_FILL}{_STAMP}(?:{_FILL}{_STAMP})?{_FILL}{_NUMBER}|"
    rf"{_NUMBER}\s*(?:/|out of|of|on an?|for an?|vs)\s*(?:the |a )?{_NUMBER}", re.IGNORECASE)
_STAMP_FIRST: Final = re.compile(rf"{_STAMP}{_FILL}{_NUMBER}{_FILL}{_READ}{_FILL}{_NUMBER}", re.IGNORECASE)
_STAMP_BEHIND: Final = re.compile(
    rf"{_NUMBER}{_FILL}(?:on|is on) (?:the |its )?(?:can|case|side|label|sticker){_FILL}{_READ}{_FILL}{_NUMBER}",
    re.IGNORECASE)
UNDER: Final = 0.85
"""Share of its stamp below which a capacitor is low; run capacitors are made to a tenth."""
WITHIN: Final = (0.9, 1.25)
"""From a tenth under to what a start capacitor may have over its stamp."""
_SAYS_UNDER: Final = "way under"
_SAYS_WITHIN: Final = "within ten percent"
"""How packs call the two, among the phrases of their results."""


def asks_capacity(check: Check) -> bool:
    """Whether a check compares a capacity with its stamp."""
    return "microfarads" in check.ask and check.reading is None


def by_stamp(check: Check, text: str) -> str | None:
    """The result that a reading and a stamp give together; None if the words have no such two, or they lie between."""
    if not asks_capacity(check):
        return None
    share = _share(text)
    if share is None or _lies_between(share):
        return None
    wanted = _SAYS_UNDER if share < UNDER else _SAYS_WITHIN
    return next((name for name, entry in check.results.items() if wanted in entry.phrases.get("en", ())), None)


def between_stamps(check: Check, text: str) -> bool:
    """Whether a reading beside its stamp is neither low nor good: it is asked about."""
    share = _share(text) if asks_capacity(check) else None
    return share is not None and _lies_between(share)


def without_stamp(check: Check, text: str) -> bool:
    """Whether a figure alone is told of a capacity: what it should be is asked about."""
    return asks_capacity(check) and _FIGURE.fullmatch(text) is not None


_FIGURE: Final = re.compile(r"\W*(?:\w+ )?[\d.]+ ?(?:[u\u00b5\u03bc]f|mfd|microfarads?)?\W*", re.IGNORECASE)


def _share(text: str) -> float | None:
    """What is read over what is stamped."""
    first, other = _READ_FIRST.search(text), _STAMP_FIRST.search(text) or _STAMP_BEHIND.search(text)
    if other is not None:
        stamp, read = (float(figure) for figure in other.groups() if figure is not None)
    elif first is not None:
        read, stamp = (float(figure) for figure in first.groups() if figure is not None)
    else:
        return None
    return read / stamp if stamp > 0 else None


def _lies_between(share: float) -> bool:
    return UNDER <= share < WITHIN[0] or share > WITHIN[1]
