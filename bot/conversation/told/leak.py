"""A hose, clamp or joint that somebody saw leak, told while something else is asked: it counts for the look from
below."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from bot.conversation.questions.worded import answer_to
from bot.conversation.turn import Turn
from bot.language.answers.about import parts_of
from bot.language.meaning import HeardResult

_JOINT: Final = (r"(?:hoses?|clamps?|fittings?|joints?|elbows?|hose ends?|couplings?|compression nut|manguera|"
                 r"abrazadera)")
_WATER: Final = r"(?:drip\w*|leak\w*|weep\w*|seep\w*|spray\w*|wet|gotea\w*|gotera)"
_HURT: Final = r"(?:loose|cracked|split|torn|broken|came off|popped off|slipped off|flojo|floja|rota?)"
_SO: Final = r"(?:(?!\b(?:no|not|isnt|arent|never|dry|nothing|without|if)\b)[^.;?]){0,40}?"
_LEAKS: Final = re.compile(
    rf"\b{_JOINT}\b{_SO}\b{_WATER}\b|"
    rf"\b{_WATER}\b{_SO}\b(?:at|from|off|by|around|round|out of|en|de)\b{_SO}\b{_JOINT}\b",
    re.IGNORECASE)
_IS_HURT: Final = re.compile(rf"\b{_JOINT}\b(?: (?:is|was|are|at|on|the|its|to|sump|pump|under|it|all))* {_HURT}\b|"
                             rf"\b{_HURT}(?: (?:sump|pump|drain|fill|inlet|hose))* {_JOINT}\b|"
                             rf"\b{_HURT} at (?:the|its) {_JOINT}\b", re.IGNORECASE)
_OF_IT: Final = re.compile(rf"\b{_JOINT}\b|\b{_WATER}\b (?:from|at|off)? ?(?:there|it)\b", re.IGNORECASE)
_NOT_SEEN: Final = re.compile(
    r"\?|\b(?:says?|said|thinks?|customer|cust|was|used to|replaced|new|fixed|tightened|might|maybe|if|used|will)\b",
    re.IGNORECASE)
_SAYS: Final = re.compile(r"^(?:drips|leaks) at a hose\b", re.IGNORECASE)
"""How packs say it of a look at where the first drop comes from."""
LEAKS: Final = "leaks"


def of_leak(text: str) -> bool:
    """Whether words speak of that joint."""
    return _OF_IT.search(text) is not None


def leak_told(turn: Turn, text: str, asked: Sequence[str]) -> HeardResult | None:
    """The look that shows a leaking joint, where words tell of one and it is not what is asked; a loose one alone only
    of a machine that leaks."""
    plain = text.replace("'", "")
    stands = any(fact.subject == LEAKS for fact in turn.job.standing("complaint"))
    if _NOT_SEEN.search(plain) or not (_LEAKS.search(plain) or (stands and _IS_HURT.search(plain))):
        return None
    told = ", ".join(part for part in parts_of(text) if of_leak(part))
    if any(answer_to(turn, key, told).result is not None for key in asked):
        return None
    return next((HeardResult(key, name, 1.0) for key, check in turn.pack.checks.items() if check.kind == "look"
                 for name, result in check.results.items() if _SAYS.search(result.says)), None)
