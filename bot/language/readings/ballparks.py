"""Numbers given by their tens: 'high 30s', 'the forties', and '1 20' as dictated."""

from __future__ import annotations

import re
from typing import Final

from bot.language.readings.numbers import small_number

_TENS: Final = {"teens": 10, "twenties": 20, "thirties": 30, "forties": 40, "fifties": 50, "sixties": 60,
                "seventies": 70, "eighties": 80, "nineties": 90}
_ABOUT_TENS: Final = re.compile(
    r"(?<!hundred )\b(?:(low|lower|lo|mid|middle|high|upper|hi)[ -])?(?:the )?"
    r"(?:(\d+)0'?s|(" + "|".join(_TENS) + r"))\b")
_DIGITS: Final = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
_HALF_SPOKEN: Final = re.compile(r"^(\W*(?:(?:about|like|its|got|maybe|around) )?)([1-9])"
                                 r"(?= (?:oh \w+|(?:twen|thir|for|fif|six|seven|eigh|nine)ty)\b)")
"""'1 twenty'."""
_ISH: Final = re.compile(r"\b([a-z]{3,})ish\b")
_PART: Final = {"low": (0, 3), "lo": (0, 3), "lower": (0, 3), "mid": (4, 6), "middle": (4, 6), "high": (7, 9),
                "hi": (7, 9), "upper": (7, 9)}


def tens(folded: str) -> str:
    """'high 30s' is 37 to 39, 'the forties' 40 to 49; '1 20' and '1 twenty', as dictated, are 120."""
    folded = _ISH.sub(_plain, folded)
    spoken = re.fullmatch(r"\s*([1-9]) ([1-9]\d)\s*", folded)
    if spoken:
        return spoken[1] + spoken[2]
    return _ABOUT_TENS.sub(_as_range, _HALF_SPOKEN.sub(lambda found: found[1] + _DIGITS[int(found[2])], folded))


def _plain(found: re.Match[str]) -> str:
    """'fivish', 'twentyish' as the number that is meant."""
    stem = found[1]
    return next((w for w in (stem, stem + "e", stem + "y") if small_number(w) is not None), found[0])


def _as_range(found: re.Match[str]) -> str:
    """Both ends, unless what follows is finer: 'low forties, 42 say'."""
    base = _TENS[found[3]] if found[3] else int(found[2]) * 10
    low, high = _PART.get(found[1] or "", (0, 9))
    low = max(low, 3) if base == 10 else low
    finer = [n for n in re.findall(r"\d+(?:\.\d+)?", found.string[found.end():]) if base <= float(n) <= base + 10]
    return " " if finer else f"{base + low} to {base + high}"
