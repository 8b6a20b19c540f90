"""What a message says of one family's complaints: phrases that match and learned weights, in one calibrated chance."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from bot.language.calibration import WEIGHED, curve, phrase_chance
from bot.language.matching import Match
from bot.language.weights import UNHEARD, Group

Floats = NDArray[np.floating]
FAINT: Final = 0.002
"""Phrases are given at least this chance, and at most one less it: nothing is certain."""
_LEAST_SAID: Final = math.log(FAINT / (1 - FAINT))


@dataclass(frozen=True, slots=True)
class Setting:
    """What else bears on it: number of clauses, talk of prices or visits, log odds of no complaint at all, no word
    on which machine it is."""

    clauses: int
    scope: bool
    aside: float
    lost: bool


def chances(group: Group | None, heard: Floats, found: Sequence[Match], setting: Setting) -> dict[str, float]:
    """Meaning ('complaint:x', 'denied:x') -> calibrated probability. `heard`: learned log odds of the group's meanings.
    Meanings that nothing learned knows of, such as a firm's own, go by their phrases alone."""
    phrases = phrase_chances(found, setting)
    if group is None:
        return phrases
    given, told = inputs(group, heard, phrases, setting), np.zeros(len(heard))
    for kind, mine in group.kinds.items():
        told[mine] = curve(WEIGHED[kind], given[mine])
    weighed = dict(zip(group.meanings, told.tolist(), strict=True))
    for meaning in {m.meaning for m in found if is_new(group, m)}:
        weighed[meaning] = max(weighed.get(meaning, 0.0), phrases[meaning])
    return {**phrases, **weighed}


def is_new(group: Group, match: Match) -> bool:
    """True for a phrase with words of which nothing was learned, such as one that a firm added: it is believed."""
    return any(f.end and f.key not in group.rows for f in match.features)


def aside_chance(learned: Sequence[tuple[Group, Floats]], found: Iterable[Match], setting: Setting,
                 traits: int) -> float:
    """Probability that a message is about no machine's trouble: visits, prices, thanks, chatter."""
    return float(curve(WEIGHED["aside"], np.array([aside_inputs(learned, found, setting, traits)]))[0])


def aside_inputs(learned: Sequence[tuple[Group, Floats]], found: Iterable[Match], setting: Setting, traits: int,
                 ) -> tuple[float, ...]:
    """What that curve looks at: learned log odds of no complaint at all, best learned log odds of a complaint and of a
    denial, talk of prices or visits, no word on which machine, best score of a phrase, log of the number of traits."""
    best = {kind: max((float(heard[group.kinds[kind]].max()) for group, heard in learned), default=UNHEARD)
            for kind in ("complaint", "denied")}
    return (setting.aside, best["complaint"], best["denied"], float(setting.scope), float(setting.lost),
            max((m.score for m in found), default=0.0), math.log(1 + traits))


def phrase_chances(found: Sequence[Match], setting: Setting) -> dict[str, float]:
    """Meaning -> probability by phrases alone."""
    best: dict[str, float] = {}
    for match in found:
        p = phrase_chance(match, setting.clauses, setting.scope, setting.lost)
        best[match.meaning] = max(best.get(match.meaning, 0.0), p)
    return best


def inputs(group: Group, heard: Floats, phrases: Mapping[str, float], setting: Setting) -> Floats:
    """What the last curve looks at, [meaning, input]: learned log odds (and their part below even), log odds of the
    phrases, by how much each leads its rivals, the same two for the opposite meaning, log of the number of clauses,
    talk of prices or visits, log odds of no complaint at all, no word on which machine it is."""
    held = np.clip([phrases.get(meaning, 0.0) for meaning in group.meanings], FAINT, 1 - FAINT)
    said = np.log(held / (1 - held))
    others = [np.append(column, none)[group.opposites] for column, none in ((heard, UNHEARD), (said, _LEAST_SAID))]
    given = np.empty((len(heard), 11))
    given[:, :7] = np.stack([heard, np.minimum(heard, 0.0), said, heard, said, *others], axis=1)
    for mine in group.kinds.values():
        given[mine, 3] -= _rivals(heard[mine])
        given[mine, 4] -= _rivals(said[mine])
    given[:, 7:] = math.log(1 + setting.clauses), setting.scope, setting.aside, setting.lost
    return given


def _rivals(odds: Floats) -> Floats:
    """For each meaning the best of the others of its kind."""
    second, first = np.sort(odds)[-2:] if len(odds) > 1 else (UNHEARD, odds[0])
    return np.where(odds >= first, second, first)
