"""Words that tell of a circuit: open, closed, beeping."""

from __future__ import annotations

import re
from typing import Final

from bot.language.words.text import plain_words, word_set

_OPEN: Final = re.compile(
    r"\b(ol|o\.l|infinite|no continuity)\b|"
    r"\b(reads?|reading|shows?|measures?|measured|tests?|tested|metered) (as )?open\b|\bopen on (the |my )?meter\b",
    re.IGNORECASE)
_BEEPS: Final = re.compile(r"\bbeep(?:s|ed|ing)?\b|\bhas continuity\b", re.IGNORECASE)
_CLOSED: Final = re.compile(
    r"\b(?:is|are|was|both|reads?|shows?|tests?|tested) closed\b|"
    r"^\W*(?:[\w-]+ ){1,3}closed(?: (?:cold|frozen|when (?:cold|frozen)))?\W*$", re.IGNORECASE)
_OPENED: Final = word_set("door lid valve valves vent flap window panel damper drawer lock tap")
"""Things that stand open with nothing wrong."""
_FILLING: Final = word_set("the my its is are that this a so also too just def definitely")
_OF_A_CIRCUIT: Final = word_set("switch coil coils motor sensor lock latch relay solenoid fuse winding windings heater "
                                "element")
"""Parts of a door, a valve or a lid that carry current."""
_OPENS: Final = word_set("cracked wide split torn propped left hangs swings pops popped half comes came burst fully "
                         "full all flips blown blew pried bent forced")
"""What opens in another way than a circuit: 'the seam is cracked open'."""
MOST_NAMED: Final = 4
"""Words that name a part, at most."""


def tells_open(text: str) -> bool:
    """'Reads OL', 'element open'."""
    return _OPEN.search(text) is not None or _only_open(text)


def tells_continuity(text: str) -> bool:
    """'Beeps', 'no beep', 'has continuity', 'limit is closed'; no door that is closed."""
    return _BEEPS.search(text) is not None or (
        _CLOSED.search(text) is not None and not set(text.lower().split()) & _OPENED)


def _only_open(text: str) -> bool:
    """'Element open', 'the thermal fuse is open', and nothing else: a part with a circuit, no door."""
    words = [word for word in plain_words(text) if word not in _FILLING]
    if len(words) > MOST_NAMED + 1 or words[-1:] != ["open"] or set(words[-2:]) & _OPENS:
        return False
    return not set(words) & _OPENED or bool(set(words) & _OF_A_CIRCUIT)
