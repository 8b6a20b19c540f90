"""A check that asks a second thing in passing ('Oil on it?'): what denies that alone is no word on the first."""

from __future__ import annotations

import re
from typing import Final

from bot.language.answers.about import stems
from knowledge.schema import Check

SHORTEST: Final = 4
"""Words of a question in passing at most."""
_DENIED: Final = re.compile(
    r"\b(?:no|not any|without(?: any)?|aint no|nor|sin|ning[uú]n)\s+([a-záéíóúñ]+)(?: on it| there| at all)?",
    re.IGNORECASE)


def without_side_denial(check: Check, text: str) -> str:
    """A line without 'no oil' where 'Oil on it?' is asked in passing."""
    passing = [part for part in re.split(r"(?<=[.?:])\s+", check.ask)[1:]
               if part.endswith("?") and len(part.split()) <= SHORTEST]
    asked = frozenset().union(*(stems(part) for part in passing))
    return _DENIED.sub(lambda found: " " if stems(found[1]) & asked else found[0], text) if asked else text
