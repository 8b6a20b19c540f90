"""Turns counted against the clock: 'one rev every 2 seconds', '12 turns in 15 sec', 'twice a second'."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from bot.language.readings.amounts import Amount
from bot.language.readings.numbers import Lexeme
from bot.language.readings.quantities import to_si, unit_for, unit_named
from bot.language.words.text import word_set

_TURNS: Final = word_set("counted count clocked rev revs turn turns spin spins rotation rotations revolution "
                         "revolutions time times round rounds around lap laps vuelta vueltas vez veces "
                         "rpm once twice rotates")
_EVERY: Final = word_set("every cada")
_PER: Final = word_set("in per a an each en por / over")
_TIMES: Final = {"once": 1.0, "twice": 2.0, "a": 1.0, "una": 1.0}


def counted_rate(items: Sequence[Lexeme]) -> Amount | None:
    """Turns a minute, where turns and the time that they took are told and no other number follows."""
    for place, item in enumerate(items):
        if item.text not in _EVERY | _PER:
            continue
        here = place + 1
        span = items[here].number if here < len(items) else None
        here += span is not None
        unit = unit_for(items[here].text, "minutes") if here < len(items) else None
        before = [i.text for i in items[max(0, place - 3):place]]
        if unit is None or unit.measures != "time" or any(i.number is not None for i in items[here + 1:]):
            continue
        count = _count(items[max(0, place - 4):place])
        if item.text in _PER and (count is None or not _TURNS & set(before)):
            continue
        seconds = to_si(1.0 if span is None else span, unit.name)
        if seconds > 0 and (count is not None or _TURNS & set(before)):
            return Amount((1.0 if count is None else count) * 60 / seconds, unit_named("rpm"), place, here, False)
    return None


def _count(before: Sequence[Lexeme]) -> float | None:
    """The last number of these, or the word that stands for one."""
    for item in reversed(before):
        if item.number is not None:
            return item.number
        if item.text in _TIMES:
            return _TIMES[item.text]
    return None
