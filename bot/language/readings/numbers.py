"""Numbers as people type them: 1k2, 1,200, half, twelve hundred, one twenty, treinta y cinco."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from bot.language.words.lexicon import data
from bot.language.words.text import word_set

_SMALL, _TENS, _HUNDREDS, _TIMES, _FRACTIONS, _PARTS = (
    {word: float(value) for word, value in data("numbers")[name].items()}
    for name in ("small", "tens", "hundreds", "times", "fractions", "parts"))
_UNITS: Final = word_set("one two three four five six seven eight nine")
_DICTATED: Final = _UNITS | {"zero", "oh", "o"}
_BEFORE_ONCE: Final = word_set("son como unos da marca lee de a y o entre es casi tiene dice los las hasta")
_AFTER_ONCE: Final = word_set("it i its the you we a in every or he she they")
_SPANISH: Final = word_set("un una uno dos tres cuatro cinco seis siete ocho nueve diez once doce trece catorce "
                            "quince")
_POINT: Final = frozenset({"point", "punto", "coma", "pt"})
_LEXEME: Final = re.compile(
    r"\d+[kmrv]\d+(?![a-z0-9])|\d{1,3}(?:[,']\d{3})+(?:\.\d+)?(?!\d)|\d+\s\d/\d|\d/\d|\d+[.,]\d+|[.,]\d+|\d+|[a-z]+|[-+/?!;:,.()]")
_MIXED: Final = re.compile(r"(\d+)([kmrv])(\d+)")


@dataclass(frozen=True, slots=True)
class Lexeme:
    """A word, mark or number of an answer."""

    text: str
    start: int
    number: float | None = None
    spelled: bool = False
    end: int = 0


def lexemes_of(text: str) -> list[Lexeme]:
    """Words and numbers of a folded text; number words in a row become one number."""
    raw = [_lexeme(m) for m in _LEXEME.finditer(text[:2000])]
    out: list[Lexeme] = []
    place = 0
    while place < len(raw):
        used, value = _spelled(raw, place)
        if used:
            last = raw[place + used - 1]
            out.append(Lexeme(" ".join(r.text for r in raw[place:place + used]), raw[place].start, value,
                              all(r.number is None for r in raw[place:place + used]), last.end))
            place += used
        else:
            out.append(raw[place])
            place += 1
    return out


def _lexeme(match: re.Match[str]) -> Lexeme:
    word = match.group()
    return Lexeme(word, match.start(), _digits(word), False, match.end())


def _digits(word: str) -> float | None:
    if not any(c.isdigit() for c in word):
        return None
    mixed = _MIXED.fullmatch(word)
    if mixed:
        return float(f"{mixed[1]}.{mixed[3]}") * {"k": 1e3, "m": 1e6, "r": 1.0, "v": 1.0}[mixed[2]]
    if "/" in word:
        whole, _, part = word.rpartition(" ") if " " in word else ("0", "", word)
        top, bottom = part.split("/")
        return float(whole) + float(top) / float(bottom) if float(bottom) else None
    if re.fullmatch(r"[1-9]\d{0,2}(?:[,']\d{3})+(?:\.\d+)?", word):
        return float(re.sub(r"[,']", "", word))
    return float(word.replace("'", "").replace(",", "."))


def _spelled(raw: Sequence[Lexeme], place: int) -> tuple[int, float]:
    """Number of lexemes that make one number from here, and its value; (0, 0) if none begins here."""
    first = raw[place]
    for said in (_digit_by_digit, _parts):
        used, value = said(raw, place)
        if used:
            return used, value
    if first.number is not None:
        here = [r.text for r in raw[place + 1:place + 4]]
        if first.number < 1 and here[:1] == ["of"] and here[1:2] in (["a"], ["an"]):
            return _of_a(raw, place, 1, first.number)
        return _after(raw, place, 1, first.number)
    if first.text in _POINT:
        decimals, used = _decimals(raw, place + 1)
        if not decimals or not _follows(raw, place):
            return 0, 0.0
        return _of_a(raw, place, used + 1, float("0." + decimals))
    if first.text in _FRACTIONS:
        return _of_a(raw, place, 1, _FRACTIONS[first.text])
    following = raw[place + 1].text if place + 1 < len(raw) else ""
    if first.text in ("a", "an") and following in ("couple", "dozen", "few"):
        used, value = _spelled(raw, place + 1)
        return used + 1, value
    if first.text in ("a", "an") and following in _TIMES:
        value, used = _words(raw, place + 1, bare=True)
        return _after(raw, place, used + 1, value) if used else _after(raw, place, 2, _TIMES[following])
    value, used = _words(raw, place, bare=first.text == "hundred" and following in {"and", "n", *_SMALL, *_TENS})
    if not used:
        return 0, 0.0
    return _after(raw, place, used, value)


def _digit_by_digit(raw: Sequence[Lexeme], place: int) -> tuple[int, float]:
    """'one two one' is 121: three digits or more in a row, as dictated."""
    digits = ""
    while place + len(digits) < len(raw) and (word := raw[place + len(digits)].text) in _DICTATED:
        digits += "0" if word in ("oh", "o") else str(int(_SMALL[word]))
    ends = place + len(digits) == len(raw) or raw[place + len(digits)].text not in {*_TIMES, *_TENS, *_POINT}
    return (len(digits), float(digits)) if len(digits) > 2 and ends and digits[0] != "0" else (0, 0.0)


def _parts(raw: Sequence[Lexeme], place: int) -> tuple[int, float]:
    """'six tenths', 'a tenth of an', 'three quarters of a meg', 'two and 3 tenths'."""
    count = 1.0 if raw[place].text in ("a", "an", "un", "una") else small_number(raw[place].text)
    part = _PARTS.get(raw[place + 1].text) if place + 1 < len(raw) else None
    if count is None or part is None:
        return 0, 0.0
    return _of_a(raw, place, 2, count / part)


def _of_a(raw: Sequence[Lexeme], place: int, used: int, value: float) -> tuple[int, float]:
    """'point eight of a k', 'half a meg': so much of what multiplies; the 'of an' of '.2 of an amp' goes along."""
    here = place + used
    here += here < len(raw) and raw[here].text in ("of", "de")
    article = here < len(raw) and raw[here].text in ("a", "an", "un")
    times = _TIMES.get(raw[here + article].text) if here + article < len(raw) else None
    if times:
        return here + article + 1 - place, value * times
    return (here + 1 - place if article and here > place + used else used), value


def small_number(word: str) -> float | None:
    """A whole number below a hundred, in a word or two digits."""
    return float(word) if word.isdecimal() and len(word) < 3 else _SMALL.get(word, _TENS.get(word))


def _follows(raw: Sequence[Lexeme], place: int) -> bool:
    return place == 0 or raw[place - 1].text not in ("a", "the", "that", "this", "at")


def _words(raw: Sequence[Lexeme], place: int, *, bare: bool = False) -> tuple[float, int]:
    """Plain number words: 'one hundred twenty', 'twelve hundred', 'one twenty', 'seventeen twenty five'.

    `bare`: 'hundred' may stand first, as in 'a hundred'.
    """
    total, group, used, last = 0.0, 0.0, 0, 1e9
    while place + used < len(raw):
        word = raw[place + used].text
        if word == "once" and not _is_eleven(raw, place + used):
            break
        if _is_tenth(raw, place + used, used, last):
            return total + group + _SMALL[word] / 10, used + 1
        small = _SMALL.get(word, _TENS.get(word, _HUNDREDS.get(word)))
        if small is not None:
            if used and not _goes_on(last, small):
                break
            if (used and last < 10 and 10 <= small < 100 and group < 10) or (
                    used and 10 <= last < 100 and 10 <= small < 100 and group < 100):
                group = group * 100 + small
            else:
                group += small
            last = small
        elif word in ("oh", "o") and used and last < 20 and _is_zero(raw, place + used):
            group, last = group * 100, 1e8
        elif word in ("hundred", "hunnerd", "buck") and (used or bare):
            group, last = max(group, 1.0) * 100, 1e2 if group < 10 else 1e3
        elif word in ("thousand", "mil") and (used or bare or word == "mil"):
            total, group, last = total + max(group, 1.0) * 1e3, 0.0, 1e3
        elif word in ("and", "y", "n") and used and _joins(raw, place + used, last):
            used += 1
            continue
        else:
            break
        used += 1
    return total + group, used


def _goes_on(last: float, small: float) -> bool:
    """'twenty five', 'one twenty', 'seventeen twenty' are one number; 'six four' is two."""
    if last < 10:
        return 10 <= small < 100
    return small < last or (last < 100 and 10 <= small < 100)


def _is_zero(raw: Sequence[Lexeme], place: int) -> bool:
    """'one oh five'; the 'o' of 'una o dos' is 'or'."""
    return raw[place - 1].text not in _SPANISH and place + 1 < len(raw) and raw[place + 1].text in _UNITS


def _is_eleven(raw: Sequence[Lexeme], place: int) -> bool:
    """Spanish 'once' is eleven among Spanish words or alone; English 'once' is none."""
    if place == 0:
        return place + 1 >= len(raw) or raw[1].text not in _AFTER_ONCE
    return raw[place - 1].text in _BEFORE_ONCE


def _is_tenth(raw: Sequence[Lexeme], place: int, used: int, last: float) -> bool:
    """'thirteen two' is 13.2, as dictated: no number is said so but a decimal."""
    return used == 1 and 10 <= last < 20 and raw[place].text in _UNITS


def _joins(raw: Sequence[Lexeme], place: int, last: float) -> bool:
    """'hundred and twenty', 'treinta y cinco' go on; 'four and ten' are two numbers."""
    if place + 1 >= len(raw):
        return False
    following = raw[place + 1].text
    if following in _SMALL and raw[place].text == "y":
        return 20 <= last < 100 and _SMALL[following] < 10
    return last in (1e2, 1e3) and (following in _SMALL or following in _TENS)


def _after(raw: Sequence[Lexeme], place: int, used: int, value: float) -> tuple[int, float]:
    """What may follow a number: 'point five', 'k', 'and a half', 'meg'."""
    if place + used < len(raw) and raw[place + used].text in _POINT:
        decimals, more = _decimals(raw, place + used + 1)
        if decimals:
            value, used = float(f"{value:.0f}.{decimals}"), used + more + 1
    if place + used < len(raw):
        times = _TIMES.get(raw[place + used].text)
        if times is not None and not (raw[place + used].text == "mil" and value >= 1000):
            value, used = value * times, used + 1
            tail, more = _words(raw, place + used) if times == 1e3 else (0.0, 0)
            if more and 100 <= tail < 1000:
                value, used = value + tail, used + more
    if value >= 100 and raw[place + used - 1].text in ("hundred", "thousand"):
        rest = raw[place + used + 1:place + used + 3]
        if raw[place + used:place + used + 1] and raw[place + used].text == "and" and rest and (
                rest[0].text.isdecimal() and len(rest[0].text) < 3 and (len(rest) < 2 or rest[1].text not in _TIMES)):
            value, used = value + float(rest[0].text), used + 2
    before, scale = used, _TIMES.get(raw[place + used - 1].text, 1.0) if used else 1.0
    used, value = _and_a_half(raw, place, used, value, scale)
    if used > before and place + used < len(raw) and raw[place + used].text in _TIMES:
        return used + 1, value * _TIMES[raw[place + used].text]
    return used, value


def _and_a_half(raw: Sequence[Lexeme], place: int, used: int, value: float, scale: float) -> tuple[int, float]:
    """'one and a half', 'a k and a half': the half is of what was said last."""
    for join in (("and", "a"), ("n", "a"), ("and",), ("y",), ()):
        here = place + used + len(join)
        if tuple(r.text for r in raw[here - len(join):here]) == join and here < len(raw):
            length, tail = _parts(raw, here) if join else (0, 0.0)
            if length and tail < 1:
                return used + len(join) + length, value + tail * scale
            part = _FRACTIONS.get(raw[here].text)
            if part is not None and (join or raw[here].text != "half"):
                return used + len(join) + 1, value + part * scale
    return used, value


def _decimals(raw: Sequence[Lexeme], place: int) -> tuple[str, int]:
    digits, used = "", 0
    while place + used < len(raw):
        item = raw[place + used]
        if item.number is not None and item.number.is_integer() and item.text.isdecimal():
            return digits + item.text, used + 1
        if item.text in _SMALL and _SMALL[item.text] < 10 and item.text not in ("couple", "few"):
            digits += str(int(_SMALL[item.text]))
        elif item.text in ("oh", "o"):
            digits += "0"
        elif item.text in _TENS and not digits:
            tail = _SMALL.get(raw[place + used + 1].text, 0.0) if place + used + 1 < len(raw) else 0.0
            whole = _TENS[item.text] + (tail if tail < 10 else 0.0)
            return str(int(whole)), used + 1 + (0 < tail < 10)
        else:
            break
        used += 1
    return digits, used
