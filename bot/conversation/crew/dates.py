"""A day typed freely: 'friday', 'in two weeks', 'dec 3', '3/12', 'next monday', 'el viernes'.

A small reader of our own: general libraries for dates read a day into almost anything ('5 ohm', 'may be'), and the
light one knows no 'in two weeks'. What can be two days ('3/4') gives both, unless only one is near.
"""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import Final

NEAR: Final = timedelta(days=60)
"""Parts come within this time: of two ways to read a date, the one that does is meant if the other does not."""
FARTHEST: Final = timedelta(days=400)

_DAYS: Final = {"monday": 0, "mon": 0, "tuesday": 1, "tue": 1, "tues": 1, "wednesday": 2, "wed": 2, "thursday": 3,
                "thu": 3, "thur": 3, "thurs": 3, "friday": 4, "fri": 4, "saturday": 5, "sat": 5, "sunday": 6, "sun": 6,
                "lunes": 0, "martes": 1, "miercoles": 2, "miércoles": 2, "jueves": 3, "viernes": 4, "sabado": 5,
                "sábado": 5, "domingo": 6}
_MONTHS: Final = {name: number for number, names in enumerate((
    "january jan enero ene", "february feb febrero", "march mar marzo", "april apr abril abr", "may mayo",
    "june jun junio", "july jul julio", "august aug agosto ago", "september sept sep septiembre", "october oct octubre",
    "november nov noviembre", "december dec diciembre dic"), 1) for name in names.split()}
_NUMBERS: Final = {"a": 1, "an": 1, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7,
                   "eight": 8, "nine": 9, "ten": 10, "couple": 2, "few": 3, "un": 1, "una": 1, "dos": 2, "tres": 3,
                   "cuatro": 4, "cinco": 5}
_PLAIN: Final = {"today": 0, "later today": 0, "tonight": 0, "this afternoon": 0, "this evening": 0, "hoy": 0,
                 "tomorrow": 1, "tomorow": 1, "tommorow": 1, "tommorrow": 1, "tmrw": 1, "tmr": 1, "2moro": 1,
                 "2morrow": 1, "manana": 1, "mañana": 1,
                 "day after tomorrow": 2, "the day after tomorrow": 2, "pasado manana": 2, "pasado mañana": 2,
                 "next week": 7, "a week from today": 7, "a week today": 7, "a fortnight": 14,
                 "fortnight": 14, "in a fortnight": 14}
_UNITS: Final = {"day": 1, "week": 7, "wk": 7, "dia": 1, "día": 1, "semana": 7}

_number = rf"(?:\d{{1,2}} ?(?:-|to|or) ?)?(?P<count>\d{{1,3}}|(?:a )?(?:{'|'.join(_NUMBERS)}))(?: of)?"
_unit = rf"(?P<working>(?:business|working|work) )?(?P<unit>{'|'.join(_UNITS)}|month|mes)(?:s|es)?(?:'? time)?"
_day = rf"(?P<day>{'|'.join(sorted(_DAYS, key=len, reverse=True))})"
_month = rf"(?P<month>{'|'.join(sorted(_MONTHS, key=len, reverse=True))})\.?"
_nth = r"(?P<nth>\d{1,2})(?:st|nd|rd|th)?"
_year = r"(?:,? (?P<year>\d{4}))?"
_IN: Final = re.compile(
    rf"(?:in |en |within )?(?:about |like |around )?{_number} ?{_unit}(?: out| away| from (?:now|today))?")
_WEEKDAY: Final = re.compile(
    rf"(?P<ahead>(?:a )?week from )?(?P<which>next |this |coming )?{_day}(?P<later> week| after next)?"
    r"(?: morning| afternoon| evening| am| pm)?")
_NAMED: Final = re.compile(rf"(?:{_day},? )?(?:the |el )?(?:{_month} {_nth}|{_nth} (?:of |de )?(?P<month2>"
                           rf"{'|'.join(sorted(_MONTHS, key=len, reverse=True))})\.?){_year}".replace(
                               "(?P<nth>", "(?P<nth1>", 1).replace("(?P<nth>", "(?P<nth2>", 1))
_THE: Final = re.compile(r"(?:the|on the|el) (?P<nth>\d{1,2})(?:st|nd|rd|th)?|(?P<nth2>\d{1,2})(?:st|nd|rd|th)")
_ISO: Final = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})")
_SLASHED: Final = re.compile(r"(\d{1,2})[/-](\d{1,2})(?:[/-](\d{4}|\d{2}))?|(\d{1,2})\.(\d{1,2})\.(\d{4}|\d{2})?")
"""'3/12', '3-12-2026', '3.12.': '3.12' alone is a reading."""
_DOTTED: Final = re.compile(r"\d{1,2}\.\d{1,2}\.")
_LEAD: Final = re.compile(
    r"^(?:(?:its?|it's|they|they're|theyre|part|parts|the part|supplier|vendor|they say|they said|says?|said|tells me|"
    r"back ?ordered|on back ?order|back ?order|should|will|is|be|was|been|got|comes?|coming|arrives?|arriving|shipping|"
    r"ships|due|here|there|in|now|gonna|going to|moved|pushed|put|delayed|back|to|expected|maybe|probably|prolly|"
    r"around|about|like|on|by|for|not until|not till?|not before|(?:wont|won't|will not) be (?:here|there|in)|until|"
    r"till|til|'til|hopefully|earliest|se(?:ra)?|llega|el|para) )+")
_TAIL: Final = re.compile(
    r"(?:,? (?:now|then|instead|morning|afternoon|evening|i think|i guess|i hope|they say|they said|maybe|probably|"
    r"hopefully|or so|ish|at the (?:earliest|latest)|earliest|latest))+$")
"""What is said around a day. A bare 'not' is none of it: 'not friday' names no day."""


def days_in(text: str, today: date) -> tuple[date, ...]:
    """The day that a short message names: one, both where two are meant alike, none if it names none.

    Days that are over and days more than 400 ahead are none.
    """
    bare = " ".join(text.lower().replace("’", "'").split()).strip(" ,!?")
    bare = bare if _DOTTED.fullmatch(bare) else bare.rstrip(".")
    without = _TAIL.sub("", _LEAD.sub("", f"{bare} ").strip())
    for words in dict.fromkeys((bare, without)):
        read = [day for one in words.split(" or ") for day in _read(one.strip(), today)] if " or " in words else []
        found = [day for day in (_read(words, today) or read) if today <= day <= today + FARTHEST]
        if found:
            near = [day for day in found if day - today <= NEAR]
            return tuple(sorted(set(near if len(near) == 1 else found)))
    return ()


def _read(text: str, today: date) -> list[date]:
    if text in _PLAIN:
        return [today + timedelta(days=_PLAIN[text])]
    if text in {"end of the month", "end of month", "month end"}:
        return [_month_end(today)]
    if text in {"end of the week", "end of week", "this week"}:
        return [_weekday(today, 4)]
    if found := _IN.fullmatch(text):
        return _after(today, found["count"], found["unit"], working=bool(found["working"]))
    if found := _WEEKDAY.fullmatch(text):
        return _named_weekday(today, found)
    if found := _NAMED.fullmatch(text):
        month, nth = found["month"] or found["month2"], found["nth1"] or found["nth2"]
        return _in_year(today, _MONTHS[month], int(nth), found["year"])
    if found := _THE.fullmatch(text):
        return _of_month(today, int(found["nth"] or found["nth2"]))
    if found := _ISO.fullmatch(text):
        return _in_year(today, int(found[2]), int(found[3]), found[1])
    if found := _SLASHED.fullmatch(text):
        first, second, year = int(found[1] or found[4]), int(found[2] or found[5]), found[3] or found[6]
        return [*_in_year(today, first, second, year), *_in_year(today, second, first, year)]
    return []


def _after(today: date, count: str, unit: str, *, working: bool) -> list[date]:
    word = count.removeprefix("a ") if count != "a" else count
    number = int(word) if word.isdecimal() else _NUMBERS[word]
    days = number * _UNITS.get(unit, 30)
    return [today + timedelta(days=days + 2 * (days // 5) if working else days)]


def _named_weekday(today: date, found: re.Match[str]) -> list[date]:
    """'Friday' is the next one, never today. 'Next friday' is said for that one and for the one after: both."""
    nearest = _weekday(today, _DAYS[found["day"]])
    if found["later"] or found["ahead"]:
        return [nearest + timedelta(days=7)]
    if (found["which"] or "").strip() == "next" and nearest.isocalendar().week == today.isocalendar().week:
        return [nearest, nearest + timedelta(days=7)]
    return [nearest]


def _weekday(today: date, weekday: int) -> date:
    return today + timedelta(days=(weekday - today.weekday() - 1) % 7 + 1)


def _in_year(today: date, month: int, day: int, year: str | None) -> list[date]:
    """That day of that year; without one, the next such day."""
    if year is not None:
        return _days(int(year) + (2000 if len(year) == 2 else 0), month, day)
    return next((found for ahead in range(2) if (found := [d for d in _days(today.year + ahead, month, day)
                                                           if d >= today])), [])


def _month_end(today: date) -> date:
    return (today.replace(day=28) + timedelta(days=4)).replace(day=1) - timedelta(days=1)


def _of_month(today: date, day: int) -> list[date]:
    """The next day of that number."""
    year, month = today.year, today.month
    for _ in range(3):
        found = [d for d in _days(year, month, day) if d > today]
        if found:
            return found
        year, month = (year + 1, 1) if month == 12 else (year, month + 1)
    return []


def _days(year: int, month: int, day: int) -> list[date]:
    try:
        return [date(year, month, day)]
    except ValueError:
        return []
