"""What bears on the complaints that words sound like: builds, readings, states, other complaints, the past."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from typing import Final

from bot.language.answers.by_hand import shakes_by_hand
from bot.language.complaints.aim import (
    as_baked,
    as_measured,
    not_by_build,
    not_denied_by_build,
    not_denied_of_a_reading,
    not_of_a_reading,
    not_of_works,
    not_past,
    of_the_freezer,
)
from bot.language.complaints.bearing import (
    with_implied,
    without_both_at_once,
    without_coded,
    without_heat_unasked,
    without_hum,
    without_open_circuit,
    without_rise,
    without_rivals,
    without_wanted_spark,
)
from bot.language.complaints.beside_danger import SAME
from bot.language.complaints.dry_place import load_is_dry
from bot.language.complaints.guesses import BEST, Weighed
from bot.language.complaints.of_the_pump import of_the_pump, turns_only_the_pump
from bot.language.complaints.temperatures import BAKING_FAMILY, COLD_FAMILY, bakes_as_set
from bot.language.dangers.hazards import of_a_part
from bot.language.index import Index
from bot.language.meaning import Guess
from bot.language.parsed import Parsed
from bot.language.words.text import word_set

VAGUE: Final = 0.55
"""No complaint is likelier than this where only 'not working' is said."""
_SLOW: Final = "long_dry_time"
_SHAKES: Final = "shakes"
_ALL_AND_NOTHING: Final = word_set("work- inop broken")


def as_meant(index: Index, parsed: Parsed, text: str, weighed: Weighed, states: Mapping[str, Collection[str]],
             ) -> tuple[list[Guess], tuple[str, ...]]:
    """Complaints told and denied, with all that bears on them. `states`: what a cold machine's compartments are said to
    measure."""
    told, clues = weighed.told, weighed.clues
    guesses = not_by_build(index, told, text, clues, not_of_a_reading(
        text, clues, not_of_works(text, _no_surer_than_said(parsed, weighed.guesses))))
    guesses, denied = as_measured(states, _told_apart(index, told, guesses, text),
                                  not_past(parsed.clauses, weighed.denied, clues))
    guesses, denied = _of_parts(told, parsed, guesses, denied)
    if told in index.knowledge.packs and load_is_dry(text) and _SLOW in index.knowledge.packs[told].complaints:
        guesses, denied = [g for g in guesses if g.id != _SLOW], tuple(dict.fromkeys((*denied, _SLOW)))
    denied = not_denied_of_a_reading(text, clues, denied)
    denied = without_both_at_once(without_open_circuit(without_coded(denied, text), text), text)
    denied = without_wanted_spark(not_denied_by_build(index, told, text, clues, denied), guesses, text)
    return guesses, with_implied(told, denied, [g.id for g in guesses if g.p >= BEST])


def _told_apart(index: Index, family: str | None, guesses: Sequence[Guess], text: str) -> list[Guess]:
    """What is reported, without what only sounds like it beside that."""
    apart = without_rise(without_rivals(guesses), index.own.get(family or "", ()), text)
    return without_heat_unasked(without_hum(apart, text), text)


def _of_parts(family: str | None, parsed: Parsed, guesses: Sequence[Guess], denied: tuple[str, ...],
              ) -> tuple[list[Guess], tuple[str, ...]]:
    """What is said of one part of a machine, or was measured of it, and no more than that."""
    if family == COLD_FAMILY:
        return of_the_freezer(parsed.clauses, guesses, denied)
    if turns_only_the_pump(family, parsed.text):
        return of_the_pump(guesses, denied)
    return as_baked(family == BAKING_FAMILY and bakes_as_set(parsed.clauses, parsed.text), guesses, denied)


def _no_surer_than_said(parsed: Parsed, guesses: Sequence[Guess]) -> list[Guess]:
    """'Not working', 'broke', of the machine alone: it may be anything, whatever people mostly mean by it. 'Got the
    belt for it' is no shock."""
    kept = [g for g in guesses if g.id not in SAME["shock"]] if of_a_part(parsed.words) else list(guesses)
    if shakes_by_hand(parsed.text):
        kept = [g for g in kept if g.id != _SHAKES]
    said = {f.key for c in parsed.clauses for f in c.features if f.kind not in ("appliance", "number", "other")}
    return [replace(g, p=min(g.p, VAGUE)) for g in kept] if said and said <= _ALL_AND_NOTHING else kept
