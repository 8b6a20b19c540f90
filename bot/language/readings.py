"""`read`: a reading or a short answer, as a technician types it, to SI."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from bot.language.meaning import Asked, Heard, Special
from bot.language.numbers import Lexeme, lexemes_of
from bot.language.quantities import BASE, USUAL, Unit, measures, to_si, unit_for, unit_named
from bot.language.shortwords import phrases, restart, special_in, spots_of, yes_or_no
from bot.language.text import word_set

Range = tuple[float | None, float | None]
_CLOCK: Final = {"hour": 3, "minute": 2, "second": 1}
_LETTERS: Final = {
    "\u03c9": " ohm ", "\u2126": " ohm ", "\u03a9": " ohm ", "\u00b5": "u", "\u03bc": "u", "\u2212": "-", "\u2013": "-",
    "\u2014": "-", "\u00bd": " 1/2", "\u00bc": " 1/4", "\u00be": " 3/4", "\u00b0": " deg ", "\u00ba": " deg ",
    "~": " about ",
    "\u2019": "'", "\u221e": " infinite ", "\u2705": " yes ", "\u2714": " yes ", "\u274c": " no ",
    "\U0001f44d": " yes ", "\U0001f44e": " no ", "\U0001f937": " dunno "}
"""Signs that stand for words."""
_BETWEEN: Final = word_set("deg degs degree degrees grado grados de of a an ish some or so o")
"""Words that may stand between a number and its unit."""
_TO: Final = (["to"], ["-"], ["a"], ["thru"], ["through"], ["or"], ["o"], ["hasta"], ["or", "so"], ["up", "to"],
              ["till"])


@dataclass(frozen=True, slots=True)
class _Amount:
    """A number with what was typed behind it."""

    value: float
    unit: Unit | None
    first: int
    last: int
    """Places among the lexemes, the unit included."""
    spelled: bool


def read(asked: Asked, text: str, plausible: Range | None = None) -> Heard:
    """A reading in SI units, or a special word. `plausible`: SI range outside of which it is asked about again."""
    folded = _fold(text)
    if asked == "yes_no":
        return yes_or_no(folded)
    if asked == "minutes":
        folded = re.sub(r"\b(\d{1,2}):(\d\d)\b", r"\1 min \2 sec", folded)
    items = lexemes_of(_tens(folded))
    words = [i.text for i in items]
    items = _after_no(items[restart(words):])
    amounts = _relevant(_amounts(items, asked), items, asked)
    special = special_in(asked, items, bool(amounts))
    if special == "cant_measure" and not any(a.unit for a in amounts):
        return Heard(special="cant_measure")
    if not amounts:
        return Heard(special=special)
    return _numbers(asked, amounts, items, special, plausible)


_TENS: Final = {"twenties": 20, "thirties": 30, "forties": 40, "fifties": 50, "sixties": 60, "seventies": 70,
                "eighties": 80, "nineties": 90}
_ABOUT_TENS: Final = re.compile(
    r"\b(?:(low|lower|mid|middle|high|upper)[ -])?(?:the )?(?:(\d+)0'?s|(" + "|".join(_TENS) + r"))\b")
_PART: Final = {"low": (0, 3), "lower": (0, 3), "mid": (4, 6), "middle": (4, 6), "high": (7, 9), "upper": (7, 9)}


def _tens(folded: str) -> str:
    """'high 30s' is 37 to 39, 'the forties' 40 to 49; '1 20', as dictated, is 120."""
    spoken = re.fullmatch(r"\s*([1-9]) ([1-9]\d)\s*", folded)
    if spoken:
        return spoken[1] + spoken[2]
    return _ABOUT_TENS.sub(_as_range, folded)


def _as_range(found: re.Match[str]) -> str:
    base = _TENS[found[3]] if found[3] else int(found[2]) * 10
    low, high = _PART.get(found[1] or "", (0, 9))
    return f"{base + low} to {base + high}"


def _after_no(items: list[Lexeme]) -> list[Lexeme]:
    """'12 no 21': what was said first is taken back."""
    plain = [i for i in items if i.text != ","]
    for place in range(len(plain) - 2, 0, -1):
        if plain[place].text == "no" and plain[place - 1].number is not None and plain[place + 1].number is not None:
            return plain[place + 1:]
    return items


def _fold(text: str) -> str:
    out = []
    for char in text[:2000].lower():
        out.append(_LETTERS.get(char) or (char if char.isascii() else "".join(
            c for c in unicodedata.normalize("NFKD", char) if not unicodedata.combining(c)).lower()))
    plain = re.sub(r"(?<=[a-z])'(?=[a-z])", "", "".join(out))
    plain = re.sub(r"(?<=[a-z])-(?=[a-z])", " ", plain)
    return re.sub(r"\bo\.\s?l\.?(?![a-z])|\b0\.?l\b", "ol", plain)


def _amounts(items: Sequence[Lexeme], asked: Asked) -> list[_Amount]:
    found: list[_Amount] = []
    for place, item in enumerate(items):
        if item.number is None:
            continue
        last, unit = place, None
        for here in range(place + 1, min(place + 4, len(items))):
            word = items[here].text
            if word in _BETWEEN:
                last = here if word.startswith(("deg", "gra")) else last
                continue
            if items[here].number is None:
                unit = _per_minute(unit_for(word, asked), asked)
                last = here if unit else last
            break
        if unit is None and place and len(items[place - 1].text) > 3 and items[place - 1].number is None:
            unit = unit_for(items[place - 1].text, asked)
        value = item.number * (unit.factor if unit else 1.0)
        if place >= 2 and value == 0 and items[place - 1].text in ("below", "bajo", "under", "above") and found:
            continue
        if _is_minus(items, place) or _is_below(items, last):
            value = -value
        found.append(_Amount(value, unit, place, last, item.spelled))
    return found or _bare_units(items, asked)


def _bare_units(items: Sequence[Lexeme], asked: Asked) -> list[_Amount]:
    """'a minute', 'an hour', 'hour and a half': one of the unit."""
    for place, item in enumerate(items):
        unit = unit_for(item.text, asked) if len(item.text) > 2 else None
        counted = place > 0 and items[place - 1].text in ("a", "an", "un", "una", "one")
        alone = place == 0 and asked == "minutes"
        if unit is not None and unit.measures == measures(asked) and (counted or alone):
            return [_Amount(1.0, unit, place, place, True)]
    return []


def _per_minute(unit: Unit | None, asked: Asked) -> Unit | None:
    """'60 a minute' is an answer to a question for turns."""
    return unit_named("rpm") if unit is not None and asked == "rpm" and unit.name == "minute" else unit


def _is_minus(items: Sequence[Lexeme], place: int) -> bool:
    if place == 0:
        return False
    before = items[place - 1]
    if before.text in ("minus", "menos", "negative", "neg"):
        return True
    apart = place < 2 or items[place - 2].end < before.start
    return before.text == "-" and before.end == items[place].start and apart


def _is_below(items: Sequence[Lexeme], last: int) -> bool:
    return last + 1 < len(items) and items[last + 1].text in ("below", "bajo")


def _relevant(amounts: list[_Amount], items: Sequence[Lexeme], asked: Asked) -> list[_Amount]:
    """Numbers that are the reading: no pin numbers, no rated values, no lead resistance, nothing taken back."""
    kept = [a for a in amounts if not _counts_something(a, items)] or amounts
    words = [i.text for i in items]
    rated = [last for _, last in spots_of(words, "should")]
    if len(kept) > 1:
        meant = [next((a for a in kept if last <= a.first <= last + 2), None) for last in rated]
        kept = [a for a in kept if a not in meant] or kept
        kept = [a for a in kept if not _is_taken_back(words, a.first)] or kept
    want = measures(asked)
    fitting = [a for a in kept if a.unit is None or a.unit.measures == want]
    with_unit = [a for a in fitting if a.unit is not None]
    if len(with_unit) == 1 and len(fitting) == len(kept) == 2 and kept[0].spelled != kept[1].spelled:
        return with_unit
    return _joined(_without_clock(fitting or kept, asked), items)


def _is_taken_back(words: Sequence[str], place: int) -> bool:
    """'12 not 14', 'leads are .3': no reading of the part."""
    before = words[max(0, place - 2):place]
    leads = before in (["leads", "are"], ["leads", "read"], ["lead", "is"])
    return leads or before[-1:] in (["not"], ["no"], ["leads"], ["lead"])


def _without_clock(amounts: list[_Amount], asked: Asked) -> list[_Amount]:
    """'hour and a half' is one amount, and so is '1 hour 20 minutes'."""
    if asked == "minutes" and len(amounts) == 2 and amounts[0].unit:
        one, two = amounts
        larger, smaller = amounts[0].unit, two.unit
        if smaller is None and two.first == one.last + 1 and larger.name in ("hour", "minute"):
            smaller = unit_named("minute" if larger.name == "hour" else "second")
        if smaller is not None and two.first - one.last <= 2 and (
                _CLOCK.get(larger.name, 0) > _CLOCK.get(smaller.name, 0) > 0):
            seconds = to_si(one.value, larger.name) + to_si(two.value, smaller.name)
            return [_Amount(seconds, unit_named("second"), one.first, two.last, False)]
    return amounts


def _joined(amounts: list[_Amount], items: Sequence[Lexeme]) -> list[_Amount]:
    """'hour n a half': a fraction after its unit."""
    if len(amounts) == 1 and amounts[0].spelled and amounts[0].unit and amounts[0].value in (0.5, 0.25):
        return amounts
    if len(amounts) == 2 and amounts[1].value in (0.5, 0.25) and amounts[1].spelled and amounts[1].unit is None \
            and amounts[1].first - amounts[0].last <= 3:
        one = amounts[0]
        return [_Amount(one.value + amounts[1].value, one.unit, one.first, amounts[1].last, one.spelled)]
    if len(amounts) == 1 and amounts[0].value in (0.5, 0.25) and amounts[0].unit is None and amounts[0].first > 0:
        for place in range(amounts[0].first - 1, max(-1, amounts[0].first - 4), -1):
            unit = unit_for(items[place].text, "minutes") if len(items[place].text) > 2 else None
            if unit is not None:
                return [_Amount(1 + amounts[0].value, unit, place, amounts[0].last, True)]
    return amounts


def _counts_something(amount: _Amount, items: Sequence[Lexeme]) -> bool:
    """'the two outside pins', 'leg 1', 'one side' count or name things."""
    if amount.unit is not None:
        return False
    after = items[amount.last + 1].text if amount.last + 1 < len(items) else ""
    before = items[amount.first - 1].text if amount.first else ""
    small = float(amount.value).is_integer() and 0 < amount.value <= 6
    counted = (after,) in phrases("skip_after") and (amount.spelled or after not in _NOT_COUNTED)
    named = (before,) in phrases("skip_before")
    lone = amount.spelled and amount.value == 1 and after in ("", "is", "on", "at")
    return small and (counted or named or lone)


_NOT_COUNTED: Final = word_set("of other more end side leg time way")


def _numbers(asked: Asked, amounts: Sequence[_Amount], items: Sequence[Lexeme], special: Special | None,
             plausible: Range | None) -> Heard:
    want = measures(asked)
    first = amounts[0]
    if first.unit is not None and first.unit.measures != want:
        return Heard(value=to_si(first.value, first.unit.name), unit_mismatch=True, unit=first.unit.said)
    shared = next((a.unit for a in reversed(amounts) if a.unit is not None), None)
    values = [to_si(a.value, (a.unit or shared or unit_named(BASE[asked])).name) for a in amounts]
    open_too = special == "open" and asked in ("ohm", "continuity")
    if open_too:
        return Heard(multiple=(*values, "open"))
    if len(set(values)) > 1:
        if _is_range(amounts, items) and len(values) == 2:
            low, high = sorted(_same_scale(values))
            middle = (low + high) / 2
            return Heard(value=middle, low=low, high=high, plausible=_fits(asked, middle, plausible))
        return Heard(multiple=tuple(values))
    return Heard(value=values[0], plausible=_fits(asked, values[0], plausible))


def _same_scale(values: Sequence[float]) -> list[float]:
    """'5 or 6 k': the thousand is meant for both."""
    one, two = values
    for scale in (1e3, 1e6):
        if 0 < one < scale <= two and two / 10 <= one * scale <= two * 10:
            return [one * scale, two]
    return [one, two]


def _is_range(amounts: Sequence[_Amount], items: Sequence[Lexeme]) -> bool:
    one, two = amounts[0], amounts[1]
    between = [i.text for i in items[one.last + 1:two.first] if i.text not in ("about", "like", "maybe", "ish")]
    words = [i.text for i in items]
    bouncing = bool(spots_of(words, "bounces"))
    if between in _TO:
        return True
    if between in (["and"], ["y"], ["n"]):
        return bouncing
    if not between or between == [","]:
        close = max(abs(one.value), abs(two.value)) <= 1.3 * min(abs(one.value), abs(two.value))
        return bouncing or (close and not between)
    return bouncing and len(between) <= 3


def _fits(asked: Asked, value: float, plausible: Range | None) -> bool:
    low, high = USUAL[asked]
    if not low <= value <= high:
        return False
    if plausible is None:
        return True
    return (plausible[0] is None or value >= plausible[0]) and (plausible[1] is None or value <= plausible[1])
