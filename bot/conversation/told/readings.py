"""Readings that nobody asked for: which check they are of, by the part, the quantity and the place."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from bot.conversation.facts import evidence_of
from bot.conversation.questions.asking import put
from bot.conversation.questions.checks import take_answer
from bot.conversation.questions.vague import no_figure
from bot.conversation.questions.worded import answer_to
from bot.conversation.told.whose_part import (
    BARE,
    names_a_part,
    names_another,
    of_the_machine,
    only_to_metal,
    quantity_read,
    quantity_told,
    spoken_of,
    told_of,
    words_in,
)
from bot.conversation.turn import Turn
from bot.diagnosis.setting import holds_as_told
from bot.language.answers.foreign import PARTS
from bot.language.answers.lids import lid_in, without_lid
from bot.language.answers.measured import at_supply, is_difference, like_mains, read_live
from bot.language.answers.open_circuit import tells_continuity, tells_open
from bot.language.answers.to_ground import apart_from_ground, reads_to_ground, sides_of
from bot.language.readings.at_degrees import without_degrees
from bot.language.words.forms import stem
from knowledge.schema import Check

_MEASURED: Final = re.compile(
    r"(?<!\d)(?<!\d[.,])\d[\d.,]*\s*(k|m|meg|mega|kilo)?\s*(ohms?|Ω|v|vac|vdc|volts?|a|amps?|uf|mfd|microfarads?|f|c|deg\w*|min\w*|sec\w*|rpm|k|meg|"
    r"megs|megohms?|kohms?)\b|\b(reads?|reading|read|measur\w+|shows?|showing|got|gets|getting|gives|metered|meter|"
    r"ohms?|ohmed|tests?|tested|(?:comes?|came) (?:out|up|in) at|marca|mide)\b"
    r".{0,60}?\d|\d.{0,60}?\b(across|on the meter|ohm\w*)\b|(?<![\w.])\d+\.\d+(?![\w.])", re.IGNORECASE)
"""A number with a unit, one with a decimal, or one that the meter is said to say: the 240 of 'electric 240' is none."""
_TO_CASE: Final = re.compile(
    r"\bto (the |its )?(case|ground|frame|body|chassis|cabinet|metal|flange|shell)\b", re.IGNORECASE)
_COUNTED: Final = re.compile(
    r"\b\d+ (?:[a-z]+ ){0,2}?(?!(?:k?ohms|megohms|megs|k|volts|amps|degrees|microfarads|mins|minutes|secs|seconds|"
    r"across|is|was|as|this|its|reads|shows|cycles)\b)[a-z]{2,}s\b|"
    r"\b\d+ ?o[ ']?clock\b", re.IGNORECASE)
"""'2 big dogs', '4 new rods', '3 weeks': so many of something; '6 oclock': a place or a time. No meter shows it."""
FEWEST: Final = 3
"""Words of a part that can name a check and say what it showed."""
MOST_AMPS: Final = 15.0
"""What the largest part on a clamp draws."""
PLAINLY: Final = 3
"""By how much the words of 'element reads OL' have to speak more of one check than of any other."""


def tells_reading(text: str) -> bool:
    """Whether words have a number with a unit, or one that a meter is said to show."""
    bare = _AT_FEED.search(text)
    told = _MEASURED.search(text) or _OF_A_PART.search(text)
    return told is not None or (bare is not None and like_mains(float(bare["volts"])))


_OF_A_PART: Final = re.compile(
    r"\b(?:sensors?|thermistors?|elements?|heaters?|windings?|igniters?|ignitors?|solenoids?|coils?|motor) "
    r"(?:(?:is|was|at|its) )?(?:about |like |around )?\d[\d.,]*(?=\s*(?:$|[,.;!]|no\b|sorry\b|and\b|n\b|but\b))",
    re.IGNORECASE)
"""'Sensor is 960', 'sensor 1080': a bare number of a part that a meter is put on, and of nothing that follows."""
_AT_FEED: Final = re.compile(
    r"(?<!\S)(?P<volts>\d{3}) (?:at|in|on) (?:the |its )?(?:outlet|receptacle|wall|plug|j[ -]?box|junction box|"
    r"connection box)\b", re.IGNORECASE)
"""'120 at jbox': so much at that place can only be volts."""


def take_reading(turn: Turn, text: str) -> bool:
    """File a reading on the one check whose name or question speaks of its part; or ask of which it is. True if the
    words told one."""
    whole, text = text, without_degrees(text)
    open_circuit, grounded = tells_open(text), reads_to_ground(text) is not None
    figureless = open_circuit or tells_continuity(text)
    if not (figureless or tells_reading(text) or grounded or (read_live(text) and BARE.search(text))):
        return False
    if _takes_live_volts(turn, text):
        return True
    words = words_in(_TO_CASE.sub(" ", text))
    if grounded:
        done, rest = _take_to_ground(turn, words, text), apart_from_ground(text)
        return (rest not in {"", text} and take_reading(turn, rest)) or done
    told = "ohm" if figureless else quantity_told(text)
    if told is None and not any(c.isdigit() for c in _COUNTED.sub(" ", text)):
        return False
    ranked = spoken_of(turn, words, lambda check: check.reading is not None and told in {None, quantity_read(check)}
                        and (not open_circuit or shows_open(check, text)) and not only_to_metal(check))
    key = ranked[0][1] if ranked else _ohms_of_the_part_in_hand(turn, words) if told == "ohm" else None
    if key is None or (told is None and not _names_its_part(turn.pack.checks[key], words)):
        return False
    if names_another(turn, words, key) or _names_a_place(turn.pack.checks[key], words):
        return False
    if not figureless and _no_temperature(turn.pack.checks[key], told, text):
        return False
    if told is None and _asked_of_what(turn, key, words, text):
        return True
    lid = _with_the_lid(turn, key, text)
    if lid is None:
        return True
    key = lid
    if figureless and not _plainly_of(turn, key, ranked, without_lid(text)):
        return False
    heard = answer_to(turn, key, text)
    read = heard.heard
    if heard.result is not None and (tells_continuity(text) or (read is None and no_figure(text))):
        return take_answer(turn, key, heard, whole)
    if read is None or read.unit_mismatch or (read.value is None and not (open_circuit and read.special == "open")):
        return False
    return take_answer(turn, key, heard, whole)


def _plainly_of(turn: Turn, key: str, ranked: Sequence[tuple[int, str]], text: str) -> bool:
    """Whether words without the lid's state speak of one check's part, and clearly more of that than of any other."""
    others = [weight for weight, other in ranked if other not in {key, *with_any_lid(turn, key)}]
    plainly = not others or ranked[0][0] - max(others) >= PLAINLY
    return plainly and told_of(words_in(text) - of_the_machine(turn), turn.pack.checks[key])


def _takes_live_volts(turn: Turn, text: str) -> bool:
    """'120 at the valve when it calls': what the dead part gets, whichever part that is, when the machine is to run it.
    True if that was filed."""
    if not read_live(text) or at_supply(text) or quantity_told(text) != "volt":
        return False
    evidence = evidence_of(turn.job)
    live = {key: words_in(check.name) for key, check in turn.pack.checks.items() if check.power == "live"
            and not check.at_outlet and not at_supply(check.name) and quantity_read(check) == "volt"
            and holds_as_told(check, evidence)}
    said = words_in(_ELEMENT.sub("heater", text))
    key = max(live, key=lambda one: len(live[one] & said), default=None)
    if key is None or not (live[key] & said & _PARTS_LIVE or "dead" in live[key] or len(live) == 1):
        return False
    volts = [float(n) for n in BARE.findall(text) if like_mains(float(n))] or [
        float(n) for n in _VOLTED.findall(text)]
    return len(volts) == 1 and take_answer(turn, key, answer_to(turn, key, f"{volts[0]:g} volts"), text)


_ELEMENT: Final = re.compile(r"\b(?:elements?|elem|coil)\b", re.IGNORECASE)
_PARTS_LIVE: Final = frozenset(stem(part) for part in (
    "heater", "element", "motor", "valve", "pump", "fan", "compressor", "igniter", "relay", "lock", "solenoid"))
_VOLTED: Final = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?)\s*v(?:ac|olts?)?\b", re.IGNORECASE)


def takes_named_readings(turn: Turn, parts: Sequence[str]) -> bool:
    """'Fuse is .2, the igniter is the OL one': a reading each of parts that are named. True if they were filed, which
    none is unless all of them name one check."""
    told = [part for part in parts if tells_open(part) or any(c.isdigit() for c in part)]
    named = {part: ranked[0][1] for part in told if (ranked := spoken_of(
        turn, words_in(part), lambda check: check.reading is not None and not only_to_metal(check)))}
    if len(told) < 2 or len(set(named.values())) < len(told):
        return False
    heard = {part: answer_to(turn, key, part) for part, key in named.items()}
    if any(its.heard is None or its.heard.multiple or its.heard.unit_mismatch for its in heard.values()):
        return False
    filed = [take_answer(turn, named[part], its, part) for part, its in heard.items()]
    return all(filed)


def _take_to_ground(turn: Turn, words: set[str], text: str) -> bool:
    """The ohms of a part to bare metal are never those of the part itself: they are filed on the check of that, where
    the words name one part."""
    ranked = spoken_of(turn, words, lambda check: sides_of(check) is not None and bool(words & words_in(check.name)))
    key = ranked[0][1] if ranked else None if names_a_part(turn, words) else _of_the_part_in_hand(turn)
    if key is None or at_supply(text):
        return False
    heard = answer_to(turn, key, text)
    return (heard.result is not None or heard.heard is not None) and take_answer(turn, key, heard, text)


def _of_the_part_in_hand(turn: Turn) -> str | None:
    """'To ground OL' and no more: the check to bare metal of the part that was read last, or that is asked."""
    asked = turn.job.question.checks if turn.job.question is not None else ()
    read = [fact.subject for fact in turn.job.standing("result") if fact.subject in turn.pack.checks
            and turn.pack.checks[fact.subject].reading is not None]
    for part in (*read[-1:], *asked):
        of_it = spoken_of(turn, words_in(turn.pack.checks[part].name), only_to_metal)
        mine = [key for weight, key in of_it if weight > 0]
        if mine:
            return mine[0]
    return None


def _ohms_of_the_part_in_hand(turn: Turn, words: set[str]) -> str | None:
    """'23 ohm', 'element 23 ohm' where a look at one is asked: the check of that part's own ohms."""
    if turn.job.question is None:
        return None
    evidence, name = evidence_of(turn.job), set().union(
        *(words_in(turn.pack.checks[key].name) for key in turn.job.question.checks))
    if names_a_part(turn, words - name) or {stem(word) for word in words - name} & PARTS:
        return None
    mine = [key for key, check in turn.pack.checks.items() if quantity_read(check) == "ohm" and not only_to_metal(check)
            and words_in(check.name) <= name and holds_as_told(check, evidence)]
    return mine[0] if len(mine) == 1 else None


def _names_its_part(check: Check, words: set[str]) -> bool:
    """Whether words name the part that a check measures, where its name has one: 'reads 29 in water' is no sensor's."""
    parts = {word for word in words_in(check.name) if stem(word) in PARTS}
    return not parts or bool(parts & words)


def _names_a_place(check: Check, words: set[str]) -> bool:
    """Whether all that words have of a check's name is where a meter is put: '12k at the board plug' is no motor's."""
    named = {stem(word) for word in words & words_in(check.name)}
    return bool(named) and named <= _PLACES


_PLACES: Final = frozenset(map(stem, ("plug", "connector", "terminal", "wire", "pin", "harness", "socket")))


def _no_temperature(check: Check, told: str | None, text: str) -> bool:
    """'Outlet reads 165' is no temperature for the place alone, and '50 degrees too cold' is none at all."""
    if quantity_read(check) != "temperature":
        return False
    return is_difference(text) or (told is None and not words_in(check.name) <= words_in(text))


def _asked_of_what(turn: Turn, key: str, words: set[str], text: str) -> bool:
    """A bare number that may as well be of another quantity at the same part is asked about. True if it was."""
    read = answer_to(turn, key, text).heard
    value = None if read is None or read.unit_mismatch else read.value
    if value is None:
        return False
    check, evidence = turn.pack.checks[key], evidence_of(turn.job)
    named, mine = words & words_in(check.name), quantity_read(check)
    rivals = [other for other, entry in turn.pack.checks.items()
              if quantity_read(entry) not in {None, mine} and named <= words_in(entry.name) | words_in(entry.ask)
              and holds_as_told(entry, evidence) and _could_be(quantity_read(entry), value)]
    if rivals:
        turn.close_question()
        put(turn, "which_check", tuple(f"check:{one}" for one in (key, *rivals[:3])), said=text)
        return True
    if mine != "ohm" or value == 0 or not like_mains(value) or "sensor" in check.name:
        return False
    turn.close_question()
    turn.note("reading.no_unit", number=f"{value:g}")
    put(turn, "doubt_reading", (f"value:{value:g}:ohm", "measure_again"), check=key)
    return True


def _could_be(quantity: str | None, value: float) -> bool:
    """Whether a bare number is one that a meter shows of that quantity on a household machine."""
    match quantity:
        case "volt":
            return like_mains(value)
        case "amp":
            return 0 < value <= MOST_AMPS
        case "ohm":
            return True
    return False


def _with_the_lid(turn: Turn, key: str, text: str) -> str | None:
    """The same switch is read with the lid shut and with the lid up, and the same number means the opposite: the check
    that the words say. None where they leave it open; then it is asked."""
    lids = with_any_lid(turn, key)
    if key not in lids or len(lids) < 2:
        return key
    said = lid_in(text)
    if said is None:
        turn.close_question()
        put(turn, "which_check", tuple(f"check:{check}" for check in lids), said=text)
        return None
    return next((check for check, lid in lids.items() if lid == said), key)


def with_any_lid(turn: Turn, key: str) -> dict[str, str]:
    """The readings of the same switch -> how the lid stands for each."""
    return {check: lid for check, entry in turn.pack.checks.items()
            if entry.reading is not None and (lid := lid_in(entry.name)) is not None
            and without_lid(entry.name) == without_lid(turn.pack.checks[key].name)}


def shows_open(check: Check, text: str) -> bool:
    """Whether an open circuit is what this check can show: across a part, or to the case where the words say so."""
    return (check.reading is not None and check.reading.quantity == "ohm"
            and (" to " in check.name) == (_TO_CASE.search(text) is not None))
