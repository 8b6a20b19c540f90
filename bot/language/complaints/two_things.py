"""Two troubles announced in one line: '2 things. loud in spin n wont take cold'."""

from __future__ import annotations

import re
from typing import Final

from bot.language.answers.about import parts_of

_COUNT: Final = r"(?:2|two|3|three|4|four|a couple(?: of)?|couple(?: of)?|a few|several|dos|tres)"
_ANNOUNCED: Final = re.compile(
    rf"\b{_COUNT} (?:different |separate |other )?(?:things?|problems?|issues?|troubles?|complaints?|faults?|cosas|"
    r"problemas|fallas)\b(?! (?:i|we) (?:did|tried|checked|replaced|changed))"
    r"(?: (?:with|on|about|for) (?:it|this one|the \w+|her|this))?[\s.:;,-]*", re.IGNORECASE)
_LISTED: Final = re.compile(
    r"^(?:and |also )?(?:(?:number |no\.? ?|#)?(?:1|2|3|one|two|three)[.):]?|first(?:ly)?|second(?:ly)?|third|(?:the )?"
    r"(?:other|another)(?: one| thing)?(?: is)?|one is|primero|segundo)\b[\s.):,-]*", re.IGNORECASE)


def troubles_announced(text: str) -> list[str]:
    """The pieces of a line that says of itself that it tells more than one thing; none where it does not."""
    if _ANNOUNCED.search(text) is None:
        return []
    pieces = (_LISTED.sub("", piece).strip() for piece in parts_of(_ANNOUNCED.sub(", ", text)))
    return [piece for piece in pieces if any(c.isalpha() for c in piece)]
