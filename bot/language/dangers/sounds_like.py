"""What only sounds like a shock or a flood: a knock that stops a machine, a duct's length, water in its pan."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

_JOLT: Final = r"jolt(?:s|ed|ing)?"
_KNOCK: Final = r"(?:bump|knock|bang|slam|shake|nudge|kick|hit|tap|door|load|lid|drum)(?:s|ed|ing|ped|med)?"
_PART: Final = (r"(?:it|its?|the|that|this|doors?|lid|drum|tub|basket|machine|dryer|washer|dishwasher|range|panel|load|"
                r"rack|cord|plug|console)")
_STOPS: Final = (r"(?:stop(?:s|ped)?|quits?|cuts?(?: out| off)?|dies|died|starts?|restarts?|comes? back|"
                 r"goes (?:off|dead)|shuts?(?: off| down)?|drops? out|resets?|trips?)")
_OF_A_KNOCK: Final = re.compile(
    rf"\b{_JOLT} {_PART}\b|\ba jolt to {_PART}\b|"
    rf"\b{_KNOCK} (?:or|and|n|,) (?:(?:a|any|it) )?{_JOLT}\b|\b{_JOLT} (?:or|and|n|,) (?:(?:a|any|it) )?{_KNOCK}\b|"
    rf"\b{_STOPS} (?:\w+ )?(?:with|on|at|after|from|by|when|if|every time)"
    rf" (?:(?:it|the \w+) (?:gets|takes|has|is) )?(?:(?:a|any|every|each|the|little|small|good|big|hard) )*{_JOLT}\b")
_OF_SOMEBODY: Final = re.compile(
    r"\bjolt(?:s|ed|ing)? (?:the )?(?:me|you|him|her|us|them|customers?|cust|kids?|helper|wife|husband|lady|hands?)\b|"
    r"\b(?:gives?|gave|giving) (?:me|you|him|her|us|them|(?:the |my )?\w+) an? (?:\w+ )?jolt|"
    r"\b(?:i|she|he|we|they|you|customer|cust|who|hand|hands|finger|fingers|arm)\b (?:\w+ )?"
    r"(?:gets?|got|feels?|felt|took|takes?)\b|"
    r"(?<!\bit )(?<!machine )(?<!door )(?<!drum )(?<!load )\bgot (?:a|another) (?:\w+ )?jolt\b|"
    r"\bjolt (?:off|through|thru|up|when|from (?:the|its|touching))\b|"
    r"\b(?:shock\w*|zap\w*|tingl\w*|electr\w*|current|bit|bites?|touch\w*|wet|barefoot|live|volts?)\b")
"""A jolt that somebody got, or with anything beside it that tells of current."""


def of_a_knock(words: Sequence[str]) -> bool:
    """Whether a jolt is a knock that the machine gets and nobody felt it: 'stops with a jolt', 'jolts the door'."""
    line = " ".join(words)
    return "jolt" in line and _OF_A_KNOCK.search(line) is not None and _OF_SOMEBODY.search(line) is None


_LENGTH: Final = re.compile(r"\b(?:\d+|ten|twenty|thirty|forty|fifty) ?(?:foot|feet|ft)\b|\b(?:\d+|two|three|four|five|"
                            r"six|few|couple|several|lots? of|many) elbows?\b|\b(?:foot|feet|ft) with elbows?\b")
_FELT: Final = re.compile(
    r"\b(?:shock\w*|zap\w*|tingl\w*|jolt\w*|bit|bites?|biting|electr\w*|current|touch\w*|live|volts?|nailed|sting\w*|"
    r"poke\w*|ouch|buzz\w*|numb|i|me|my|we|us|he|him|his|she|her|they|them|customer|cust|hands?|fingers?|arms?|wet|"
    r"barefoot|static|spark\w*)\b")


def of_a_length(words: Sequence[str]) -> bool:
    """Whether foot and elbow are of a duct and nobody felt anything: 'metal, 35 foot with 5 elbows'."""
    line = " ".join(words)
    return _LENGTH.search(line) is not None and _FELT.search(line) is None


_HELD: Final = re.compile(
    r"\b(?:runs?|running|ran|drains?|draining|drained|goes|going|went|flows?|flowing|drips?|gets|getting)"
    r"(?: (?:right|straight|all|fine|ok|freely|down|out|through|thru|back|now))* (?:in)?to (?:(?:the|its|a|that) )?"
    r"(?:(?:drip|drain|condensate|evap|evaporator) )?(?:pan|tray|drain|sump|bucket|standpipe|sink)\b")
_OUT_OF_HAND: Final = re.compile(
    r"\b(?:floors?|carpet|ceiling|wall|outlet|plug|cord|everywhere|over|overflow\w*|flood\w*|burst|gush\w*|spray\w*|"
    r"pour(?:s|ing)|all of it|cant|cannot|wont|no|not|never|still|but|house|kitchen|basement|room|inch\w*|deep|"
    r"leak\w*)\b")


def of_held_water(words: Sequence[str]) -> bool:
    """Whether water goes where it should and nothing of it elsewhere: 'poured a pint down, it runs to the pan now'."""
    line = " ".join(words)
    return _HELD.search(line) is not None and _OUT_OF_HAND.search(line) is None
