"""An answer in plain letters: signs as the words that they stand for, short forms in full."""

from __future__ import annotations

import re
import unicodedata
from typing import Final

_LETTERS: Final = {
    "\u03c9": " ohm ", "\u2126": " ohm ", "\u03a9": " ohm ", "\u00b5": "u", "\u03bc": "u", "\u2212": "-", "\u2013": "-",
    "\u2014": "-", "\u00bd": " 1/2", "\u00bc": " 1/4", "\u00be": " 3/4", "\u00b0": " deg ", "\u00ba": " deg ",
    "~": " about ",
    "\u2019": "'", "\u221e": " infinite ", "\u2705": " yes ", "\u2714": " yes ", "\u274c": " no ",
    "\U0001f44d": " yes ", "\U0001f44e": " no ", "\U0001f937": " dunno "}
"""Signs that stand for words."""


def in_letters(text: str) -> str:
    """Lower case without accents, apostrophes or signs."""
    out = []
    for char in text[:2000].lower():
        out.append(_LETTERS.get(char) or (char if char.isascii() else "".join(
            c for c in unicodedata.normalize("NFKD", char) if not unicodedata.combining(c)).lower()))
    plain = re.sub(r"(?<=[a-z])'(?=[a-z])", "", "".join(out))
    plain = re.sub(r"(?<=[a-z])-(?=[a-z])", " ", plain)
    plain = re.sub(r"\bb/w\b|\bbtwe?e?n?\b", "between", plain.replace("&", " and ").replace("%", " percent "))
    plain = re.sub(r"\bun par(?: de)?\b", "2", re.sub(r"\b(?:zero|0) (?=beep|tone|sound)", "no ", plain))
    plain = re.sub(r"\bbe{2,}p", "beep", plain)
    plain = re.sub(r"\bw/o\b", "without", plain).replace("w/", "with ")
    plain = re.sub(r"([a-z])\1{2,}", r"\1", plain)
    plain = re.sub(r"\b(milli|micro|nano|pico)[ -](?=amps?|volts?|farads?|ohms?)", r"\1", plain)
    return re.sub(r"\bo\.\s?l\.?(?![a-z])|\b0\.?l\b", "ol", plain)
