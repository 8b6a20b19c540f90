"""Complaints beside a danger: words that told it make none, and one that says the same is listed with it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Final

from bot.language.dangers.burners_own import of_a_burners_flame, of_a_burners_spark
from bot.language.dangers.hazards import Danger, of_a_meter, of_metal_alone
from bot.language.dangers.sounds_like import of_a_fuel, of_a_pin, of_absorbers, of_gas_turned, of_the_leads
from bot.language.index import Index
from bot.language.meaning import Guess, Hazard
from bot.language.words.scope import Clause

SHOCK: Final = "electric_shock"
GAS_SMELL: Final = "gas_smell"
SPARKS: Final = "sparks"
SMELL: Final = "burning_smell"
KEEPS_SPARKING: Final = "burner_keeps_clicking"
SAME: Final[Mapping[Hazard, tuple[str, ...]]] = {
    "gas": (GAS_SMELL,), "shock": ("electric_shock",), "fire": ("burning_smell", "sparks"),
    "flood": ("leaks", "water_on_floor")}
"""Complaints that say the same as a hazard."""


def without_dangers(clauses: Sequence[Clause], dangers: Sequence[Danger]) -> list[Clause]:
    """Words that told a danger make no complaint; nobody reports a machine with the clause in which he is hurt."""
    kept: list[Clause] = []
    for clause in clauses:
        mine = [d for d in dangers if any(f.start < d.end and f.end > d.start for f in clause.features)]
        if any(d.hazard in ("injury", "co", "refrigerant") for d in mine):
            continue
        if any(d.hazard == "gas" for d in mine):
            left = [f for f in clause.features if not any(f.start < d.end and f.end > d.start for d in mine
                                                          if d.hazard == "gas")]
            kept.append(replace(clause, features=left))
        else:
            kept.append(clause)
    return kept


def without_likes(words: Sequence[str], dangers: Sequence[Danger], listed: tuple[Guess, ...]) -> tuple[Guess, ...]:
    """Without the shock that volts on a meter, or one part that touches another, sound like, the smell that gas
    sounds like where it is what heats, the arc that an igniter's sparks sound like where they light or do not stop,
    and the smell that a burner's own flame sounds like."""
    if dangers:
        return listed
    no_shock = any(of(words) for of in (of_a_meter, of_a_pin, of_metal_alone, of_absorbers, of_the_leads))
    unsaid = {SHOCK} if no_shock else {GAS_SMELL} if of_a_fuel(words) or of_gas_turned(words) else set()
    if any(g.id == KEEPS_SPARKING for g in listed) or of_a_burners_spark(words):
        unsaid |= {SPARKS}
    if of_a_burners_flame(words):
        unsaid |= {SMELL}
    return tuple(g for g in listed if g.id not in unsaid)


def with_hazards(index: Index, family: str | None, dangers: Sequence[Danger], listed: tuple[Guess, ...],
                  ) -> tuple[Guess, ...]:
    """The complaint that says the same as a hazard is listed as well."""
    have = {g.id for g in listed}
    own = index.knowledge.packs[family].complaints if family else {}
    for danger in dangers:
        same = [c for c in SAME.get(danger.hazard, ()) if not family or c in own]
        if danger.hazard == "flood" or not same or have & set(same):
            continue
        if danger.hazard == "gas":
            listed = (Guess(same[0], 0.95), *listed)
        elif family or danger.hazard == "shock":
            listed = (*listed, Guess(same[0], 0.9))
    return listed


def not_there(denied: tuple[str, ...], dangers: Sequence[Danger], text: str, words: Sequence[str]) -> tuple[str, ...]:
    """'She smells no gas, i do' denies no smell of gas, and nor do 'nothing spilled' and 'no gas at that burner'; of
    the shocks that carry a tub nobody denies that they hurt."""
    there = {same for danger in dangers for same in SAME.get(danger.hazard, ())}
    if of_absorbers(words):
        there.add(SHOCK)
    if GAS_SMELL in denied and (not _OF_GAS.search(text) or (_NO_GAS_COMES.search(text) and not _SMELT.search(text))):
        there.add(GAS_SMELL)
    return tuple(complaint for complaint in denied if complaint not in there)


_OF_GAS: Final = re.compile(
    r"sme?ll?|odou?r|gas|whiff|propane|\blp\b|\blng\b|egg|olor|huel|snif|stink|reek|stench|scent|sul(?:f|ph)ur|fumes|nose|"
    r"leak|fuga|\bgs\b", re.IGNORECASE)
"""Words without which nobody denies it."""
_NO_GAS_COMES: Final = re.compile(
    r"\b(?:no|zero|(?:not|isnt|aint) getting(?: any)?|(?:doesnt|dont) get(?: any)?|"
    r"gets no|hardly any|without) gas\b(?! (?:smell|odou?r|leak|whiff|fumes))", re.IGNORECASE)
_SMELT: Final = re.compile(
    r"sme?ll|odou?r|whiff|egg|olor|huel|snif|stink|reek|stench|scent|sul(?:f|ph)ur|fumes|nose|leak|fuga", re.IGNORECASE)
"""'Burner no gas': none comes to it, and nobody spoke of a smell."""
