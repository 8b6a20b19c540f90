"""Which parts of a fridge are warm, told in one breath with no comma: 'frz warm ff ok', 'freezer warm fridge warm'."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from typing import Final

from bot.language.words.text import drop_apostrophes

_FREEZER: Final = r"(?P<freezer>freezer|frzr?|frz|freezr)"
_FRIDGE: Final = r"(?P<fridge>fridge|refrigerator|ff|fresh food|refer)"
_AMID: Final = (
    r"(?: (?:side|part|section|compartment|is|s|are|was|gets|getting|seems|runs|a|bit|little|too|all|still))*")
_WARM: Final = r"(?P<warm>warm|warmer|soft|thaw(?:s|ed|ing)|melting|not (?:cold|cooling|freezing)|wont (?:cool|freeze))"
_WELL: Final = r"(?P<well>ok|okay|fine|good|cold|right|normal|works|holds|holding|cools|freezes)"
_SAID: Final = re.compile(
    rf"\b(?:{_FREEZER}|{_FRIDGE}){_AMID} (?:{_WARM}|{_WELL})\b(?! (?:enough|but|until|till|then))", re.IGNORECASE)
_BOTH: Final = re.compile(
    r"\bboth(?: (?:the|of the|of em|of them))*(?: (?:boxes|box|sides?|sections?|compartments?|parts|halves|ends|"
    rf"cabinets|fridge (?:and|n|&) freezer))?{_AMID} {_WARM}\b(?! (?:enough|but|until|till|then|air|breeze|to|on))",
    re.IGNORECASE)
_NO_WORD: Final = re.compile(r"\?|\b(?:was|before|used to|yesterday|last|after|when|then|if)\b", re.IGNORECASE)


def with_two_parts(states: Mapping[str, Collection[str]], text: str) -> dict[str, Collection[str]]:
    """What the parts of a cold machine are said to measure, with what words say of both of them where at least
    one is warm."""
    told: dict[str, str] = {}
    plain = drop_apostrophes(text)
    for found in () if _NO_WORD.search(plain) else _SAID.finditer(plain):
        told["freezer" if found["freezer"] else "fridge"] = "warm" if found["warm"] else "cold"
    both = None if told or _NO_WORD.search(plain) else _BOTH.search(plain)
    if both is not None:
        told = {"freezer": "warm", "fridge": "warm"}
    if len(told) < 2 or "warm" not in told.values():
        return dict(states)
    return {**{part: {state} for part, state in told.items()}, **states}
