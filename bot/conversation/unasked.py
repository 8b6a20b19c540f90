"""What nobody asked for: a result told beside the open question, and readings such as 'element reads 9000 ohm'."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from bot.conversation.alarming import take_alarming
from bot.conversation.asking import put
from bot.conversation.checks import take_answer
from bot.conversation.facts import evidence_of
from bot.conversation.intake import file_heard, hear_again
from bot.conversation.onset import beginning_in, beginnings_in, tells_only_beginning
from bot.conversation.turn import Turn
from bot.conversation.worded import answer_to, speaks_of
from bot.diagnosis.setting import holds_as_told
from bot.language.about import about, covered, of_relative, parts_of
from bot.language.details import details_in
from bot.language.forms import stem
from bot.language.meaning import HeardResult
from bot.language.text import plain_words, word_set
from bot.language.unasked import SURE, told_of
from knowledge.schema import Check, Result

_WORD: Final = re.compile(r"[a-záéíóúñ]{4,}")
_IDLE: Final = frozenset({"reads", "reading", "ohms", "volts", "amps", "across", "meter", "measured", "with", "from",
                          "unplugged", "checked", "tested", "shows", "says", "about", "there", "this", "that",
                          "open", "infinite", "continuity", "dead", "looks", "shown"})
_MEASURED: Final = re.compile(
    r"\d[\d.,]*\s*(k|m|meg|mega|kilo)?\s*(ohms?|Ω|v|vac|vdc|volts?|a|amps?|uf|mfd|microfarads?|f|c|deg\w*|min\w*|sec\w*|rpm|k|meg|"
    r"megs|megohms?|kohms?)\b|\b(reads?|reading|read|measur\w+|shows?|showing|got|gets|getting|gives|metered|meter|marca|mide)\b"
    r".{0,60}?\d|\d.{0,60}?\b(across|on the meter|ohm\w*)\b", re.IGNORECASE)
"""A number with a unit, or one that the meter is said to say: the 240 of 'electric 240' is neither."""
_METER: Final = re.compile(
    r"\d|\b(zero|nothing|volts?|ohms?|amps?|continuity|beeps?|meter\w*|probes?|legs?)\b", re.IGNORECASE)
_OPEN: Final = re.compile(
    r"\b(ol|o\.l|infinite|no continuity)\b|"
    r"\b(reads?|reading|shows?|measures?|measured|tests?|tested|metered) (as )?open\b|\bopen on (the |my )?meter\b",
    re.IGNORECASE)
_TO_CASE: Final = re.compile(
    r"\bto (the |its )?(case|ground|frame|body|chassis|cabinet|metal|flange|shell)\b", re.IGNORECASE)
_OPENED: Final = word_set("door lid valve valves vent flap window panel damper drawer lock tap")
"""Things that stand open with nothing wrong."""
_LID: Final = re.compile(r"\b(?:lid|door)(?: is|'s|s)? (down|shut|closed|up|open|raised|lifted)\b", re.IGNORECASE)
_SHUT: Final = frozenset({"down", "shut", "closed"})
WHOLE: Final = 0.75
"""Share of the words of an unsafe result, or of one way to say it, that has to be said where it was not asked."""
_LITTLE: Final = word_set("a an the is are has have at with when it its on to of and el la un una es")
PLAINLY: Final = 3
"""By how much the words of 'element reads OL' have to speak more of one check than of any other."""
NAMED_BY: Final = 2.5
"""Weight of a check's own words from which on 'belt is broken' names its part."""
CLEARLY: Final = 1.3
"""By how much more of one check's name has to be said than of another's."""
_NOT_SEEN: Final = re.compile(
    r"\?|\b(others?|rest|everything|will|would|should|could|might|maybe|think|"
    r"guess|if|need|needs|want|wants|going to|gonna|yet|"
    r"says|said|was|"
    r"replaced|swapped|changed|new|last|before|havent|haven't|didnt|didn't)\b", re.IGNORECASE)
"""Planned, supposed, heard from others or done before: nothing that was seen now."""
FEWEST: Final = 3
"""Words of a part that can name a check and say what it showed."""


def set_aside(turn: Turn, text: str, asked: Sequence[str]) -> tuple[str, list[HeardResult]]:
    """The words that are for the checks that are asked, and the results that the rest tells of others."""
    if turn.job.family is None:
        return text, []
    kept: list[str] = []
    found: list[HeardResult] = []
    parts = parts_of(text)
    for part in parts:
        began = beginning_in(turn, part)
        if began is not None and began.check not in asked:
            found.append(began)
        if tells_only_beginning(part) and not any(turn.pack.checks[key].begins for key in asked):
            continue
        heard = _of_like_part(turn, part, asked) or _of_another(turn, part, asked)
        if heard is None or (not heard.result and len(parts) == 1):
            kept.append(part)
        elif heard.result:
            found.append(heard)
    whole = _of_another(turn, text, asked) if not found and len(parts) > 1 else None
    if whole is not None and _of_one_piece(turn.pack.checks[whole.check], parts):
        return "", [whole]
    return (text, found) if len(kept) == len(parts) else (", ".join(kept), found)


def _of_one_piece(check: Check, parts: Sequence[str]) -> bool:
    """'120 on one leg and 0 on the other', 'belt slips n shiny': what the joint does not part."""
    return check.kind == "meter" or (not check.tells_kind and all(len(part.split()) < FEWEST for part in parts))


def _of_another(turn: Turn, part: str, asked: Sequence[str]) -> HeardResult | None:
    """The result of a check that is not asked, told in words that do not answer what is."""
    if len(part.split()) < FEWEST:
        return None
    heard = told_of(turn.context.release.index, turn.job.family or "", part, asked)
    evidence = evidence_of(turn.job)
    if heard is None:
        return _out_of_turn(turn, part, asked)
    check = turn.pack.checks[heard.check]
    if not holds_as_told(check, evidence) or ("meter" in check.tools and not _metered(check, part)):
        return None
    if not _said_whole(check.results[heard.result], part):
        return None
    return None if any(answer_to(turn, key, part).result is not None for key in asked) else heard


def _said_whole(result: Result, text: str) -> bool:
    """Whether an unsafe result that is a complaint too was said, and not only sounded like: 'the oven heats' is no
    'oven heats at off'."""
    if not (result.unsafe and result.complaints):
        return True
    said = {stem(word) for word in plain_words(text)}
    ways = [result.says, *(phrase for those in result.phrases.values() for phrase in those)]
    wholes = [{stem(word) for word in plain_words(way)} - _LITTLE for way in ways]
    return any(whole and len(whole & said) >= WHOLE * len(whole) for whole in wholes)


def _metered(check: Check, text: str) -> bool:
    """Whether words tell of a reading that this check can show: 'held by ice' is no volts, 'element open' no ground."""
    if _OPEN.search(text) or _only_open(text):
        return _shows_open(check, text)
    return _MEASURED.search(text) is not None or _METER.search(text) is not None


def _out_of_turn(turn: Turn, part: str, asked: Sequence[str]) -> HeardResult | None:
    """'Belt is broken' while the vent is asked: the look whose part it names, if it says nothing of what is asked."""
    if _NOT_SEEN.search(part) or any(speaks_of(turn, key, part) for key in asked):
        return None
    index, family = turn.context.release.index, turn.job.family or ""
    evidence = evidence_of(turn.job)
    looks = [key for key, check in turn.pack.checks.items()
             if check.reading is None and "meter" not in check.tools and key not in asked
             and holds_as_told(check, evidence)]
    found = []
    for key, weight in about(index, family, part, looks).items():
        heard = answer_to(turn, key, part) if weight >= NAMED_BY else None
        if heard is not None and heard.result is not None and heard.p >= SURE and _said_whole(
                turn.pack.checks[key].results[heard.result], part):
            found.append((covered(index, family, part, key), HeardResult(key, heard.result, heard.p)))
    found.sort(key=lambda f: -f[0])
    if not found or found[0][0] <= 0 or (len(found) > 1 and found[0][0] < CLEARLY * found[1][0]):
        return None
    best = found[0][1]
    forced = [answer_to(turn, key, part) for key in asked if turn.pack.checks[key].reading is None]
    return best if all(heard.result is None or heard.p < min(SURE, best.p) for heard in forced) else None


def _of_like_part(turn: Turn, part: str, asked: Sequence[str]) -> HeardResult | None:
    """'Start reads open' where the run winding is asked for: never that one's answer, clear or not (result '')."""
    if len(asked) != 1 or asked[0] not in turn.pack.checks:
        return None
    other = of_relative(turn.context.release.index, turn.job.family or "", part, asked[0])
    if other is None:
        return None
    heard = answer_to(turn, other, part)
    sure = heard.result is not None and heard.p >= SURE
    return HeardResult(other, heard.result if sure and heard.result is not None else "", heard.p)


def file_besides(turn: Turn, found: Sequence[HeardResult]) -> bool:
    """File results that were told unasked; the answer says them back. True if anything was new."""
    before = turn.job.facts
    for heard in found:
        file_heard(turn, heard)
    return turn.job.facts != before


def take_details(turn: Turn, text: str) -> bool:
    """'While washing' of a machine that leaks, whatever is asked just now. True if it was news."""
    if turn.job.family not in turn.context.release.knowledge.packs:
        return False
    stands = [fact.subject for fact in turn.job.standing("complaint")]
    return file_besides(turn, details_in(turn.context.release.index, turn.job.family, text, stands))


def told_before(turn: Turn, text: str) -> bool:
    """Whether words say of another check than the one that is asked what was noted of it already."""
    question = turn.job.question
    if question is None or question.kind not in {"check", "variant"}:
        return False
    noted = {fact.subject: fact.value for fact in turn.job.standing("result") if fact.subject in turn.pack.checks}
    heard = {key: answer_to(turn, key, text) for key in noted if speaks_of(turn, key, text)}
    return any(its.result == noted[key] and its.p >= SURE for key, its in heard.items())


def take_unasked(turn: Turn, text: str) -> bool:
    """File readings on the one check each whose name or question speaks of the same part. True if one was found."""
    if turn.job.family is None:
        return False
    parts = parts_of(text)
    found = [_take_reading(turn, part) for part in parts if turn.job.question is None or not turn.go_on]
    return any(found) or (len(parts) > 1 and _take_reading(turn, text))


def hear_again_unasked(turn: Turn) -> None:
    """What was said before the family was known, heard as about that machine: also how it began, and readings."""
    texts = turn.job.position.unplaced
    hear_again(turn)
    if turn.job.family is None or turn.job.family not in turn.context.release.knowledge.packs:
        return
    for text in texts:
        file_besides(turn, beginnings_in(turn, text))
        take_alarming(turn, text)
        take_unasked(turn, text)


def _take_reading(turn: Turn, text: str) -> bool:
    open_circuit = _OPEN.search(text) is not None or _only_open(text)
    if not (open_circuit or _MEASURED.search(text)):
        return False
    words = _words(_TO_CASE.sub(" ", text))
    evidence = evidence_of(turn.job)
    ranked = sorted(((_overlap(words, check), key) for key, check in turn.pack.checks.items()
                     if check.reading is not None and holds_as_told(check, evidence)
                     and (not open_circuit or _shows_open(check, text))), reverse=True)
    if not ranked or ranked[0][0] <= 0 or (len(ranked) > 1 and ranked[0][0] == ranked[1][0]):
        return False
    key = _with_the_lid(turn, ranked[0][1], text)
    if key is None:
        return True
    if open_circuit and not (_told_of(words, turn.pack.checks[key])
                             and (len(ranked) == 1 or ranked[0][0] - ranked[1][0] >= PLAINLY)):
        return False
    heard = answer_to(turn, key, text)
    read = heard.heard
    if read is None or read.unit_mismatch or (read.value is None and not (open_circuit and read.special == "open")):
        return False
    return take_answer(turn, key, heard, text)


def _with_the_lid(turn: Turn, key: str, text: str) -> str | None:
    """The same switch is read with the lid shut and with the lid up, and the same number means the opposite: the check
    that the words say. None where they leave it open; then it is asked."""
    lids = {check: lid for check, entry in turn.pack.checks.items()
            if entry.reading is not None and (lid := _lid(entry.name)) is not None
            and _without_lid(entry.name) == _without_lid(turn.pack.checks[key].name)}
    if key not in lids or len(lids) < 2:
        return key
    said = _lid(text)
    if said is None:
        turn.close_question()
        put(turn, "which_check", tuple(f"check:{check}" for check in lids), said=text)
        return None
    return next((check for check, lid in lids.items() if lid == said), key)


def _lid(text: str) -> str | None:
    found = _LID.search(text)
    return None if found is None else "shut" if found[1].lower() in _SHUT else "up"


def _without_lid(name: str) -> str:
    return _LID.sub("", name).strip(" ,")


def _only_open(text: str) -> bool:
    """'Element open', and nothing else: a part with a circuit, no door."""
    words = text.lower().split()
    return len(words) <= FEWEST and words[-1:] == ["open"] and not set(words) & _OPENED


def _shows_open(check: Check, text: str) -> bool:
    """Whether an open circuit is what this check can show: across a part, or to the case where the words say so."""
    return (check.reading is not None and check.reading.quantity == "ohm"
            and (" to " in check.name) == (_TO_CASE.search(text) is not None))


def _told_of(words: set[str], check: Check) -> bool:
    """Whether the words name the check's part and nothing that it does not speak of."""
    named = _words(check.name)
    return bool(words & named) and words <= named | _words(check.ask)


def _overlap(words: set[str], check: Check) -> int:
    """How much the words speak of the check; a check whose name says more than they do is less likely meant."""
    named = _words(check.name)
    return 6 * len(words & named) - len(named - words) + 2 * len(words & _words(check.ask))


def _words(text: str) -> set[str]:
    said = text.lower().replace("heating element", "element").replace("heater", "element")
    return {word.rstrip("s") for word in _WORD.findall(said)} - {word.rstrip("s") for word in _IDLE}
