"""Which machine is spoken of: named outright, told by its parts, or one that is handed over."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import Final

from bot.language.index import Index
from bot.language.words.lexicon import data
from bot.language.words.scope import Clause
from bot.language.words.text import word_set
from bot.language.words.units import Unit

NAMED: Final = 9.0
"""Log odds of a family whose name stands in the text."""
AGAIN: Final = 1.5
"""Log odds of a second name: 'the dryer is fine, the washer ...' is rare, 'goes into the dryer wet' is not."""
BESIDE: Final = 5.0
"""Log odds of a name that only says where something is, when no other machine is named."""
WORD: Final = 0.75
"""Share of the words' own log ratios that counts: words of one message are not independent."""
_VALUES: Final = word_set("in of within ohm ohms k meter auto right wrong normal temp volt volts good manual safe")
"""Before 'range', where it is one of values."""
_BESIDE: Final = word_set(
    "beside next near behind under underneath above below like than same by unlike over into junto lado encima debajo "
    "detras to")
_GAS: Final = word_set("gas pilot propane piloto")
NAMES: Final[Mapping[str, str]] = {"fridge": "family:refrigerator", "oven": "family:range", "burner": "family:range"}
"""Parts that name their machine as surely as its own name does."""
PART_NAMES: Final = frozenset({"oven", "burner"})
PART: Final = 6.0
"""Log odds of a machine told by a part only it has, when no machine is named ('ring', 'oven')."""
WASHERS: Final = ("top_load_washer", "front_load_washer")
KINDS: Final[Mapping[str, tuple[str, ...]]] = {
    "heat_pump_dryer": ("dryer",), "washer_dryer_combination": ("dryer", *WASHERS),
    "commercial_or_coin_operated": ("dryer", *WASHERS, "dishwasher", "refrigerator", "range")}
"""Handed-over machines that are a kind of a family: said of one that is known too."""


@dataclass(frozen=True, slots=True)
class Machine:
    """Log odds of each family, and the appliance that is handed over, if one is meant."""

    odds: Mapping[str, float]
    named: frozenset[str]
    handoff: str | None
    foreign: bool
    spot: tuple[int, int] | None = None

    def shares(self) -> dict[str, float]:
        """Probability of each family."""
        top = max(self.odds.values())
        parts = {f: math.exp(v - top) for f, v in self.odds.items()}
        whole = sum(parts.values())
        return {f: v / whole for f, v in parts.items()}


@cache
def cues() -> Mapping[str, Mapping[str, float]]:
    """Concept -> family -> log odds."""
    told: dict[str, dict[str, float]] = defaultdict(dict)
    for family, said in data("cues").items():
        for concept, odds in said.items():
            told[concept][family] = float(odds)
    return dict(told)


@dataclass(slots=True)
class _Heard:
    """What was heard so far of which machine is meant."""

    odds: dict[str, float]
    named: set[str] = field(default_factory=set)
    handoff: str | None = None
    foreign: bool = False
    spot: tuple[int, int] | None = None

    def name(self, unit: Unit, gain: float) -> None:
        """A family named by a word."""
        name = _name_of(unit)
        for family in WASHERS if name == "washer" else (name,):
            if family in self.odds:
                self.odds[family] += gain
        self.named.add(name)
        self.spot = self.spot or (unit.start, unit.end)

    def other(self, unit: Unit, group: str) -> None:
        """A machine that is handed over or none of ours, unless one of ours was named before."""
        name = _name_of(unit)
        if group == "foreign":
            self.foreign = self.foreign or not self.named
        elif self.handoff is None and (not self.named or name in KINDS):
            self.handoff = name
        self.spot = self.spot or (unit.start, unit.end)


def _name_of(unit: Unit) -> str:
    concept = unit.sense.concept if unit.sense is not None else ""
    return NAMES.get(concept, concept).partition(":")[2]


def machine_of(index: Index, units: Sequence[Unit], clauses: Sequence[Clause]) -> Machine:
    """What the message says about which machine it is."""
    heard = _Heard(dict.fromkeys(index.tables, 0.0))
    beside: list[Unit] = []
    parts: list[Unit] = []
    for place, unit in enumerate(units):
        if not _names_a_machine(units, place) or unit.sense is None:
            continue
        group = NAMES.get(unit.sense.concept, unit.sense.concept).partition(":")[0]
        if _is_beside(units, place) or (group != "family" and _in_passing(unit, units[place + 1:], clauses)):
            beside.append(unit)
        elif unit.sense.concept in PART_NAMES:
            parts.append(unit)
        elif group != "family":
            heard.other(unit, group)
        elif heard.handoff is None or _name_of(unit) == "washer":
            heard.name(unit, NAMED if heard.named <= {"washer"} else AGAIN)
    if heard.handoff == "electric_water_heater" and any(u.words in _GAS for u in units):
        heard.handoff = "gas_water_heater"
    if not heard.named and heard.handoff is None:
        for unit in parts:
            heard.name(unit, PART)
    if not heard.named and heard.handoff is None:
        for unit in beside:
            if unit.sense is not None and not unit.sense.concept.startswith(("handoff", "foreign")):
                heard.name(unit, BESIDE)
    _hear_words(index, clauses, heard.odds)
    return Machine(heard.odds, frozenset(heard.named), heard.handoff, heard.foreign, heard.spot)


def _hear_words(index: Index, clauses: Sequence[Clause], odds: dict[str, float]) -> None:
    """Words that are said more of one family than of others."""
    for key in {f.concept for c in clauses for f in c.features if f.kind != "appliance"}:
        for family, ratio in index.families.get(key, {}).items():
            odds[family] += WORD * max(-1.5, min(1.5, ratio))
        for family, more in cues().get(key, {}).items():
            if family in odds:
                odds[family] += more


def _in_passing(unit: Unit, after: Sequence[Unit], clauses: Sequence[Clause]) -> bool:
    """'had a disposer put in, now the dishwasher wont drain': nothing is said of it, and one of ours follows."""
    named = any(u.sense is not None and u.sense.concept.startswith("family:") for u in after)
    clause = next((c for c in clauses if any(f.start == unit.start for f in c.features)), None)
    return named and _name_of(unit) not in KINDS and (clause is None or not clause.has_core)


def _names_a_machine(units: Sequence[Unit], place: int) -> bool:
    """Whether a unit is the name of one. 'In range', 'out of range', 'the 200 ohm range' are of values."""
    unit = units[place]
    if unit.sense is None or (unit.sense.kind != "appliance" and unit.sense.concept not in NAMES):
        return False
    before = units[place - 1].words.rpartition(" ")[2] if place else ""
    return unit.words.rpartition(" ")[2] not in ("range", "ranges") or before not in _VALUES


def _is_beside(units: Sequence[Unit], place: int) -> bool:
    """'next to the dryer', 'under the stove': a place, not the machine meant (unless nothing else is named)."""
    before = [u.words for u in units[max(0, place - 3):place]]
    while before and before[-1] in ("the", "my", "a", "la", "el", "her", "his", "our", "their", "of", "de"):
        before.pop()
    return bool(before) and before[-1].rpartition(" ")[2] in _BESIDE and place > 2
