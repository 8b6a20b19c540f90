"""Which of several numbers is the reading: what the meter is said to say, not the time of day or what was set."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from bot.language.meaning import Asked
from bot.language.readings.amounts import Amount
from bot.language.readings.numbers import Lexeme
from bot.language.words.text import word_set

_TELLING: Final = word_set("reads reading read shows showing is got gets get getting give gives gave me = marca lee da "
                           "es son clocked measured")
_DAYTIME: Final = re.compile(r"\b\d{1,2}(?:[:.]\d\d){0,2}\s?[ap]\.?m\b|\b\d{1,2}:\d\d(?::\d\d)?\b")
_HOURS: Final = re.compile(r"\b(\d{1,2})\s?h\s?(\d{1,2})\b(?! ?(?:sec|s\b))")
_DROP: Final = re.compile(
    r"\b(?:(?:drop|fall|sag|dip|cae|baja)\w*|went|fell|rose|climbed|moved|came|bajo|subio)(?: \w+)? (?:from|de) "
    r"[\d.,]+ ?[a-z]{0,5} (?:down |up )?(?:to|a) (?=\d)")
_ASKS: Final = re.compile(r"^\W*(?:which|what|where|how|cual|donde|que)\b.*\?\s*$", re.DOTALL)


def asks_back(folded: str) -> bool:
    """'Which two pins do you want me on?' has a number and is no reading."""
    return _ASKS.match(folded) is not None


def without_daytime(folded: str, asked: Asked) -> str:
    """The text without the time of day; '2h10' as hours and minutes; 'drops from 12 to 7.5' as what it dropped to."""
    text = _DROP.sub(" ", folded)
    return _HOURS.sub(r"\1 hour \2 min ", text) if asked == "minutes" else _DAYTIME.sub(" ", text)


def told_only(amounts: list[Amount], items: Sequence[Lexeme], asked: Asked) -> list[Amount]:
    """Without what was named before the meter spoke: 'set 400, got 372', '13 a fuse and it reads 12.6', 'element 1 is
    43, element 2 is 44.5'."""
    if len(amounts) < 2:
        return amounts
    telling = [amount.first > 0 and items[amount.first - 1].text in _TELLING for amount in amounts]
    if True not in telling:
        return _without_state(amounts, items) if asked in {"ohm", "microfarad"} else amounts
    first = telling.index(True)
    return [amount for place, amount in enumerate(amounts) if place >= first and not _is_named(amounts, items, place)]


def _is_named(amounts: Sequence[Amount], items: Sequence[Lexeme], place: int) -> bool:
    """The 2 of 'element 2 is 44.5', the 5 of '5 V supply reads 4.1'."""
    one, after = amounts[place], amounts[place + 1:place + 2]
    between = [i.text for i in items[one.last + 1:after[0].first]] if after else []
    if len(between) == 1:
        return one.unit is None and between[0] in _TELLING
    return len(between) == 2 and between[1] in _TELLING and between[0].isalpha() and between[0] not in _JOINTS


_JOINTS: Final = word_set("and but then it now that which n y pero this meter mine")


def _without_state(amounts: list[Amount], items: Sequence[Lexeme]) -> list[Amount]:
    """'1080 at 72 in the room': at which temperature it was read."""
    at = [a for a in amounts if a.first and items[a.first - 1].text == "at"]
    return [a for a in amounts if a not in at] if len(at) == 1 and len(amounts) == 2 and amounts[1] in at else amounts
