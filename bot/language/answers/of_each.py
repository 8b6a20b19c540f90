"""Several like coils read one by one against a range that the check itself names: 'coils 1.2k n 560'."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final

from bot.language.answers.bands import usual
from bot.language.readings.read import Range, read
from knowledge.schema import Check

_OF_EACH: Final = re.compile(r"\bohms of each\b[^.?]*\((?P<range>[^)]*\d[^)]*\bto\b[^)]*\d[^)]*)\)", re.IGNORECASE)
_COUNTED: Final = re.compile(
    r"\b(?:coils?|number|no|#) ?#?[1-4](?![\w.,]*\d)|#[1-4]\b|\b[1-4] (?:of (?:the|em)|coils?)\b", re.IGNORECASE)
"""'Coil 1', '2 coils': which one or how many, and no reading."""
_BY_THE_SHEET: Final = re.compile(
    r"\?|\b(?:sheet|spec\w*|chart|supposed|suposed|should|would|if|says?|said|used to|plate|diagram|new|last|"
    r"megs?|megohms?)\b", re.IGNORECASE)
"""A figure beside it is what a good one has."""
_ALL: Final = re.compile(r"\b(?:both|each|all|every)\b", re.IGNORECASE)
LEAST: Final = 10.0
"""Ohms below which a number without a unit may as well be kilohms."""


def asks_of_each(entry: Check) -> bool:
    """Whether a check is of several like parts that are read one by one against a range."""
    return entry.kind == "meter" and entry.reading is None and _range_of(entry.ask) is not None


def each_in_range(entry: Check, text: str) -> str | None:
    """The result of readings of each: the usual one where all lie in the range, the other one where any does not; None
    where words tell no figure, one alone that is well, or what the sheet says."""
    within = _range_of(entry.ask) if asks_of_each(entry) else None
    if within is None or _BY_THE_SHEET.search(text):
        return None
    said = _COUNTED.sub(" ", text)
    heard = read("ohm", said)
    figures = heard.multiple or ((heard.value,) if heard.value is not None else ())
    if not figures or heard.unit_mismatch or not re.search(r"\d", said):
        return None
    ohms = [one for one in figures if not isinstance(one, str)]
    if any(one < LEAST for one in ohms) and not re.search(r"ohm|\bk|\dk", said, re.IGNORECASE):
        return None
    low, high = within
    if len(ohms) < len(figures) or any(not (low or 0.0) <= one <= (high or one) for one in ohms):
        return _the_other(entry)
    return usual(entry) if len(ohms) > 1 or _ALL.search(text) else None


def _the_other(entry: Check) -> str | None:
    """What a check of two results shows where not all is well."""
    others = [name for name in entry.results if name != usual(entry)]
    return others[0] if len(others) == 1 else None


@lru_cache(maxsize=256)
def _range_of(ask: str) -> Range | None:
    found = _OF_EACH.search(ask)
    if found is None:
        return None
    low, _, high = found["range"].partition(" to ")
    return read("ohm", low).value, read("ohm", high).value


_NAMES: Final = re.compile(r"\b(?:coils?|(?:boost\w*|hold\w*|split|secondary|main|sec)(?: coil)?)\b", re.IGNORECASE)
_NOT_THESE: Final = re.compile(r"\b(?:element|elem|heater|heating|relay|motor|fill|inlet)\b", re.IGNORECASE)
_FIGURE: Final = re.compile(r"\W*(?:(?:and|n|the|other|one|is|reads?|at|about|2nd|second)\W+)*"
                            r"(?:\d[\d.,]*\s*(?:k|ohms?|kohms?|kilohms?)?|ol|open)"
                            r"(?: (?:cold|each|both|too|on the (?:other|second) one|the other))*\W*", re.IGNORECASE)


def names_coils(text: str) -> bool:
    """Whether words name the coils of a gas valve, and no coil of another part."""
    return _NAMES.search(text) is not None and _NOT_THESE.search(text) is None


def of_coils(part: str) -> bool:
    """Whether one part of a line names such a coil with a figure, or is a bare figure."""
    return _FIGURE.fullmatch(part) is not None or (names_coils(part) and _READS.search(part) is not None)


_READS: Final = re.compile(r"\d|\b(?:ol|open|in range|good|fine)\b", re.IGNORECASE)
