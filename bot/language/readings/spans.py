"""How long it took, as people say it: '2:30', 'an hour', 'on at 2:10 and off at 2:45', 'ten past one til half past'."""

from __future__ import annotations

import re
from typing import Final

from bot.language.readings.numbers import small_number

_CLOCK: Final = re.compile(r"\b(\d{1,2}):(\d\d)\b")
_WHEN: Final = (r"\b(?:at|since|until|till?|on|off|started|stopped|quit|ended|died|began|finished|start|stop|end|shut|"
                r"tripped|a las|desde|hasta|(?<!anywhere )from)(?: (?:at|like|about|around))? ")
"""Words before a time of day."""
_DAYTIME: Final = re.compile(_WHEN + r"\d{1,2}:\d\d\b|\b\d{1,2}:\d\d ?[ap]\.?m\b")
_FROM_TO: Final = re.compile(r"\W*(?:between )?\d{1,2}:\d\d ?(?:-|to|till?|until|and|a) ?\d{1,2}:\d\d\W*")
_FULL_HOUR: Final = re.compile(rf"({_WHEN}\d{{1,2}})(?= ?[,;.]|$| (?:and|to|till?|until|y|a|then|it|off|on)\b)")
_PAST: Final = re.compile(r"\b(five|ten|(?:a )?quarter|twenty|twenty five|half|\d{1,2}) "
                          r"(past|(?<=quarter )(?:after|to|till?|of))(?: (?:the )?([a-z]+|\d{1,2})\b)?")
_HALF_DAY: Final = 12 * 60
_SINCE: Final = re.compile(r"\b(?:at|started|since|until|till?|from|desde|by)(?: (?:at|like|about|around))? "
                           r"\d{1,2}:\d\d\b|\b\d{1,2}:\d\d\s?[ap]m\b"
                           r"|\b(?:since|desde) (?:about |like |around |las )?\d{1,2}\b(?! ?(?:min|h|sec|[:.\d]))")
_ONE: Final = re.compile(r"(?<!half )(?<!of )(?<!medio )(?<!media )\b(?:an?|una?) "
                         r"(?=(?:hour|hr|minute|min|hora|minuto)\b)")
_FIRST_HOUR: Final = re.compile(r"^(\W*(?:(?:about|like|maybe|around|bout|roughly) )?)(?:hour|hr)(?= ?\d)")
_DAYS: Final = re.compile(r"\b(\d+(?:\.\d+)?) (?:days?|dias?)\b")


def durations(folded: str) -> str:
    """'2:30' is minutes and seconds unless it tells when; 'an hour' is one hour."""
    told = _CLOCK.sub(lambda found: f"{int(found[1]) + int(found[2]) / 60:.4f} min", _SINCE.sub(" ", folded))
    told = _DAYS.sub(lambda found: f"{24 * float(found[1])} hours", _FIRST_HOUR.sub(r"\g<1>1 hour", told))
    return _ONE.sub("1 ", told)



def between_times(folded: str) -> float | None:
    """Minutes from one time of day to another, the short way round the clock, when an answer tells no more than these:
    'it shut off at 11:05, id put it on at 10:45'."""
    text = _spoken_times(folded)
    if _CLOCK.search(text):
        text = _FULL_HOUR.sub(r"\1:00", text)
    times = [int(h) * 60 + int(m) for h, m in _CLOCK.findall(text) if int(h) < 24 and int(m) < 60]
    when = _DAYTIME.search(text) or _FROM_TO.fullmatch(text)
    if len(times) != 2 or not when or re.search(r"\d", _CLOCK.sub(" ", text)):
        return None
    apart = (times[1] - times[0]) % _HALF_DAY
    return float(min(apart, _HALF_DAY - apart))


def _spoken_times(folded: str) -> str:
    """'from ten past one til half past' as 'at 1:10 at 1:30'."""
    hour = 0

    def written(found: re.Match[str]) -> str:
        nonlocal hour
        said = small_number(found[3] or "")
        rest = "" if said or not found[3] else f" {found[3]}"
        hour = int(said or hour)
        word = found[1].removeprefix("a ")
        minutes = {"quarter": 15, "half": 30}.get(word) or int(small_number(word) or 0)
        if not hour or minutes >= 60:
            return found[0]
        before = found[2] not in ("past", "after")
        total = (hour * 60 + (-minutes if before else minutes) - 60) % _HALF_DAY + 60
        return f"at {total // 60}:{total % 60:02}{rest}"

    return _PAST.sub(written, folded)
