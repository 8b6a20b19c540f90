"""Words with which techs put right what they said: 'wait, it was 5.2', 'scratch that', 'stuck, no wait it turns'."""

from __future__ import annotations

import re
from typing import Final

CORRECTING: Final = re.compile(
    r"\b(wait|sorry|oops|my bad|actually|correction|scratch that|i mean|i meant|i was wrong|was wrong|misread|"
    r"^\W*no,? (its|it was|that was|i said|make that)|wrong (pins?|one|wire|terminals?|setting|scale)|not (open|"
    r"that|what i said)|^\W*(make that|that should be|should be)|"
    r"\d[\d.]* ?(ohms?|k|v|volts?|amps?|a|f|c)?,? not \d[\d.]*|"
    r"espera|perdon|me equivoque|mejor dicho)\b",
    re.IGNORECASE)
"""Anywhere in a line: it may be about what was answered before."""
ANNOUNCING: Final = re.compile(
    r"^\W*(?:(?:no|nope|nah|na|oh|oops|ah|ok|wait|sorry|actually|correction|scratch that|my bad|hold on|hang on|i mean|"
    r"i meant|"
    r"i was wrong|rather|make that|its|it's|it is|it was|that was|that should be|should be|espera|perdon|"
    r"mejor dicho)\b\W*)+",
    re.IGNORECASE)
"""At the beginning of a line: they say that it corrects, and nothing of what is right."""
TAKEN_BACK: Final = re.compile(
    r"\b(?:no,? wait|wait,? no|oops|scratch that|correction|no,? actually|actually,? no|my bad|no,? sorry|sorry,? no|"
    r"no espera|perdon)\b", re.IGNORECASE)
"""Between what a line says first and what counts."""
