"""`read`: a reading or a short answer, as a technician types it, to SI."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from typing import Final

from bot.language.asides import RANGE, Amount, are_only_counts, is_over_range, readings_among
from bot.language.meaning import Asked, Heard, Special
from bot.language.metertalk import TOOLS
from bot.language.numbers import Lexeme, lexemes_of
from bot.language.quantities import BASE, USUAL, Unit, measures, to_si, unit_for, unit_named
from bot.language.shortwords import restart, sounds, special_in, spots_of, yes_or_no
from bot.language.text import word_set
from bot.language.told import asks_back, told_only, without_daytime

Range = tuple[float | None, float | None]
_THEN: Final[tuple[list[str], ...]] = ([], ["and"], ["y"], ["n"])
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


def read(asked: Asked, text: str, plausible: Range | None = None) -> Heard:
    """A reading in SI units, or a special word. `plausible`: SI range outside of which it is asked about again."""
    folded = _fold(text)
    if asked == "yes_no":
        return yes_or_no(folded)
    if asks_back(folded):
        return Heard()
    folded = without_daytime(folded, asked)
    folded = _durations(folded) if asked == "minutes" else folded
    items = lexemes_of(_tens(folded))
    words = [i.text for i in items]
    items = _after_no(items[restart(words):])
    amounts = told_only(_relevant(_amounts(items, asked), items, asked), items, asked)
    special = special_in(asked, items, bool(amounts))
    if special and are_only_counts(amounts, items):
        amounts = []
    if is_over_range(amounts, items, special) and asked in ("ohm", "continuity"):
        return Heard(special="open")
    bare = all(a.unit is None and 0 < a.value <= 12 and "." not in items[a.first].text for a in amounts)
    each = sounds(items) if asked == "continuity" and special in ("beeps", "no_beep", "open") and bare else ()
    if each:
        return Heard(multiple=each)
    if asked == "continuity" and special == "beeps" and amounts and all(a.value <= BEEPING for a in amounts):
        return Heard(special="beeps")
    if special == "cant_measure" and "ol" in words and asked in ("ohm", "continuity"):
        return Heard(special="open")
    if special == "cant_measure" and not any(a.unit or _is_told(items, a) for a in amounts):
        return Heard(special="cant_measure")
    if not amounts:
        return Heard(special=special or (_as_sound(folded) if asked == "continuity" else None))
    return _numbers(asked, amounts, items, special, plausible)


BEEPING: Final = 50.0
"""Ohms under which a meter may beep: the number beside a beep takes nothing from it."""
_TELLING: Final = word_set("marca lee dice da reads read shows says said is got gets")


def _is_told(items: Sequence[Lexeme], amount: Amount) -> bool:
    """'Marca 11.5': the meter says so."""
    return amount.first > 0 and items[amount.first - 1].text in _TELLING


_SINCE: Final = re.compile(r"\b(?:at|started|since|until|till?|from|desde|by)(?: (?:at|like|about|around))? "
                           r"\d{1,2}:\d\d\b|\b\d{1,2}:\d\d\s?[ap]m\b")
_ONE: Final = re.compile(r"(?<!half )(?<!of )(?<!medio )(?<!media )\b(?:an?|una?) "
                         r"(?=(?:hour|hr|minute|min|hora|minuto)\b)")


def _durations(folded: str) -> str:
    """'2:30' is minutes and seconds unless it tells when; 'an hour' is one hour."""
    told = re.sub(r"\b(\d{1,2}):(\d\d)\b", r"\1 min \2 sec", _SINCE.sub(" ", folded))
    return _ONE.sub("1 ", told)


_TENS: Final = {"twenties": 20, "thirties": 30, "forties": 40, "fifties": 50, "sixties": 60, "seventies": 70,
                "eighties": 80, "nineties": 90}
_ABOUT_TENS: Final = re.compile(
    r"\b(?:(low|lower|lo|mid|middle|high|upper|hi)[ -])?(?:the )?(?:(\d+)0'?s|(" + "|".join(_TENS) + r"))\b")
_PART: Final = {"low": (0, 3), "lo": (0, 3), "lower": (0, 3), "mid": (4, 6), "middle": (4, 6), "high": (7, 9),
                "hi": (7, 9), "upper": (7, 9)}


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


def _as_sound(folded: str) -> Special | None:
    """'yea it does' to 'does it beep?'."""
    said = yes_or_no(folded).special
    return "beeps" if said == "yes" else "no_beep" if said == "no" else said


def _after_no(items: list[Lexeme]) -> list[Lexeme]:
    """'12 no 21': what was said first is taken back."""
    plain = [i for i in items if i.text != ","]
    for place in range(len(plain) - 2, 0, -1):
        amid = plain[place - 1].number is not None and plain[place + 1].number is not None
        if amid and plain[place].text in ("no", "nope", "nah"):
            return plain[place + 1:]
    return items


def _fold(text: str) -> str:
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
    return re.sub(r"\bo\.\s?l\.?(?![a-z])|\b0\.?l\b", "ol", plain)


def _amounts(items: Sequence[Lexeme], asked: Asked) -> list[Amount]:
    found: list[Amount] = []
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
                unit = None if _is_no_unit(items, here, asked) else _per_minute(unit_for(word, asked), asked)
                last = here if unit else last
            break
        taken = bool(found) and found[-1].last == place - 1
        if unit is None and place and not taken and len(items[place - 1].text) > 3 and items[place - 1].number is None:
            unit = unit_for(items[place - 1].text, asked)
        value = item.number * (unit.factor if unit else 1.0)
        if place >= 2 and value == 0 and items[place - 1].text in ("below", "bajo", "under", "above") and found:
            continue
        if _is_minus(items, place) or _is_below(items, last):
            value = -value
        found.append(Amount(value, unit, place, last, item.spelled))
    return found or _bare_units(items, asked)


def _is_no_unit(items: Sequence[Lexeme], place: int, asked: Asked) -> bool:
    """The 'c' of '40 c to fan', the 'a' of '12 a minute ago': a letter of its own, the unit of something else."""
    letter = items[place]
    if letter.text == "second" and asked != "minutes":
        return True  # 'first time 11 second time 12'
    if len(letter.text) > 1 or letter.text == "v" or letter.start == items[place - 1].end or place + 1 == len(items):
        return False
    unit = unit_for(letter.text, asked)
    return unit is not None and unit.measures != measures(asked) and items[place + 1].text.isalpha()


def _bare_units(items: Sequence[Lexeme], asked: Asked) -> list[Amount]:
    """'a minute', 'an hour', 'hour and a half': one of the unit."""
    for place, item in enumerate(items):
        unit = unit_for(item.text, asked) if len(item.text) > 2 else None
        counted = place > 0 and items[place - 1].text in ("a", "an", "un", "una", "one")
        alone = place == 0 and asked == "minutes"
        tool = place + 1 < len(items) and items[place + 1].text in TOOLS
        if unit is not None and unit.measures == measures(asked) and (counted or alone) and not tool:
            return [Amount(1.0, unit, place, place, True)]
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
    after = [i.text for i in items[last + 1:last + 3]]
    return after[:1] in (["below"], ["bajo"]) or after in (["under", "zero"], ["under", "0"], ["under", "freezing"])


def _relevant(amounts: list[Amount], items: Sequence[Lexeme], asked: Asked) -> list[Amount]:
    """Numbers that are the reading, those of the quantity asked for first."""
    kept = readings_among(amounts, items, asked)
    want = measures(asked)
    fitting = [a for a in kept if a.unit is None or a.unit.measures == want]
    with_unit = [a for a in fitting if a.unit is not None]
    joined = _joined(_without_clock(fitting or kept, asked, items), items)
    if len(with_unit) == 1 and len(fitting) == len(kept) == len(joined) == 2 and kept[0].spelled != kept[1].spelled:
        return with_unit
    return joined


def _without_clock(amounts: list[Amount], asked: Asked, items: Sequence[Lexeme]) -> list[Amount]:
    """'hour and a half' is one amount, and so is '1 hour 20 minutes'."""
    if asked == "minutes" and len(amounts) == 2 and amounts[0].unit:
        one, two = amounts
        larger, smaller = amounts[0].unit, two.unit
        then = two.value >= 1 and [i.text for i in items[one.last + 1:two.first]] in _THEN
        if smaller is None and then and larger.name in ("hour", "minute"):
            smaller = unit_named("minute" if larger.name == "hour" else "second")
        if smaller is not None and two.first - one.last <= 2 and (
                _CLOCK.get(larger.name, 0) > _CLOCK.get(smaller.name, 0) > 0):
            seconds = to_si(one.value, larger.name) + to_si(two.value, smaller.name)
            return [Amount(seconds, unit_named("second"), one.first, two.last, False)]
    return amounts


def _joined(amounts: list[Amount], items: Sequence[Lexeme]) -> list[Amount]:
    """'hour n a half': a fraction after its unit."""
    if len(amounts) == 1 and amounts[0].spelled and amounts[0].unit and amounts[0].value in (0.5, 0.25):
        return amounts
    if len(amounts) == 2 and amounts[1].value in (0.5, 0.25) and amounts[1].spelled and amounts[1].unit is None \
            and amounts[1].first - amounts[0].last <= 3:
        one = amounts[0]
        return [Amount(one.value + amounts[1].value, one.unit, one.first, amounts[1].last, one.spelled)]
    if len(amounts) == 1 and amounts[0].value in (0.5, 0.25) and amounts[0].unit is None and amounts[0].first > 0:
        for place in range(amounts[0].first - 1, max(-1, amounts[0].first - 4), -1):
            unit = unit_for(items[place].text, "minutes") if len(items[place].text) > 2 else None
            if unit is not None:
                return [Amount(1 + amounts[0].value, unit, place, amounts[0].last, True)]
    return amounts


def _numbers(asked: Asked, amounts: Sequence[Amount], items: Sequence[Lexeme], special: Special | None,
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
    if special == "zero" and 0 not in values and {"other", "otro", "otra"} & {i.text for i in items}:
        return Heard(multiple=(*values, "zero"))
    if len(values) > 2 and _is_range(amounts[-2:], items):
        ends = sorted(values[-2:])
        if all(ends[0] <= v <= ends[1] for v in values):  # 'just over 9, maybe 9 to 9.5'
            values, amounts = values[-2:], amounts[-2:]
    if len(set(values)) > 1:
        if _is_range(amounts, items) and len(values) == 2:
            low, high = sorted(_same_scale(values, items[amounts[1].first].text))
            middle = (low + high) / 2
            return Heard(value=middle, low=low, high=high, plausible=_fits(asked, middle, plausible))
        return Heard(multiple=tuple(values))
    return Heard(value=values[0], plausible=_fits(asked, values[0], plausible))


def _same_scale(values: Sequence[float], said: str) -> list[float]:
    """'5 or 6 k', '4 to 5 hundred': the thousand or hundred is meant for both. `said`: the second number."""
    one, two = values
    hundreds = said.endswith(("hundred", "hunnerd", "hundo"))
    for scale in (1e2,) if hundreds else (1e3, 1e6):
        if 0 < one < scale <= two and two / 10 <= one * scale <= two * 10:
            return [one * scale, two]
    return [one, two]


_THEREABOUT: Final = word_set("somewhere thereabouts around ish")


def _is_range(amounts: Sequence[Amount], items: Sequence[Lexeme]) -> bool:
    one, two = amounts[0], amounts[1]
    minus = two.value < 0 and items[two.first - 1].text == "-"
    between = [i.text for i in items[one.last + 1:two.first - minus] if i.text not in ("about", "like", "maybe", "ish")]
    words = [i.text for i in items]
    bouncing = bool(spots_of(words, "bounces"))
    if between in RANGE:
        return True
    if between in (["and"], ["y"], ["n"]):
        return bouncing
    if not between or between == [","]:
        close = max(abs(one.value), abs(two.value)) <= 1.3 * min(abs(one.value), abs(two.value))
        return bouncing or (close and (not between or bool(_THEREABOUT & set(words))))
    return bouncing and len(between) <= 3


def _fits(asked: Asked, value: float, plausible: Range | None) -> bool:
    low, high = USUAL[asked]
    if not low <= value <= high:
        return False
    if plausible is None:
        return True
    return (plausible[0] is None or value >= plausible[0]) and (plausible[1] is None or value <= plausible[1])
