"""Short words that tell of something else than what is asked: 'no code' where the step is, 'reads normal' where nothing
is measured. They answer nothing, however like an answer they sound."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from typing import Final

from bot.conversation.turn import Turn
from bot.language.answers.about import stems
from bot.language.complaints.beside_danger import GAS_SMELL
from bot.language.meaning import Meaning
from bot.language.words.text import drop_apostrophes
from knowledge.schema import Check

MOST_WORDS: Final = 5
_BARE: Final = re.compile(
    r"\W*(?:(?:no|nope|nah|none|nothing|nada|ninguno|zip|zero|negative|not|never|any|at|all|there|here|now|it|its|is|ok|"
    r"clean|clear|fresh|fine|good|air|sir|man|i|can|cant|dont|that|noticed?|tell|everything|todo|bien)\b\W*)+",
    re.IGNORECASE)
"""'Nope, nothing' clears the air; a 'nothing' beside other words is of something else."""
_OF_A_SMELL: Final = re.compile(
    r"smel\w*|odou?r\w*|whiff\w*|snif\w*|nose|stink\w*|stench|reek\w*|fumes?|rotten|eggs?|\bgas\b|olor\w*|olfat\w*|"
    r"huel\w*|\b(?:none|sin|nothing steady)\b", re.IGNORECASE)
METERS: Final = frozenset({"meter", "clamp", "insulation_tester", "outlet_tester", "voltage_pen", "thermometer"})
"""Tools that read something."""
_METERED: Final = re.compile(
    r"\b(?:reads?|reading|metered|metering|ohm(?:s|ed)?|volts?|continuity|multimeter)\b|"
    r"(?<![\w.])\d[\d.]* ?(?:k|v|vac|a|amps?|uf|mfd|meg\w*)\b")
_VERDICT: Final = re.compile(r"\b(bad|shot|failed|faulty|defective|toast|fried|junk|busted|kaput|no good|ng)\W*$")
_WATCHED: Final = frozenset({"run", "time", "listen", "ask"})
"""Kinds of checks that are answered by what the machine does or did, and by no verdict on a part."""
_SAYS: Final = re.compile(r"\b(?:sticker|label|display|panel|screen|it|plate|gauge|dial|thermometer|says?)\b")
_DENIES: Final = re.compile(
    r"^\W*(?:no|not any|without|sin)(?: \w+)? (codes?|errors?|fault codes?|smells?|trips?)\b"
    r"(?: (?:on it|at all|shown|showing|that i see|yet))?\W*$")


_RESET_SO_OFTEN: Final = re.compile(
    r"\W*(?:(?:i|we|they|he|she|cust|customer|have|has|had to|already|just|only)\W+)*(?:reset|flipped|pushed)"
    r"(?: (?:it|that|the \w+))?(?: back)? (?:like |about |maybe )?(?:\d+|two|three|four|five|a few|few|"
    r"a couple(?: of)?|several|many) times?(?: (?:now|already|today|so far))?\W*", re.IGNORECASE)
"""'Reset it 3 times': how often somebody did, and not when it goes."""


_LIES_IN: Final = re.compile(
    r"^\W*(?:(?:there ?s|theres|found|its|nope)\W+)*(?:nothin\w*|nuttin|nada|no (?:coins?|junk|lint|debris|sock|hair))"
    r" (?:stuck |caught |jammed |lodged )?(?:in|inside|behind) (?:the |its |that |my )?(?:\w+ )?"
    r"(?:pump|trap|filter|hose|sump|impeller|housing)\W*$")
"""'Nothing in the pump': what lies in a part, and no word on what it sounds like."""


ONLY_TURNED: Final = re.compile(
    r"\W*(?:(?:i|we|ok|so|just|when|if|then)\W+)*(?:turn(?:ed|ing)?|spin|spun|spinning|rotat(?:e|ed|ing)|"
    r"push(?:ed|ing)?|roll(?:ed|ing)?|work(?:ed|ing)?) "
    r"(?:(?:the|it|its|that|this|her|both)(?: \w+){0,2}?|(?:\w+ )?(?:drum|basket|tub|agitator|motor|pulley|impeller|"
    r"fan|blades?|shaft|wheel|blower)) (?:round|around|by hand)(?: by hand)?\W*", re.IGNORECASE)
"""'Turned the drum by hand': what was done, and not yet what it showed."""
_SHUT_OFF: Final = re.compile(
    r"\W*(?:(?:i|we|ok|so|well|just|then|have|ive)\W+)*(?:shut|closed|turned|cut|killed) (?:off )?"
    r"(?:the |both |her |my |all )*(?:taps?|faucets?|water|stopcock|supply|valves?)"
    r"(?: (?:off|now|too|already|at the \w+))*\W*", re.IGNORECASE)
"""'Shut the taps': what somebody did against the water, and not how they were found."""


def no_word_on(check: Check, text: str) -> bool:
    """Whether a short line speaks of a meter, condemns a part or denies a trouble that the check knows nothing of."""
    said = drop_apostrophes(text.lower())
    if any(done.fullmatch(said) for done in (_RESET_SO_OFTEN, ONLY_TURNED, _SHUT_OFF)):
        return True
    if len(said.split()) > MOST_WORDS:
        return False
    words = _words(check.name, check.ask, check.again, tuple(
        way for result in check.results.values() for way in (
            result.label, result.says, *(phrase for those in result.phrases.values() for phrase in those))))
    if check.kind in _WATCHED and _LIES_IN.search(said):
        return True
    verdict = _VERDICT.search(said) if check.kind in _WATCHED else None
    if verdict is not None and not stems(verdict[1]) & words:
        return True
    denied = _DENIES.search(said)
    if denied is not None:
        return not stems(denied[1]) & words
    if check.reading is not None or check.kind == "meter" or METERS & set(check.tools) or _SAYS.search(said):
        return False
    return _METERED.search(said) is not None and not stems("reads ohms volts continuity meter") & words


def condemns(text: str) -> bool:
    """Whether words end in a verdict that says nothing of what was seen: 'bad', 'shot'."""
    return _VERDICT.search(drop_apostrophes(text.lower())) is not None


def clears_gas_unsaid(check: Check, result: str | None, text: str) -> bool:
    """Whether words would settle that no gas is smelt though they speak of no smell: 'nothing spilled'."""
    smelt = {name for name, entry in check.results.items() if GAS_SMELL in entry.complaints}
    return (result is not None and bool(smelt) and result not in smelt
            and not _BARE.fullmatch(drop_apostrophes(text)) and not _OF_A_SMELL.search(text))


def without_no_words(turn: Turn, meaning: Meaning, text: str) -> Meaning:
    """A meaning without results of checks that the words say nothing of."""
    pack = turn.context.release.knowledge.packs.get(turn.job.family or "")
    if pack is None or not meaning.results:
        return meaning
    return replace(meaning, results=tuple(
        heard for heard in meaning.results
        if heard.check not in pack.checks or not (
            no_word_on(pack.checks[heard.check], text)
            or clears_gas_unsaid(pack.checks[heard.check], heard.result, text))))


@cache
def _words(name: str, ask: str, again: str, ways: tuple[str, ...]) -> frozenset[str]:
    return stems(" ".join((name, ask, again, *ways)))
