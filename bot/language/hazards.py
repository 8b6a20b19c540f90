"""Danger comes before everything else: gas, carbon monoxide, fire, injury, shock, refrigerant, flood."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final, get_args

from bot.language.lexicon import data
from bot.language.meaning import Hazard
from bot.language.scope import Clause, Feature
from bot.language.text import Token, word_set

ORDER: Final[tuple[Hazard, ...]] = get_args(Hazard)
"""Gravest first, as the contract lists them."""


@dataclass(frozen=True, slots=True)
class Danger:
    """A hazard and the words that told it."""

    hazard: Hazard
    start: int
    end: int
    eggs: bool = False
    """Told only by a smell of rotten eggs, which a foul drain has too."""


@cache
def _rules() -> dict[Hazard, tuple[tuple[str, ...], ...]]:
    return {h: tuple(tuple(line.split()) for line in data("hazards")["frames"].get(h, ())) for h in ORDER}


@cache
def _phrases() -> dict[Hazard, tuple[tuple[str, ...], ...]]:
    return {h: tuple(tuple(p.split()) for p in data("hazards")["phrases"].get(h, ())) for h in ORDER}


@cache
def _harmless() -> tuple[tuple[str, ...], ...]:
    return tuple(tuple(p.split()) for p in data("hazards")["harmless"])


def dangers_of(tokens: Sequence[Token], words: Sequence[str], clauses: Sequence[Clause]) -> list[Danger]:
    """All hazards reported as present, gravest first. Denied and past ones are none."""
    found: list[Danger] = []
    said = " ".join(words)
    harmless = any(_place(words, phrase) is not None for phrase in _harmless())
    for hazard in ORDER:
        for clause in clauses:
            spot = None if clause.past or clause.not_that else _in_clause(hazard, clause)
            if spot is not None:
                found.append(Danger(hazard, *spot, eggs="egg" in said or "huevo" in said))
                break
        else:
            spot = None if harmless else _in_words(hazard, tokens, words, clauses)
            place = _hurt(words) if hazard == "injury" and spot is None else None
            if place is not None:
                spot = tokens[place - 1].start, tokens[place].end
            if spot is not None:
                found.append(Danger(hazard, *spot, eggs="egg" in said or "huevo" in said))
    if not found and len(clauses) == 1 and [f.concept for f in clauses[0].features] == ["flame"]:
        found.append(Danger("fire", clauses[0].features[0].start, clauses[0].features[0].end))
    return found


def vocabulary() -> set[str]:
    """All words of the phrases: none of them is a typo of something else."""
    return {w for phrases in _phrases().values() for p in phrases for w in p} | _BODY | _HARM


def in_context(dangers: Sequence[Danger], family: str | None, clauses: Sequence[Clause]) -> list[Danger]:
    """Rotten eggs in a machine with water are a drain; a burner's own spark is no fire."""
    kept = []
    for danger in dangers:
        here = [f.concept for c in clauses for f in c.features if f.start < danger.end and f.end > danger.start]
        around = {f.concept for c in clauses for f in c.features}
        if danger.hazard == "gas" and family in WITH_WATER and danger.eggs:
            continue
        if danger.hazard == "fire" and family == "range" and here == ["spark"] and not around & NOT_THE_IGNITER:
            continue
        kept.append(danger)
    return kept


WITH_WATER: Final = frozenset({"top_load_washer", "front_load_washer", "dishwasher", "refrigerator"})
NOT_THE_IGNITER: Final = word_set(
    "heater oven cord outlet board back inside noise burning boom display broken live shock element smoke")
_BODY: Final = word_set(str(data("hazards")["body"]))
_HARM: Final = word_set(str(data("hazards")["harm"]))
_OWN: Final = word_set("my his her their mi su la el")


def _hurt(words: Sequence[str]) -> int | None:
    """Place of a body part that something was done to: 'sliced my hand', 'my arm is stuck', 'metal in my eye'."""
    for place in range(1, len(words)):
        if words[place] in _BODY and words[place - 1] in _OWN:
            near = [*words[max(0, place - 5):place - 1], *words[place + 1:place + 5]]
            if set(near) & (_HARM if words[place - 1] not in ("la", "el", "su") else _HARM - {"in", "el"}):
                harmed = set(near) & _HARM
                if harmed != {"in"} or words[place].startswith("eye"):
                    return place
    return None


def _in_clause(hazard: Hazard, clause: Clause) -> tuple[int, int] | None:
    for frame in _rules()[hazard]:
        used: list[Feature] = []
        for key in frame:
            hit = next((f for f in clause.features if f.key == key), None)
            if hit is None:
                break
            used.append(hit)
        else:
            return min(f.start for f in used), max(f.end for f in used)
    return None


def _in_words(hazard: Hazard, tokens: Sequence[Token], words: Sequence[str], clauses: Sequence[Clause],
              ) -> tuple[int, int] | None:
    here = set(words)
    for phrase in _phrases()[hazard]:
        place = _place(words, phrase) if phrase[0] in here else None
        if place is None or _is_denied(words, place) or _is_past(tokens[place], clauses):
            continue
        return tokens[place].start, tokens[place + len(phrase) - 1].end
    return None


def _place(words: Sequence[str], phrase: tuple[str, ...]) -> int | None:
    first = phrase[0]
    for place in range(len(words) - len(phrase) + 1):
        if words[place] == first and tuple(words[place:place + len(phrase)]) == phrase:
            return place
    return None


_NOT: Final = word_set("no not never without didnt isnt dont wasnt nobody nadie sin nunca aint doesnt cant")


def _is_denied(words: Sequence[str], place: int) -> bool:
    return any(w in _NOT for w in words[max(0, place - 3):place])


def _is_past(token: Token, clauses: Sequence[Clause]) -> bool:
    return any(c.past and any(f.start <= token.end and f.end >= token.start for f in c.features) for c in clauses)
