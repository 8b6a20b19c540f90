"""What a fridge's fan and compressor are said to do. A quiet fan is a finding, and no word on noises of the machine;
whether the compressor runs is the first thing to know of a warm one, and two words tell it."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from bot.language.meaning import HeardResult, Meaning

FAMILY: Final = "refrigerator"
CHECK, STANDS = "fan_listen", "silent"
STATED: Final = 0.75
_QUIET: Final = r"(?:dead |totally |completely |real |very |all |just )*(?:quiet|silent)(?!er)"
_STANDS: Final = re.compile(
    rf"(?P<which>(?:\b\w+ ){{0,3}})\bfans?(?P<where> (?:in|inside|behind|of) (?:the |its )?\w+)? "
    rf"(?:(?:is|are|was|seems?|sounds?|its) )?(?:{_QUIET}|(?:not |isnt |isn['’]t )?making no (?:noise|sound)|"
    rf"(?:not|isnt|isn['’]t|doesnt|doesn['’]t) (?:making|make) (?:a |any )?(?:noise|sound)|"
    rf"makes? no (?:noise|sound))\b|"
    rf"\b(?:no|(?:dont|don['’]t|cant|can['’]t|not) hear(?:ing)? (?:the |any |its )?) ?"
    rf"(?P<of>(?:evap\w* |inside |freezer |frzr |interior )?)fan(?: (?:noise|sound|running))?\b", re.IGNORECASE)
_OTHER_FAN: Final = re.compile(r"\b(?:cond\w*|lower|bottom|outside|rear|comp\w*|motor|hood)\b", re.IGNORECASE)
_NOT_NOW: Final = re.compile(r"\bfans? (?:is |are )?(?:quiet|silent) (?:now|when|with|once|if|after)\b|\?",
                             re.IGNORECASE)


_NO_CLICK: Final = re.compile(
    r"\b(?:no|not|without|never|doesnt|doesn['’]t|isnt|isn['’]t)(?: even)?(?: an?| any)? click\w*\b", re.IGNORECASE)
_RUNS: Final = re.compile(r"\b(?<!not )(?<!no )(?:runs|running|hums along|kicks on|starts (?:fine|ok|right up))\b",
                         re.IGNORECASE)


def with_silent_part(text: str, meaning: Meaning) -> Meaning:
    """The meaning of a message about a fridge with what is said of its fan, and with a silent compressor as it is."""
    if meaning.family != FAMILY:
        return meaning
    if _NO_CLICK.search(text) and not _RUNS.search(text):
        meaning = replace(meaning, denied=tuple(d for d in meaning.denied if d != "clicks_wont_run"))
    return _with_quiet_fan(text, _with_compressor(text, meaning))


RUN_CHECK: Final = "compressor_hum"
_WARM: Final = frozenset({"both_warm", "fresh_food_warm", "freezer_warm"})
_COMP: Final = r"\b(?:comp|cmpr|compr|compressor|compresor)(?: motor)?"
_NO_RUN: Final = (r"(?:not|isnt|isn['’]t|aint|doesnt|doesn['’]t|dont|wont|won['’]t|never|didnt|no longer)"
                  r"(?: \w+)? (?:run\w*|start\w*|kick\w*|com\w+ on|turn\w* on|go\w*|hum\w*)")
_STILL: Final = re.compile(rf"{_COMP} (?:is |was |just |totally )*"
                           rf"(?:{_NO_RUN}|dead|silent|quiet|off|quit|stopped|parado)\b|"
                           r"\bno (?:comp|compressor)\b(?! (?:noise|trouble|problem|issue|click|start))", re.IGNORECASE)
_GOES: Final = re.compile(rf"{_COMP} (?:is |does |just |still |but )*(?:runs?|running|hums?|humming|going|works?)\b",
                          re.IGNORECASE)
_CLICKS: Final = re.compile(r"\bclick|\bclik|\btries\b|\btrying\b|\bcuts? (?:in|out|off)\b|\bshort cycl|\?",
                            re.IGNORECASE)


def _with_compressor(text: str, meaning: Meaning) -> Meaning:
    """The meaning of a warm machine with what its compressor is said to do; a click or a try is another thing."""
    told_of = {guess.id for guess in meaning.complaints}
    if "clicks_wont_run" in told_of:  # that says it already
        return replace(meaning, results=tuple(h for h in meaning.results if h.check != RUN_CHECK))
    if not _WARM & told_of or any(h.check == RUN_CHECK for h in meaning.results):
        return meaning
    still, goes = _STILL.search(text), _GOES.search(text)
    if (still is None) == (goes is None) or (_CLICKS.search(text) and not _NO_CLICK.search(text)):
        return meaning
    told = HeardResult(RUN_CHECK, "silent" if still else "runs", STATED)
    return replace(meaning, results=(*meaning.results, told))


def _with_quiet_fan(text: str, meaning: Meaning) -> Meaning:
    """The meaning with what is said of the fan, and without that nothing is to be heard of the machine. A noise that
    comes and goes is another thing."""
    found = _STANDS.search(text) if not _NOT_NOW.search(text) else None
    if found is None or any(guess.id == "noisy" for guess in meaning.complaints):
        return meaning
    if _OTHER_FAN.search(f"{found['which'] or ''} {found['where'] or ''}"):
        return replace(meaning, denied=tuple(d for d in meaning.denied if d != "noisy"))
    told = any(heard.check == CHECK for heard in meaning.results)
    fan = () if told else (HeardResult(CHECK, STANDS, STATED),)
    return replace(meaning, denied=tuple(d for d in meaning.denied if d != "noisy"), results=(*meaning.results, *fan))
