"""Words on another part than the one that is looked at: 'the clamp on the sump hose is loose' is no word on a filter.

What tells one result of a look from another are often words that go with any part: loose, torn, leaking. Where the part
they are said of is one that neither the check nor anybody who answered it has ever named, they answer nothing.
"""

from __future__ import annotations

import re
from typing import Final

from bot.language.answers.about import PARTS_SAID, stems, with_other_names
from bot.language.answers.likeness import choices_of, learned
from bot.language.answers.open_circuit import tells_continuity
from bot.language.answers.to_ground import sides_of
from bot.language.index import Index
from bot.language.words.forms import stem
from bot.language.words.text import drop_apostrophes, plain_words
from knowledge.schema import Check

KINDS: Final = frozenset({"look", "feel", "turn"})
"""Kinds of checks that go by the state of one part."""
PARTS: Final = frozenset(stem(word) for word in PARTS_SAID)
_STATE: Final = re.compile(
    r"\b(?:loose|broken|broke|torn|cracked|split|leak\w*|drip\w*|worn|shot|busted|bad|burnt|snapped|"
    r"green|corroded|rust\w*|scorched|fried|half (?:on|off)|missing|bent|"
    r"packed|full of|clogged|choked|kinked|crushed|squashed|smashed|pinched|melted|chewed|"
    r"(?:came|popped|fell|slid|is|was) off)\b", re.IGNORECASE)
FEWEST: Final = 4
"""Words from which on an answer names the part it speaks of."""


def of_another_part(index: Index, family: str, check: str, text: str) -> bool:
    """True where the words tell the state of parts none of which has to do with what is looked at."""
    entry = index.knowledge.packs[family].checks[check]
    if of_another_metered(entry, text):
        return True
    if entry.kind not in KINDS or entry.tells_kind or not _STATE.search(text):
        return False
    words = plain_words(text)
    said = {stem(word) for word in words} & PARTS
    if len(words) < FEWEST or not said or said & _own(entry):
        return False
    lines = choices_of(index, family, check, learned())
    return not any(f"'{word}" in lines.traits for word in said)


_TOLD_OF: Final = PARTS | {stem(word) for word in ("flap", "hood", "vent", "damper")}


def names_others(family: str, entry: Check, text: str) -> bool:
    """True where words name parts, by whatever name, and a check that nobody asked for never speaks of any of them:
    'flap doesnt move' is no timer that stands."""
    said = with_other_names(family, stems(text)) & _TOLD_OF
    shown = " ".join(way for result in entry.results.values() for way in (
        result.label, result.says, *(phrase for those in result.phrases.values() for phrase in those)))
    return bool(said) and not said & (stems(shown) | _own(entry))


_RUNS: Final = frozenset({"run", "listen", "time"})
_WELL: Final = re.compile(
    r"\W*(?:the |its |both |all )?(?:[a-z]+ )?(?P<part>[a-z]{3,}) (?:is |are |s |looks? |looked |seems? |all |still )*"
    r"(?:fine|ok|okay|good|clean|clear|whole|tight|level|open|free|dry|intact|on|on it|in place|there|"
    r"(?:not |un)kinked|not (?:broken|off|torn))(?: (?:and|n) (?:whole|tight|good|fine))?\W*", re.IGNORECASE)
_TAPS: Final = frozenset(map(stem, ("tap", "faucet", "standpipe")))


def well_of_another(entry: Check, text: str) -> bool:
    """True where a run is asked for and all that the words say is that some part is well of which the check never
    speaks: 'hose clear' is no pump that drains, 'taps open' no silent fill."""
    said = _WELL.fullmatch(drop_apostrophes(text)) if entry.kind in _RUNS else None
    part = stem(said["part"].lower()) if said is not None else ""
    if part not in PARTS | _TAPS:
        return False
    shown = " ".join(word for result in entry.results.values() for word in (result.label, result.says))
    return part not in {stem(word) for word in plain_words(f"{entry.name} {entry.ask} {shown}")}


_METERED: Final = tuple(frozenset(stem(word) for word in kin.split()) for kin in (
    "fan blower", "compressor", "pump", "igniter", "capacitor", "burner", "element heater",
    "thermostat thermistor sensor fuse limit cutoff cutout"))
"""Parts that a meter is put on, each with what it is called besides."""


def of_another_metered(entry: Check, text: str) -> bool:
    """True where a meter is asked for and the words name parts that it is not put on: 'fan motor reads open' of a
    heater; or where a look is asked for and they are a meter's: 'thermostat closed'."""
    if (entry.kind == "look" and "meter" not in entry.tools and sides_of(entry) is None and tells_continuity(text)
            and stem("beeps") not in _own(entry)):
        return True
    if entry.kind != "meter" or entry.tells_kind:
        return False
    said = {stem(word) for word in plain_words(_CAPACITOR.sub("capacitor", text))}
    named = [kin for kin in _METERED if kin & said]
    return bool(named) and not any(kin & _own(entry) for kin in named)


_CAPACITOR: Final = re.compile(
    r"\bcap(?=(?: \w+){0,2} (?:reads?|reading|is|was|measures?|meters?|tests?|shows?) ?[\d.])", re.IGNORECASE)
"""'Cap reads 1.2': no burner has one that reads."""


def _own(entry: Check) -> set[str]:
    told = (entry.name, entry.ask, entry.again or "", entry.good or "", *entry.steps, *entry.cautions)
    return {stem(word) for line in told for word in plain_words(line)}
