"""Which machine is spoken of: named outright, told by its parts, or one that is handed over."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final

from bot.language.scope import Clause
from bot.language.units import Unit
from bot.language.index import Index
from bot.language.lexicon import data
from bot.language.text import word_set

NAMED: Final = 7.0
"""Log odds of a family whose name stands in the text."""
WORD: Final = 0.75
"""Share of the words' own log ratios that counts: words of one message are not independent."""
_BESIDE: Final = word_set("beside next near behind under underneath above below like than same by unlike over into junto lado "
                           "encima debajo detras to")
NAMES: Final[Mapping[str, str]] = {"fridge": "family:refrigerator", "oven": "family:range", "burner": "family:range"}
"""Parts that name their machine as surely as its own name does."""
WASHERS: Final = ("top_load_washer", "front_load_washer")


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
def cues() -> dict[str, dict[str, float]]:
    """Family -> concept -> log odds."""
    return {f: {c: float(v) for c, v in said.items()} for f, said in data("cues").items()}


def machine_of(index: Index, units: Sequence[Unit], clauses: Sequence[Clause]) -> Machine:
    """What the message says about which machine it is."""
    odds = dict.fromkeys(index.tables, 0.0)
    named: set[str] = set()
    handoff: str | None = None
    foreign = False
    spot: tuple[int, int] | None = None
    beside: list[Unit] = []
    for place, unit in enumerate(units):
        if unit.sense is None or (unit.sense.kind != "appliance" and unit.sense.concept not in NAMES):
            continue
        group, _, name = NAMES.get(unit.sense.concept, unit.sense.concept).partition(":")
        if _is_beside(units, place):
            beside.append(unit)
            continue
        if group == "handoff":
            handoff = handoff or (name if not named or name in ("heat_pump_dryer", "washer_dryer_combination",
                                                                "commercial_or_coin_operated") else None)
            spot = spot or (unit.start, unit.end)
        elif group == "foreign":
            foreign = foreign or not named
        elif handoff is None or name == "washer":
            first = not named
            members = WASHERS if name == "washer" else (name,)
            for family in members:
                if family in odds:
                    odds[family] += NAMED if first else 1.5
            named.add(name)
            spot = spot or (unit.start, unit.end)
    if handoff == "electric_water_heater" and any(u.words in ("gas", "pilot", "propane", "piloto") for u in units):
        handoff = "gas_water_heater"
    for unit in beside if not named and handoff is None else ():
        group, _, name = NAMES.get(unit.sense.concept, unit.sense.concept).partition(":") if unit.sense else ("", "", "")
        for family in (WASHERS if name == "washer" else (name,)):
            if family in odds:
                odds[family] += NAMED - 2
                named.add(name)
    for key in {f.concept for c in clauses for f in c.features if f.kind != "appliance"}:
        told = index.families.get(key, {})
        for family in odds:
            odds[family] += WORD * max(-1.5, min(1.5, told.get(family, 0.0))) + cues().get(family, {}).get(key, 0.0)
    return Machine(odds, frozenset(named), handoff, foreign, spot)


def _is_beside(units: Sequence[Unit], place: int) -> bool:
    """'next to the dryer', 'under the stove': a place, not the machine meant (unless nothing else is named)."""
    before = [u.words for u in units[max(0, place - 3):place]]
    while before and before[-1] in ("the", "my", "a", "la", "el", "her", "his", "our", "their", "of", "de"):
        before.pop()
    return bool(before) and before[-1].split()[-1] in _BESIDE and place > 2
