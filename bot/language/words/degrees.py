"""How people type a temperature: '12C', '-18 degrees', 'set to 37', '10 c in the fridge'."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Final

from bot.language.words.lexicon import data
from bot.language.words.text import word_set
from bot.language.words.units import Unit, context

_GLUED: Final = re.compile(r"(\d{1,3})(?:deg|degs|degrees)?([cf])")
_SCALES: Final[Mapping[str, str]] = {
    word: letter for name, letter in (("celsius", "c"), ("fahrenheit", "f")) for word in data("units")[name]}
_WANTED: Final = word_set("set setting supposed should instead setpoint dial want wants wanted asked puesto")
_INSIDE: Final = word_set("in inside en dentro")
_COUNTED: Final = word_set(
    "year years yr yrs yo old anos month months mo mos mth mths week weeks wk wks day days d dias night nights nites "
    "hour hours hr hrs h horas minute minutes min mins second seconds sec secs s time times x blink blinks flash "
    "flashes beep beeps door doors wide cubic cu cf ft inch inches amp amps a v volt volts ohm ohms w watt watts kwh "
    "percent pm am call calls rings")
_REPEATED: Final = word_set("every each for after cada")
_BEFORE, _AFTER = 3, 2
"""Words around a number that tell what it is."""
CELSIUS, FAHRENHEIT, INSIDE, WANTED, COUNTED = "c", "f", "inside", "wanted", "counted"


def glued(words: str) -> str | None:
    """The digits of '12c'; None for anything else."""
    found = _GLUED.fullmatch(words)
    return found.group(1) if found else None


def kind_of(units: Sequence[Unit], place: int) -> str:
    """What the words around the number at `place` make of it: degrees of a scale, a temperature that was wanted and
    not measured, one that is inside something, a count of something else; '' for a mere number."""
    before = [unit.words for unit in units[max(0, place - _BEFORE):place]]
    after = [unit.words for unit in units[place + 1:place + 1 + _AFTER]]
    if not _WANTED.isdisjoint(before):
        return WANTED
    if not _REPEATED.isdisjoint(before[-1:]):
        return COUNTED
    typed = _GLUED.fullmatch(units[place].words)
    if typed:
        return typed.group(2)
    if after and after[0] in context("degrees"):
        after = after[1:] or [""]
        return _SCALES.get(after[0], INSIDE)
    if not after:
        return ""
    return _SCALES.get(after[0]) or (INSIDE if after[0] in _INSIDE else COUNTED if after[0] in _COUNTED else "")
