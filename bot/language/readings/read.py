"""`read`: a reading or a short answer, as a technician types it, to SI."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from bot.language.meaning import Asked, Heard, Special
from bot.language.readings.amounts import RANGE, Amount
from bot.language.readings.asides import are_only_counts, is_over_range, readings_among
from bot.language.readings.at_degrees import without_degrees
from bot.language.readings.ballparks import tens
from bot.language.readings.metertalk import TOOLS, open_when_touched
from bot.language.readings.nothings import bare_places
from bot.language.readings.numbers import Lexeme, lexemes_of
from bot.language.readings.quantities import BASE, USUAL, Unit, measures, to_si, unit_for, unit_named
from bot.language.readings.rates import counted_rate
from bot.language.readings.shortwords import allowed, restart, sounds, special_in, spots_of, yes_or_no
from bot.language.readings.signs import in_letters
from bot.language.readings.slips import numbers_mended, words_mended
from bot.language.readings.spans import between_times, durations
from bot.language.readings.told import asks_back, told_only, without_daytime
from bot.language.words.text import word_set

_NOTHING_AMISS: Final = re.compile(
    r"\b(?:nothing|nothin|nada|none)(?: (?:that|is|was|looks?|looked|seems|really|all|very|too|de|i can see|i see))* "
    r"(?:odd|strange|funny|weird|wrong|off|unusual|special|suspicious|out of the ordinary|abnormal|broken|burnt|burned|"
    r"loose|bad|raro|extrano|malo)\b(?! (?:the )?(?:scale|range|meter))", re.IGNORECASE)
"""'Nothing odd' is said of a look; it is no zero, and no open circuit."""

Range = tuple[float | None, float | None]
_THEN: Final[tuple[list[str], ...]] = ([], ["and"], ["y"], ["n"])
_CLOCK: Final = {"hour": 3, "minute": 2, "second": 1}
_BETWEEN: Final = word_set("deg degs degree degrees grado grados de of a an ish some or so o")
"""Words that may stand between a number and its unit."""


def read(asked: Asked, text: str, plausible: Range | None = None) -> Heard:
    """A reading in SI units, or a special word. `plausible`: SI range outside of which it is asked about again."""
    folded = _folded(asked, text)
    heard = _heard(asked, folded, plausible)
    mended = words_mended(folded) if heard == Heard() else folded
    return heard if mended == folded else _heard(asked, mended, plausible)


def _folded(asked: Asked, text: str) -> str:
    """A text with its figures as figures; where ohms are asked for, without degrees."""
    return numbers_mended(in_letters(without_degrees(text, of_ohms=True) if asked in {"ohm", "continuity"} else text))


def offered(asked: Asked, text: str) -> tuple[list[Lexeme], list[Amount]]:
    """All words and numbers of an answer in the order typed, and the numbers with their units: any may be meant."""
    folded = without_nothing_amiss(_folded(asked, text))
    items = lexemes_of(tens(durations(without_daytime(folded, asked)) if asked == "minutes" else folded))
    return items, _amounts(items, asked)


def read_only(asked: Asked, amount: Amount, amounts: Sequence[Amount], items: Sequence[Lexeme],
              plausible: Range | None) -> Heard:
    """The reading, where that number is it; what it lacks of a unit the others may tell."""
    units = [a.unit for a in reversed(amounts) if a.unit is not None and a.unit.measures == measures(asked)]
    only = replace(amount, unit=units[0]) if units and amount.unit is None else amount
    return _numbers(asked, [only], items, None, plausible)


def without_nothing_amiss(text: str) -> str:
    """The words without 'nothing odd', which measures nothing."""
    return _NOTHING_AMISS.sub(" ", text)


def _heard(asked: Asked, folded: str, plausible: Range | None) -> Heard:
    if asked == "yes_no":
        return yes_or_no(folded)
    folded = without_nothing_amiss(folded)
    if asks_back(folded):
        return Heard()
    apart = between_times(folded) if asked == "minutes" else None
    if apart is not None:
        return _numbers(asked, [Amount(apart, None, 0, 0, False)], (), None, plausible)
    folded = without_daytime(folded, asked)
    folded = durations(folded) if asked == "minutes" else folded
    items = lexemes_of(tens(folded))
    words = [i.text for i in items]
    items = _after_no(_restarted(items, words, asked))
    rate = counted_rate(items) if asked == "rpm" else None
    if rate is not None:
        return _numbers(asked, [rate], items, None, plausible)
    return _of_items(asked, items, folded, plausible)


def _of_items(asked: Asked, items: list[Lexeme], folded: str, plausible: Range | None) -> Heard:
    """What words and numbers, in the order typed, come to."""
    words = [i.text for i in items]
    amounts = told_only(_relevant(_amounts(items, asked), items, asked), items, asked)
    counts = are_only_counts(amounts, items)
    special = special_in(asked, items, not counts)
    if special and counts:
        amounts = []
    if is_over_range(amounts, items, special) and asked in ("ohm", "continuity"):
        return Heard(special="open")
    bare = all(a.unit is None and 0 < a.value <= 12 and "." not in items[a.first].text for a in amounts)
    each = sounds(items) if asked == "continuity" and special in ("beeps", "no_beep", "open") and bare else ()
    if each:
        return Heard(multiple=each)
    if asked == "continuity" and special == "beeps" and amounts and all(a.value <= BEEPING for a in amounts):
        return Heard(special="beeps")
    if special == "cant_measure" and "ol" in words and asked in ("ohm", "continuity") and not open_when_touched(words):
        return Heard(special="open")
    if special == "cant_measure" and not any(a.unit or _is_told(items, a) for a in amounts):
        return Heard(special="cant_measure")
    if len(amounts) == 1 and amounts[0].unit and amounts[0].first and items[amounts[0].first].text == "one" and (
            items[amounts[0].first - 1].text in ("not", "nary")):
        return Heard(special="zero")  # 'not one volt'
    if not amounts:
        return Heard(special=special or (_as_sound(folded) if asked == "continuity" else None))
    return _numbers(asked, amounts, items, special, plausible)


def _restarted(items: list[Lexeme], words: Sequence[str], asked: Asked) -> list[Lexeme]:
    """What follows a correction, if it tells anything: '4 C sorry, euro thermometer' corrects nothing."""
    nows, past = spots_of(words, "now"), spots_of(words, "was")
    turned = nows and past and nows[-1][1] <= past[0][0]  # 'nothing now, was 120 at the cord'
    rest = items[:past[0][0]] if turned else items[restart(words):]
    return rest if any(i.number is not None for i in rest) or special_in(asked, rest, False) else items


BEEPING: Final = 50.0
"""Ohms under which a meter may beep: the number beside a beep takes nothing from it."""
_TELLING: Final = word_set("than above over past below under marca lee dice da reads read shows says said is got gets")


def _is_told(items: Sequence[Lexeme], amount: Amount) -> bool:
    """'Marca 11.5': the meter says so; 'cant get it above 300'."""
    return amount.first > 0 and items[amount.first - 1].text in _TELLING


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


def _amounts(items: Sequence[Lexeme], asked: Asked) -> list[Amount]:
    found: list[Amount] = []
    for place, item in enumerate(items):
        if item.number is None:
            continue
        last, unit = place, None
        for here in range(place + 1, min(place + 4, len(items))):
            word = items[here].text
            if word in _BETWEEN and not (word == "a" and here == place + 1 and _is_end(items, here + 1)):
                last = here if word.startswith(("deg", "gra")) else last
                continue
            if items[here].number is None:
                unit = None if _is_no_unit(items, here, asked) else _per_minute(unit_for(word, asked), asked)
                last = here if unit else last
            break
        taken = bool(found) and found[-1].last == place - 1
        if unit is None and place and not taken and len(items[place - 1].text) > 3 and items[place - 1].number is None:
            unit = unit_for(items[place - 1].text, asked)
        if unit is None and last > place and measures(asked) != "temperature" and _is_degrees(items, place, last):
            unit = unit_named("celsius")  # '50 degrees' where ohms are asked for: of whichever scale, they are none
        value = item.number * (unit.factor if unit else 1.0)
        if place >= 2 and value == 0 and items[place - 1].text in ("below", "bajo", "under", "above") and found:
            continue
        if _is_minus(items, place) or _is_below(items, last, asked):
            value = -value
        found.append(Amount(value, unit, place, last, item.spelled))
    return found or _bare_units(items, asked)


def _is_degrees(items: Sequence[Lexeme], place: int, last: int) -> bool:
    """Whether a word for degrees stands behind a number."""
    return any(i.text.startswith("deg") or i.text in ("grado", "grados") for i in items[place + 1:last + 1])


def _is_end(items: Sequence[Lexeme], place: int) -> bool:
    return place >= len(items) or items[place].text in (",", ";", ".")


def _is_no_unit(items: Sequence[Lexeme], place: int, asked: Asked) -> bool:
    """The 'c' of '40 c to fan', the 'a' of '12 a minute ago': a letter of its own, the unit of something else."""
    letter = items[place]
    if letter.text == "min" and any(i.text == "max" for i in items):
        return True  # 'max 8.8 min 3.4'
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


def _is_below(items: Sequence[Lexeme], last: int, asked: Asked) -> bool:
    after = [i.text for i in items[last + 1:last + 3]]
    if asked in ("celsius", "fahrenheit") and after == ["under"]:
        return True
    return after[:1] in (["below"], ["bajo"]) or after in (["under", "zero"], ["under", "0"], ["under", "freezing"])


def _relevant(amounts: list[Amount], items: Sequence[Lexeme], asked: Asked) -> list[Amount]:
    """Numbers that are the reading, those of the quantity asked for first."""
    kept = readings_among(amounts, items, asked)
    want = measures(asked)
    fitting = [a for a in kept if a.unit is None or a.unit.measures == want]
    with_unit = [a for a in fitting if a.unit is not None]
    joined = _joined(_without_clock(fitting or kept, asked, items), items)
    if len(with_unit) == 1 and len(fitting) == len(kept) == len(joined) == 2 and kept[0].spelled != kept[1].spelled:
        return with_unit if all(a.value <= SMALL for a in kept if a.unit is None) else joined
    return joined


SMALL: Final = 12
"""A bare number up to this one, beside one with a unit, may count something."""


def _without_clock(amounts: list[Amount], asked: Asked, items: Sequence[Lexeme]) -> list[Amount]:
    """'hour and a half' is one amount, and so is '1 hour 20 minutes'."""
    if asked == "minutes" and len(amounts) == 2 and amounts[0].unit:
        one, two = amounts
        larger, smaller = amounts[0].unit, two.unit
        between = [i.text for i in items[one.last + 1:two.first]]
        then = two.value >= 1 and between in _THEN
        if smaller is None and then and larger.name in ("hour", "minute"):
            smaller = unit_named("minute" if larger.name == "hour" else "second")
        if smaller is not None and between in (*_THEN, [","], ["with"], ["plus"], ["con"]) and (
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
        opened = next((first for first, _ in spots_of([i.text for i in items], "open")), len(items))
        before = sum(a.first < opened for a in amounts)
        return Heard(multiple=(*values[:before], "open", *values[before:]))
    bare = bare_places(items, amounts) if "zero" in allowed(asked) and asked not in ("ohm", "continuity") else []
    if bare and all(values):
        told: list[float | Special] = list(values)
        for place in reversed(bare):
            told.insert(place, "zero")
        return Heard(multiple=tuple(told))
    if special == "zero" and 0 not in values and {"other", "otro", "otra"} & {i.text for i in items}:
        return Heard(multiple=(*values, "zero"))
    if len(values) > 2 and _is_range(amounts[-2:], items):
        ends = sorted(values[-2:])
        if all(ends[0] <= v <= ends[1] for v in values):  # 'just over 9, maybe 9 to 9.5'
            values, amounts = values[-2:], amounts[-2:]
    if len({a.unit for a in amounts}) == len(values) == 2 and all(a.unit for a in amounts) and (
            abs(values[0] - values[1]) <= SAME * abs(values[0])):
        values = values[:1]  # '140F/60C'
    if len(set(values)) > 1:
        if _is_range(amounts, items) and len(values) == 2:
            low, high = sorted(_same_scale(values, items[amounts[1].first].text))
            middle = (low + high) / 2
            return Heard(value=middle, low=low, high=high, plausible=_fits(asked, middle, plausible))
        return Heard(multiple=tuple(values))
    if not values[0] and first.spelled and want != "temperature":
        return Heard(special="zero")
    return Heard(value=values[0], plausible=_fits(asked, values[0], plausible), bare=shared is None)


def _same_scale(values: Sequence[float], said: str) -> list[float]:
    """'5 or 6 k', '4 to 5 hundred': the thousand or hundred is meant for both. `said`: the second number."""
    one, two = values
    hundreds = said.endswith(("hundred", "hunnerd", "hundo"))
    for scale in (1e2,) if hundreds else (1e3, 1e6):
        if 0 < one < scale <= two and two / 10 <= one * scale <= two * 10:
            return [one * scale, two]
    return [one, two]


SAME: Final = 0.01
"""Share by which one reading told in two units may differ from itself."""
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
