"""What a check makes of a reading: which numbers it can have, and which result is an open line, a beep or the usual."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Final

from bot.language.meaning import Asked, Heard
from bot.language.readings.as_chosen import read_as_chosen
from bot.language.readings.read import Range, read
from bot.language.words.text import tokens_of, word_set
from knowledge.likelihood import probability
from knowledge.schema import Check, Reading, Result

_ASKED: Final[Mapping[str, Asked]] = {"seconds": "minutes"}
_OPEN: Final = frozenset({"open", "no_beep"})
_CLOSED: Final = frozenset({"beeps", "zero"})


def asked_for(reading: Reading) -> Asked:
    """What is to be read in an answer to it."""
    return _ASKED.get(reading.quantity, reading.quantity)  # type: ignore[arg-type]


def read_for(reading: Reading, question: str | None, text: str, rated: Range | None) -> Heard:
    """The number in an answer to `question`, None where nobody asked, in the unit of the reading. Outside `rated`, or
    else the pack's range, it is doubted."""
    asked, within = asked_for(reading), rated or plausible_range(reading)
    heard = read(asked, text, within) if question is None else read_as_chosen(asked, question, text, within)
    if reading.quantity == "seconds" and heard.value is not None and not _says_time(text):
        scale = 1 / 60.0
        return Heard(value=heard.value * scale, low=None if heard.low is None else heard.low * scale,
                     high=None if heard.high is None else heard.high * scale)
    return heard


def _says_time(text: str) -> bool:
    return any(t.word.startswith(("min", "sec", "seg", "hour", "hr", "hora")) for t in tokens_of(text[:200]))


_HEATERS: Final = word_set("heater element")
TIMES: Final = 20.0
"""A reading beyond this many times a heater's own ohms is no heater: a slip of unit or range, or the wrong part."""


def heater_range(check: str | None, given: Mapping[str, float] | None) -> Range | None:
    """Ohms that a heater of so many watts at so many volts can show: R = V^2 / W (Joule), up to TIMES as much.

    None where watts or volts are not given or the check measures something else than the heater's ohms.
    """
    watts, volts = (given or {}).get("watts"), (given or {}).get("volts")
    parts = check.split("_") if check else None
    if not watts or not volts or (parts is not None and not (set(parts) & _HEATERS and parts[-1] == "ohms")):
        return None
    return 0.0, TIMES * volts ** 2 / watts


def plausible_range(reading: Reading | None) -> Range | None:
    """The SI range of plausible readings, from the pack."""
    if reading is None or reading.plausible is None:
        return None
    band = reading.plausible
    scale = 1e-6 if reading.quantity == "microfarad" else 1.0
    return (None if band.low is None else band.low * scale, None if band.high is None else band.high * scale)


def by_special(entry: Check, heard: Heard) -> str | None:
    """'OL' and 'no beep' go to the open band (or the result that says so), 'beeps' to the closed one."""
    if heard.special in _OPEN:
        return open_result(entry)
    if heard.special in _CLOSED:
        low = [(r.band.low or 0.0, n) for n, r in entry.results.items() if r.band is not None and not r.band.open]
        if low and heard.special == "zero":
            return min(low)[1]
        return next((n for n, r in entry.results.items() if _says(r, ("beeps", "continuity", "closed", "beep"))), None)
    return None


_THE_HIGHEST: Final = re.compile(r"\b(?:higher|highest) reading\b", re.IGNORECASE)
_OTHER_DOES_NOT: Final = re.compile(
    r"\b(?:beeps?|continuity|closed|good|fine|ok|okay|zero|shorted)\b.*\b(?:others?|second|2nd|last)(?: one| it)?,? "
    r"(?:does ?n.?t|do ?n.?t|wo ?n.?t|is ?n.?t|ai ?n.?t|not|no|nothing|nada|silent)\W*$", re.IGNORECASE)
"""'One beeps, other dont': what the first does is all that tells what the second does not."""
_NONE_OPEN: Final = re.compile(
    r"\b(?:neither|none|no|not|isn.?t|ain.?t)\b[^,.;]*\b(?:ol|open|blown)\b(?: (?:on|at) (?:either|both|any)\b.*)?\W*$",
    re.IGNORECASE)


def asks_several(entry: Check) -> bool:
    """Whether a check is of several parts of which the one that reads highest counts."""
    return _THE_HIGHEST.search(entry.ask) is not None


def of_several(entry: Check, text: str, heard: Heard) -> Heard:
    """Where a check asks which of several parts reads highest: that one reading. OL is above all numbers.

    'Limit closed, other one OL' is an open one, however good the first is.
    """
    if not asks_several(entry):
        return heard
    if heard.special == "open" or _OTHER_DOES_NOT.search(text):
        return Heard(special="open")
    if heard.value is None and _NONE_OPEN.search(text):
        return Heard(special="beeps")
    if not heard.multiple:
        return heard
    ohms = [_as_ohms(one) for one in heard.multiple]
    if re.search(r"\bone\b", text, re.IGNORECASE) and 1.0 in ohms:
        ohms.remove(1.0)  # 'one 0.2 other 0.3'
    if math.isinf(max(ohms)):
        return Heard(special="open")
    return replace(heard, value=max(ohms), multiple=None)


def of_several_by_word(entry: Check, text: str, heard: Heard | None) -> bool:
    """Whether that word settles it, however many others stand beside it."""
    return heard is not None and asks_several(entry) and (
        heard.special == "open" or (heard.special == "beeps" and _NONE_OPEN.search(text) is not None))


def _as_ohms(said: float | str) -> float:
    return (math.inf if said in _OPEN else 0.0) if isinstance(said, str) else said


def open_result(entry: Check) -> str | None:
    """The result that 'OL' stands for."""
    for name, result in entry.results.items():
        if result.band is not None and result.band.open:
            return name
    return next((n for n, r in entry.results.items() if _says(r, ("ol", "open", "no beep", "no continuity"))), None)


def _says(result: Result, words: Sequence[str]) -> bool:
    said = {p for phrases in result.phrases.values() for p in phrases} | {result.label.lower(), result.says.lower()}
    return any(w in said for w in words)


def usual(entry: Check) -> str | None:
    """What a machine without any of the check's faults shows, when one result is likely enough."""
    normal = entry.likelihoods.get("normal", {})
    best = max(normal, key=lambda r: probability(normal[r]), default=None)
    return best if best is not None and probability(normal[best]) > 0.5 else None


def only_nothing(entry: Check, heard: Heard | None, text: str) -> bool:
    """Whether 'nothing' is all that is told of ohms: it may be no ohms, or no circuit."""
    return (entry.reading is not None and entry.reading.quantity == "ohm" and heard is not None
            and heard.special == "zero" and _NOTHING.search(text) is not None and _NEAR_NONE.search(text) is None)


_NOTHING: Final = re.compile(r"\b(?:noth\w+|nuthin|nada|none|zilch|nil|squat|zip|nowt)\b", re.IGNORECASE)
_NEAR_NONE: Final = re.compile(
    r"\b(?:near(?:ly)?|next to|almost|basically|practically|pretty much|close to|about|goes (?:right )?to|down to|casi)"
    r"(?: \w+)? (?:noth\w+|nuthin|nada|none|zilch|nil)\b|\b(?:zero|0|beeps?|short\w*|continuity|touching)\b",
    re.IGNORECASE)
