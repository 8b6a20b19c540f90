"""Which checks of a family words speak of: by the words of a check's name, and less by those of its question."""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from bot.language.index import Index
from bot.language.words.forms import stem
from bot.language.words.text import tokens_of, word_set
from knowledge.schema import Check

RELATIVE: Final = 2.0
"""Weight of words from which on another check than the one asked is meant."""
ALIKE: Final = 2
"""Words that the names of two checks share when they are of like parts: the run and the start winding."""
ASKED: Final = 0.3
"""What a word of the question counts against one of the name."""
_IDLE: Final = word_set(
    "the a an and or of on in at to it its is are was by with off out up for from look check checks watch try kind "
    "when where what which how hand ohm ohms volt volts amp amps meter reading read looked listened watched one two "
    "both all each power running after before while still not no good bad clear open closed free done part parts "
    "behind warm warmed cold hot")
"""Words of names and questions that tell no check from another, or are results."""
_BREAKS: Final = re.compile(
    r"(?<!\d),|,(?!\d)|[;\n]|(?<!\d)\.(?!\w)|\.(?=\s|$)|\s-+\s|\s(?:and|n|but|also|plus|while|y|pero)\s",
    re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Subject:
    """What tells a check from the others: stem -> how seldom it is said of one, in its name and in its question."""

    named: Mapping[str, float]
    asked: Mapping[str, float]


def parts_of(text: str) -> list[str]:
    """A line taken apart where one thing said may end and the next begin, with no comma where it was said how one part
    is and another follows: 'rollers good idler rough'. Decimals stay whole."""
    apart = _BREAKS.split(_SAID_OF_ONE.sub(r"\g<one>,", text))
    return [part.strip() for part in apart if any(c.isalnum() for c in part)]


PARTS_SAID: Final = word_set(
    "hose hoses clamp clamps belt idler pulley roller rollers bearing gasket seal boot hinge latch strike handle "
    "element heater fuse thermostat thermistor sensor igniter burner motor capacitor valve solenoid coil pump impeller "
    "filter screen float fan blower compressor duct pipe elbow cord terminal connector harness breaker outlet timer "
    "relay switch rack arm dispenser lid bellows disposer shaft magnet knob drawer")
_MORE_PARTS: Final = (
    "coils vents? hood flap glides? felt wheel limit cut ?outs? cut ?offs? ignitor tstat stat bimetal cond evap "
    "condenser evaporator damper drain trap fans fuses valves switches elements vent duct")
_ANY_PART: Final = "|".join(sorted({*PARTS_SAID, *_MORE_PARTS.replace(" ?", "_?").split()})).replace("_?", " ?")
_SAID_OF_ONE: Final = re.compile(
    rf"\b(?P<one>(?!lids?\b|drawer)(?:{_ANY_PART})(?: (?:is|are|looks?|reads?|tests?|was|were|all|both))* "
    rf"(?:fine|good|ok|okay|clean|clear|open|closed|ol))(?= (?:the |both |all |its )?(?:{_ANY_PART})\b)", re.IGNORECASE)


def subjects(index: Index, family: str) -> Mapping[str, Subject]:
    """Check -> its subject; worked out when a family is first asked for."""
    kept: dict[str, Subject] | None = index.said.get((family, _ALL))
    if kept is None:
        kept = _subjects(index.knowledge.packs[family].checks)
        index.said[family, _ALL] = kept
    return kept


_ALL: Final = ""
"""Stands for all checks of a family where one check's id would stand."""


def _subjects(checks: Mapping[str, Check]) -> dict[str, Subject]:
    names = {key: stems(f"{key.replace('_', ' ')} {check.name}") for key, check in checks.items()}
    asks = {key: stems(check.ask) - names[key] for key, check in checks.items()}
    spread = Counter(word for key in checks for word in names[key] | asks[key])
    seldom = {word: math.log((len(checks) + 1) / count) for word, count in spread.items()}
    return {key: Subject({w: seldom[w] for w in names[key]}, {w: seldom[w] for w in asks[key]}) for key in checks}


_IN_FULL: Final = {
    "evap": "evaporator", "cond": "condenser", "comp": "compressor", "compr": "compressor", "stat": "thermostat",
    "tstat": "thermostat", "ignitor": "igniter", "cap": "capacitor", "disposal": "disposer", "xfmr": "transformer",
    "transmission": "gearcase", "tranny": "gearcase", "trans": "gearcase", "gearbox": "gearcase", "touchpad": "panel",
    "keypad": "panel", "fuze": "fuse", "mtr": "motor", "bearings": "bearing", "sw": "switch",
    "bimetal": "thermostat", "bimetals": "thermostat"}
"""What the trade calls a part for short, or besides, and its name in the packs."""


def pack_word(word: str) -> str:
    """The packs' name for what a word names in short: 'evap' is the evaporator."""
    return _IN_FULL.get(word, word)


@lru_cache(maxsize=8192)
def stems(text: str) -> frozenset[str]:
    """The telling words of a text by their stems."""
    return frozenset(stem(pack_word(t.word)) for t in tokens_of(in_one_word(text))
                     if not t.is_mark and t.word not in _IDLE and not t.word.isdigit())


def in_one_word(text: str) -> str:
    """A text with the cut-off and the bimetal, each one part however it is written, as one word."""
    return _BIMETAL.sub("bimetal", _CUT_OFF.sub("cutoff", text))


_BIMETAL: Final = re.compile(r"\bbi[ -]metal(?=s?\b)", re.IGNORECASE)


_CUT_OFF: Final = re.compile(r"\b(?:thermal )?cut(?:[ -]?off|[ -]?out)(?=s?\b)", re.IGNORECASE)


def _names(called: str, own: str, others: str = "") -> tuple[frozenset[str], str, frozenset[str]]:
    return frozenset(map(stem, called.split())), stem(own), frozenset(map(stem, others.split()))


_INSIDE: Final = "inside freezer frz frzr evap evaporator wall fridge"
_OTHER_NAMES: Final[Mapping[str, tuple[tuple[frozenset[str], str, frozenset[str]], ...]]] = {
    "front_load_washer": (_names("trap", "filter", "lint dryer"), _names("boot bellows", "gasket")),
    "dryer": (_names("pipe hose tube", "duct", "gas yellow"),
              _names("hood cap flap", "duct", "air blow open weak strong puff warm breeze filter")),
    "refrigerator": (
        _names("cond condensor condensers", "condenser"), _names("evap evaperator", "evaporator"),
        _names("comp compr cmpr", "compressor"), _names("bottom under underneath condenser cond", "lower", _INSIDE),
        _names("evap evaporator", "inside"))}
"""What people call a part of a family, its name in the pack, and the words with which it is another part."""


def with_other_names(family: str, said: frozenset[str]) -> frozenset[str]:
    """'The pipe behind it' of a dryer is its duct, the evap fan of a fridge the inside one."""
    return said | {own for names, own, others in _OTHER_NAMES.get(family, ()) if names & said and not others & said}


_FULL_OF: Final = re.compile(
    r"\b(?:with|w|of|by|from|in)(?:/| |\b) ?(?:\w+ )?lint\b(?! (?:filter|screen|trap))", re.IGNORECASE)
"""'Hood plugged with lint': what is in it names no lint filter."""


def about(index: Index, family: str, text: str, among: Iterable[str]) -> dict[str, float]:
    """How much a text speaks of each of some checks; words that all of them share count for none."""
    own, said = subjects(index, family), with_other_names(family, stems(_FULL_OF.sub(" ", text)))
    keys = [key for key in among if key in own]
    shared = set.intersection(*(set(own[k].named) for k in keys)) if len(keys) > 1 else set()
    return {key: sum(w for word, w in own[key].named.items() if word in said and word not in shared)
            + ASKED * sum(w for word, w in own[key].asked.items() if word in said and word not in shared)
            for key in keys}


def covered(index: Index, family: str, text: str, check: str) -> float:
    """The share of a check's name, by weight, that a text has."""
    named, said = subjects(index, family)[check].named, with_other_names(family, stems(_FULL_OF.sub(" ", text)))
    whole = sum(named.values())
    return sum(w for word, w in named.items() if word in said) / whole if whole else 0.0


def named_instead(index: Index, family: str, text: str, asked: Iterable[str], others: Iterable[str]) -> str | None:
    """The one of some other checks whose part words name, where they name nothing of what is asked."""
    own, said = subjects(index, family), stems(text)
    if any(said & (set(own[key].named) | set(own[key].asked)) for key in asked if key in own):
        return None
    weights = {key: sum(w for word, w in own[key].named.items() if word in said) for key in others}
    first, second = (*sorted(weights.items(), key=lambda w: -w[1]), ("", 0.0), ("", 0.0))[:2]
    return first[0] if first[1] >= RELATIVE and first[1] > second[1] else None


def of_relative(index: Index, family: str, text: str, check: str) -> str | None:
    """The reading of a like part that words name instead of this one: 'start' where the run winding is asked for."""
    own, said, checks = subjects(index, family), stems(text), index.knowledge.packs[family].checks
    mine = own[check].named
    best, weight = None, RELATIVE
    for key, other in checks.items():
        theirs = own[key].named
        shared = set(mine) & set(theirs)
        if other.reading is None or len(shared) < ALIKE or said & (set(mine) - shared):
            continue
        named = sum(w for word, w in theirs.items() if word in said and word not in mine)
        if named > weight:
            best, weight = key, named
    return best if checks[check].reading is not None else None
