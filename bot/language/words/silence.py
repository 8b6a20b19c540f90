"""The ways of saying that something is silent ('not a peep', 'doesn't make a sound'), said as one."""

from __future__ import annotations

import re
from typing import Final

_NOT: Final = r"(?:(?:do|does|did|is|was|are|were)(?:n'?t| not)|aint|ain't|not|never|won'?t)"
_NOISE: Final = r"(?:sounds?|noises?|peeps?)"
_NOTHING: Final = r"(?:nothin[g']?|nuttin|nuthin)"
_SILENT: Final = re.compile(
    rf"\b{_NOT} (?:even )?(?:(?:mak|giv)\w+ )?(?:a |any |one |much of a )?(?:single )?{_NOISE}\b(?: at all)?"
    rf"|\b(?:mak|giv)\w+ no {_NOISE}\b(?: at all)?"
    rf"|\bno {_NOISE} at all\b"
    r"|\bnot (?:even )?a (?:hum|buzz|whirr?|grunt)\b"
    r"|\bno (?:hum|buzz)(?: or (?:hum|buzz|click))?,? (?:nothing|nuttin|no nothing|at all)\b"
    rf"|\b(?:can'?t|cannot|couldn'?t|don'?t|didn'?t|do not) hear (?:a thing|anythin[g']?|{_NOTHING}|a sound|"
    rf"any {_NOISE})"
    r"(?: at all)?(?= *(?:$|[,.;]|from|out|down|in|there|coming))"
    rf"|\bhear(?:d|ing)? (?:{_NOTHING}|nada|zip)(?: at all)?"
    r"(?! (?:odd|wrong|bad|unusual|strange|else|but|except|special))", re.IGNORECASE)


def said_as_one(text: str) -> str:
    """The text with 'no sound' for each of these ways; 'no odd noise' is another thing and stays."""
    return _SILENT.sub("no sound", text.replace("’", "'"))
