"""What a washer's pump does is told of no drum: 'impeller turns now' says nothing of how it tumbles or spins."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from bot.language.answers.about import parts_of
from bot.language.meaning import Guess

_WASHERS: Final = frozenset({"front_load_washer", "top_load_washer"})
_OF_THE_DRUM: Final = frozenset({"no_tumble", "no_spin", "no_agitate"})
_PUMP: Final = re.compile(r"\bpumps?\b", re.IGNORECASE)
_IMPELLER: Final = re.compile(r"\bimpellers?\b", re.IGNORECASE)
"""In a top-loader it may be the wash plate, unless its pump is spoken of."""
_TURNS: Final = re.compile(
    r"\b(?:turn|spin|spun|mov|rotat|stuck|seiz|jam|lock|froz|free)\w*", re.IGNORECASE)
_DRUM: Final = re.compile(
    r"\b(?:clothes|load\w*|it|she|machine|washer|motor)\b", re.IGNORECASE)
_NAMED: Final = re.compile(
    r"\b(?:drum|tub|basket|agitat\w*|plate|(?:no|not|wont|dont|doesnt|didnt|cant) pump)\b", re.IGNORECASE)
"""Named anywhere, it may be what turns: 'pump spins but drum wont'. 'No pump no spin' is two troubles."""


def turns_only_the_pump(family: str | None, text: str) -> bool:
    """Whether all that a line says of turning, spinning or sticking is said of a washer's pump."""
    if family not in _WASHERS or _NAMED.search(text):
        return False
    turning = [part for part in parts_of(text) if _TURNS.search(part)]
    alone = family == "front_load_washer" or _PUMP.search(text) is not None
    return bool(turning) and all(
        (_PUMP.search(part) or (alone and _IMPELLER.search(part))) and not _DRUM.search(part) for part in turning)


def of_the_pump(guesses: Sequence[Guess], denied: tuple[str, ...]) -> tuple[list[Guess], tuple[str, ...]]:
    """What is told and denied, without what only a drum does."""
    return [g for g in guesses if g.id not in _OF_THE_DRUM], tuple(one for one in denied if one not in _OF_THE_DRUM)
