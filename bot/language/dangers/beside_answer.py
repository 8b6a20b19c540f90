"""A danger that one word tells in a line which surely answers the open check: 'stood on it, bites good', 'full stream,
flooded my sleeve'."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Final

from bot.language.dangers.hazards import Danger
from bot.language.meaning import Hazard

LEAST: Final[Mapping[Hazard, float]] = {"flood": -5.0}
"""Learned log odds below which a message as a whole is unlike the danger that its words tell. Not for fire, of which
many a part tells, nor for gas, a hurt, or a shock that somebody felt. Of 5,324 labelled messages that tell of a danger
of a machine, each at two checks, none is lost."""


def believed_beside_answer(dangers: Sequence[Danger], odds: Mapping[Hazard, float], text: str) -> list[Danger]:
    """The dangers that stand in such a line; the others are a way of putting the answer."""
    line = text.lower()
    return [danger for danger in dangers if danger.by_sentence or (
        odds.get(danger.hazard, 0.0) >= LEAST.get(danger.hazard, -99.0)
        and not (danger.hazard == "shock" and of_a_grip(line)))]


_GRIPS: Final = re.compile(
    r"\bbites? (?:(?:in|on|down|it|real|pretty|both ways|the \w+) )*(?:good|well|fine|properly|proper|nice|nicely|firm|"
    r"firmly|tight|right|solid|ok|okay)\b|\b(?:before|till|til|until|then|and then) (?:it|she|they|the \w+) "
    r"(?:just |finally )?bites?\b(?= *(?:$|[.,;!?]))|\b(?:felt|seal|gap|gasket|drum|edge) bites? "
    r"(?:them|em|into|the)\b")
_NOT_A_GRIP: Final = re.compile(
    r"\b(?:shock\w*|zap\w*|tingl\w*|jolt\w*|electr\w*|current|touch\w*|grab\w*|me|ya|u|you|us|him|her|cust\w*|owner|wet|"
    r"barefoot|live|volts?|static|fingers?|sting\w*|buzz\w*|ouch)\b")


def of_a_grip(line: str) -> bool:
    """Whether what bites is a part that takes hold, and nobody felt anything: 'bites good', 'a quarter turn before it
    bites'. `line`: lower case."""
    return _GRIPS.search(line) is not None and _NOT_A_GRIP.search(line) is None
