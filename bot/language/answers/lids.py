"""How a lid or a door stands: the same switch reads the opposite with it shut and with it up."""

from __future__ import annotations

import re
from typing import Final

_LID: Final = re.compile(r"\b(?:lid|door)(?: is|'s|s)? (down|shut|closed|up|open|raised|lifted)\b", re.IGNORECASE)
_SHUT: Final = frozenset({"down", "shut", "closed"})


def lid_in(text: str) -> str | None:
    """'shut' or 'up' as words say; None where they say nothing of it."""
    found = _LID.search(text)
    return None if found is None else "shut" if found[1].lower() in _SHUT else "up"


def without_lid(text: str) -> str:
    """The words without how it stands."""
    return _LID.sub(" ", text).strip(" ,")
