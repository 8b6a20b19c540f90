"""What a message says of one family's complaints: phrases that match and learned weights, in one calibrated chance."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from bot.language.calibration import chance, phrase_chance
from bot.language.matching import Match
from bot.language.weights import UNHEARD

_FAINT: Final = 0.002
OTHER_SIDE: Final = {"complaint": "denied", "denied": "complaint"}


@dataclass(frozen=True, slots=True)
class Setting:
    """What else bears on it: number of clauses, talk of prices or visits, log odds of no complaint at all, no word
    on which machine it is."""

    clauses: int
    scope: bool
    aside: float
    lost: bool


def chances(heard: Mapping[str, float] | None, found: Sequence[Match], setting: Setting) -> dict[str, float]:
    """Meaning ('complaint:x', 'denied:x') -> calibrated probability. `heard`: learned log odds of the family's meanings.
    Meanings that nothing learned knows of, such as a firm's own, go by their phrases alone."""
    phrases = phrase_chances(found, setting)
    if heard is None:
        return phrases
    told = {meaning: chance(meaning.partition(":")[0], given)
            for meaning, given in inputs(heard, phrases, setting).items()}
    return {**phrases, **told}


def aside_chance(heard: Iterable[Mapping[str, float]], found: Iterable[Match], setting: Setting, traits: int) -> float:
    """Probability that a message is about no machine's trouble: visits, prices, thanks, chatter."""
    return chance("aside", aside_inputs(heard, found, setting, traits))


def aside_inputs(heard: Iterable[Mapping[str, float]], found: Iterable[Match], setting: Setting, traits: int,
                 ) -> tuple[float, ...]:
    """What that curve looks at: learned log odds of no complaint at all, best learned log odds of a complaint and of a
    denial, talk of prices or visits, no word on which machine, best score of a phrase, log of the number of traits."""
    best = {kind: max((v for said in heard for m, v in said.items() if m.startswith(kind)), default=UNHEARD)
            for kind in OTHER_SIDE}
    return (setting.aside, best["complaint"], best["denied"], float(setting.scope), float(setting.lost),
            max((m.score for m in found), default=0.0), math.log(1 + traits))


def phrase_chances(found: Sequence[Match], setting: Setting) -> dict[str, float]:
    """Meaning -> probability by phrases alone."""
    best: dict[str, float] = {}
    for match in found:
        p = phrase_chance(match, setting.clauses, setting.scope, setting.lost)
        best[match.meaning] = max(best.get(match.meaning, 0.0), p)
    return best


def inputs(heard: Mapping[str, float], phrases: Mapping[str, float], setting: Setting) -> dict[str, tuple[float, ...]]:
    """What the last curve looks at, for each meaning of a family: learned log odds (and their part below even), log
    odds of the phrases, by how much each leads its rivals, the same two for the opposite meaning, log of the number
    of clauses, talk of prices or visits, log odds of no complaint at all, no word on which machine it is."""
    said = {meaning: _log_odds(phrases.get(meaning, 0.0)) for meaning in heard}
    rivals = {kind: (_two_best(heard, kind), _two_best(said, kind)) for kind in OTHER_SIDE}
    around = (math.log(1 + setting.clauses), float(setting.scope), setting.aside, float(setting.lost))
    given: dict[str, tuple[float, ...]] = {}
    for meaning, odds in heard.items():
        kind, _, name = meaning.partition(":")
        learned, phrased = rivals[kind]
        other = f"{OTHER_SIDE[kind]}:{name}"
        given[meaning] = (
            odds, min(odds, 0.0), said[meaning],
            odds - _rival(odds, learned), said[meaning] - _rival(said[meaning], phrased), heard.get(other, UNHEARD), said.get(other, _log_odds(0.0)), *around)
    return given


def _two_best(odds: Mapping[str, float], kind: str) -> tuple[float, float]:
    ranked = sorted((v for meaning, v in odds.items() if meaning.startswith(kind)), reverse=True)
    return (*ranked, UNHEARD, UNHEARD)[:2]  # type: ignore[return-value]


def _rival(own: float, best: tuple[float, float]) -> float:
    return best[1] if own >= best[0] else best[0]


def _log_odds(p: float) -> float:
    held = min(max(p, _FAINT), 1 - _FAINT)
    return math.log(held / (1 - held))
