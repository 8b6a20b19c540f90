"""`read`: a reading or a short answer, as a technician types it, to SI."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final

from bot.language.lexicon import data
from bot.language.meaning import Asked, Heard, Special
from bot.language.numbers import Lexeme, lexemes_of
from bot.language.quantities import BASE, USUAL, Unit, measures, to_si, unit_for, unit_named
from bot.language.text import word_set

Range = tuple[float | None, float | None]
_SPECIALS: Final[dict[Asked, tuple[Special, ...]]] = {
    "ohm": ("cant_measure", "open", "unsure", "zero"), "continuity": ("cant_measure", "open", "unsure", "no_beep", "beeps", "zero"),
    "yes_no": ("unsure", "cant_measure", "yes", "no"), "rpm": ("cant_measure", "unsure", "zero"),
    "minutes": ("cant_measure", "unsure"), "celsius": ("cant_measure", "unsure"), "fahrenheit": ("cant_measure", "unsure"),
    "volt_ac": ("cant_measure", "unsure", "zero"), "volt_dc": ("cant_measure", "unsure", "zero"),
    "microfarad": ("cant_measure", "unsure", "open", "zero"), "amp": ("cant_measure", "unsure", "zero")}
_CLOCK: Final = {"hour": 3, "minute": 2, "second": 1}
_LETTERS: Final = {"\u03c9": " ohm ", "\u2126": " ohm ", "\u00b5": "u", "\u03bc": "u", "\u2212": "-", "\u2013": "-", "\u2014": "-",
                   "\u00bd": " 1/2", "\u00bc": " 1/4", "\u00be": " 3/4", "\u00b0": " deg ", "\u00ba": " deg ", "~": " about ", "\U0001f44d": " yes ",
                   "\U0001f44e": " no ", "\u2705": " yes ", "\u274c": " no ", "\u2714": " yes ", "\u2019": "'", "\u221e": " infinite ",
                   "\u03a9": " ohm ", "\U0001f937": " dunno "}


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
        return _yes_no(folded)
    items = lexemes_of(folded)
    words = [i.text for i in items]
    items = items[_restart(words):]
    amounts = _relevant(_amounts(items, asked), items, asked)
    special = _special(asked, items, amounts)
    if special == "cant_measure" and not any(a.unit for a in amounts):
        return Heard(special="cant_measure")
    if not amounts:
        return Heard(special=special)
    return _numbers(asked, amounts, items, special, plausible)


def _fold(text: str) -> str:
    out = []
    for char in text[:2000].lower():
        out.append(_LETTERS.get(char) or (char if char.isascii() else "".join(
            c for c in unicodedata.normalize("NFKD", char) if not unicodedata.combining(c)).lower()))
    plain = re.sub(r"(?<=[a-z])'(?=[a-z])", "", "".join(out))
    return re.sub(r"\bo\.\s?l\.?(?![a-z])|\b0\.?l\b", "ol", plain)


@cache
def _phrases(group: str) -> frozenset[tuple[str, ...]]:
    return frozenset(tuple(p.split()) for p in data("answers")[group])


def _spots(words: Sequence[str], group: str) -> list[tuple[int, int]]:
    """Where phrases of a group stand: first and last place + 1, longest first at each place."""
    table, found, place = _phrases(group), [], 0
    while place < len(words):
        for length in range(4, 0, -1):
            if tuple(words[place:place + length]) in table:
                found.append((place, place + len(words[place:place + length])))
                place += length - 1
                break
        place += 1
    return found


def _restart(words: Sequence[str]) -> int:
    """'12 no sorry 21': what counts begins after the last correction that something follows."""
    for first, last in reversed(_spots(words, "correct")):
        if last < len(words) and first > 0:
            return last
    nows = [last for _, last in _spots(words, "now") if last < len(words)]
    return nows[-1] if nows and _spots(words, "was") else 0


def _amounts(items: Sequence[Lexeme], asked: Asked) -> list[_Amount]:
    found: list[_Amount] = []
    for place, item in enumerate(items):
        if item.number is None:
            continue
        last, unit = place, None
        ahead = [i for i in range(place + 1, min(place + 4, len(items)))]
        for here in ahead:
            word = items[here].text
            if word in ("deg", "degs", "degree", "degrees", "grado", "grados", "de", "of", "a", "an", "ish", "some", "or", "so", "o"):
                last = here if word.startswith(("deg", "gra")) else last
                continue
            if items[here].number is None:
                unit = unit_for(word, asked)
                last = here if unit else last
            break
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
        if unit is not None and unit.measures == measures(asked) and asked == "minutes" and (
                (place > 0 and items[place - 1].text in ("a", "an", "un", "una", "one")) or place == 0):
            return [_Amount(1.0, unit, place, place, True)]
    return []


def _is_minus(items: Sequence[Lexeme], place: int) -> bool:
    if place == 0:
        return False
    before = items[place - 1]
    if before.text in ("minus", "menos", "negative", "neg"):
        return True
    return before.text == "-" and before.end == items[place].start and (
        place < 2 or (items[place - 2].end < before.start and items[place - 2].number is None) or items[place - 2].end < before.start)


def _is_below(items: Sequence[Lexeme], last: int) -> bool:
    return last + 1 < len(items) and items[last + 1].text in ("below", "bajo")


def _relevant(amounts: list[_Amount], items: Sequence[Lexeme], asked: Asked) -> list[_Amount]:
    """Numbers that are the reading: no pin numbers, no rated values, no lead resistance, nothing taken back."""
    kept = [a for a in amounts if not _counts_something(a, items)] or amounts
    words = [i.text for i in items]
    rated = [last for _, last in _spots(words, "should")]
    if len(kept) > 1:
        kept = [a for a in kept if not any(last <= a.first <= last + 2 for last in rated)] or kept
        kept = [a for a in kept if a.first == 0 or (words[a.first - 1] not in ("not", "no", "leads", "lead")
                and words[max(0, a.first - 2):a.first] not in (["leads", "are"], ["leads", "read"], ["lead", "is"]))] or kept
    want = measures(asked)
    fitting = [a for a in kept if a.unit is None or a.unit.measures == want]
    with_unit = [a for a in fitting if a.unit is not None]
    if len(with_unit) == 1 and len(fitting) == len(kept) == 2 and kept[0].spelled != kept[1].spelled:
        return with_unit
    return _joined(_without_clock(fitting or kept, asked), items)


def _without_clock(amounts: list[_Amount], asked: Asked) -> list[_Amount]:
    """'hour and a half' is one amount, and so is '1 hour 20 minutes'."""
    if asked == "minutes" and len(amounts) == 2 and amounts[0].unit:
        one, two = amounts
        if two.unit is None and two.first == one.last + 1 and one.unit.name in ("hour", "minute"):
            two = _Amount(two.value, unit_named("minute" if one.unit.name == "hour" else "second"), two.first, two.last,
                          two.spelled)
        if one.unit and two.unit and one.unit.name != two.unit.name and two.first - one.last <= 2:
            order = _CLOCK
            if order.get(one.unit.name, 0) > order.get(two.unit.name, 0):
                seconds = to_si(one.value, one.unit.name) + to_si(two.value, two.unit.name)
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
    return ((small and (after,) in _phrases("skip_after") and (amount.spelled or after not in ("of", "other", "more", "end", "side", "leg", "time", "way")))
            or (small and (before,) in _phrases("skip_before")) or (small and amount.spelled and amount.value == 1 and after in ("", "is", "on", "at")))


def _special(asked: Asked, items: Sequence[Lexeme], amounts: Sequence[_Amount]) -> Special | None:
    words = [i.text for i in items if i.text not in ".,;:!?()"]
    denied = _denied(words)
    for special in _SPECIALS[asked]:
        spots = _spots(words, special)
        if special == "beeps" and spots:
            return "no_beep" if any(denied[first] for first, _ in spots) else "beeps"
        if special == "open" and spots and asked != "continuity" and any(not denied[f] for f, _ in spots):
            return "open"
        if special == "open" and asked == "continuity" and any(not denied[f] for f, _ in spots):
            return "open"
        if special == "no_beep" and spots and not _affirms(words, denied) and not _longer(words, "zero", spots):
            return "no_beep"
        if special in ("zero", "unsure", "cant_measure") and spots:
            return special
    if asked == "ohm" and (_spots(words, "no_beep") or any(denied)) and not amounts and (
            {"continuity", "continuidad", "reading", "beep", "tone"} & set(words)):
        return "open"
    return None


def _affirms(words: Sequence[str], denied: Sequence[bool]) -> bool:
    return any(not denied[f] and words[f] not in ("good", "ok", "yes") for f, _ in _spots(words, "beeps"))


def _longer(words: Sequence[str], group: str, spots: Sequence[tuple[int, int]]) -> bool:
    """True when a longer phrase of another group stands where these do: 'dead short' is not just 'dead'."""
    return any(first <= spot[0] and last > spot[1] for first, last in _spots(words, group) for spot in spots)


_NOT: Final = word_set("no not dont doesnt didnt isnt aint never wont without sin nope nunca cant")


def _denied(words: Sequence[str]) -> list[bool]:
    """For each word, whether one of the four before it denies it."""
    return [bool(set(words[max(0, i - 4):i]) & _NOT) for i in range(len(words))]


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
            low, high = sorted(values)
            middle = (low + high) / 2
            return Heard(value=middle, low=low, high=high, plausible=_fits(asked, middle, plausible))
        return Heard(multiple=tuple(values))
    return Heard(value=values[0], plausible=_fits(asked, values[0], plausible))


def _is_range(amounts: Sequence[_Amount], items: Sequence[Lexeme]) -> bool:
    one, two = amounts[0], amounts[1]
    between = [i.text for i in items[one.last + 1:two.first] if i.text not in ("about", "like", "maybe", "ish")]
    words = [i.text for i in items]
    bouncing = bool(_spots(words, "bounces"))
    if between in (["to"], ["-"], ["a"], ["thru"], ["through"], ["or"], ["o"], ["hasta"], ["or", "so"], ["up", "to"], ["till"]):
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


def _yes_no(folded: str) -> Heard:
    words = re.findall(r"[a-z0-9]+", folded)
    words = words[_restart(words):]
    parts: list[Special] = []
    for part in _yes_no_parts(words):
        said = _yes_or_no(part)
        if said is not None:
            parts.append(said)
    told = [p for p in parts if p in ("yes", "no")]
    if len(set(told)) > 1 and len(words) >= 4:
        return Heard(multiple=tuple(told))
    for special in ("cant_measure", "unsure"):
        if special in parts and not (told and parts[0] in told):
            return Heard(special=special)
    return Heard(special=told[0] if told else None)


def _yes_no_parts(words: Sequence[str]) -> list[list[str]]:
    starts = [i for i, w in enumerate(words) if w in ("yes", "no", "yeah", "nope", "yep", "si", "yup")]
    if len(starts) == 2 and starts[0] == 0:
        return [list(words[:starts[1]]), list(words[starts[1]:])]
    return [list(words)]


def _yes_or_no(words: list[str]) -> Special | None:
    spots: list[tuple[int, int, Special]] = []
    for special in ("unsure", "cant_measure", "yes", "no"):
        spots += [(first, first - last, special) for first, last in _spots(words, special)]  # type: ignore[misc]
    if not spots:
        return None
    length = -min(s[1] for s in spots if s[2] in ("unsure", "cant_measure")) if any(
        s[2] in ("unsure", "cant_measure") for s in spots) else 0
    if length:
        return next(s[2] for s in sorted(spots, key=lambda s: s[1]) if s[2] in ("unsure", "cant_measure"))
    if words[:2] == ["no", "problem"]:
        spots = [s for s in spots if s[0] > 0]
    return min(spots)[2] if spots else None
