"""What a message says of one family's complaints: what was learned, and phrases that nothing was learned from."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bot.language.complaints.matching import Match
from bot.language.learned.calibration import WEIGHED, curve, phrase_chances
from bot.language.learned.weights import UNHEARD, Group

Floats = NDArray[np.floating]
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
    What nothing was learned of yet, such as a firm's own complaints and phrases, goes by the phrases that match."""
    told = by_phrases(found, setting)
    if group is None:
        return told
    given, learned = inputs(group, heard, setting), np.zeros(len(heard))
    for kind, mine in group.kinds.items():
        learned[mine] = curve(WEIGHED[kind], given[mine])
    said = dict(zip(group.meanings, learned.tolist(), strict=True))
    return told | {meaning: max(told.get(meaning, 0.0), p) for meaning, p in said.items()} if told else said


def aside_chance(learned: Sequence[tuple[Group, Floats]], setting: Setting, traits: int) -> float:
    """Probability that a message is about no machine's trouble: visits, prices, thanks, chatter."""
    return float(curve(WEIGHED["aside"], np.array([aside_inputs(learned, setting, traits)]))[0])


def aside_inputs(learned: Sequence[tuple[Group, Floats]], setting: Setting, traits: int) -> tuple[float, ...]:
    """What that curve looks at: learned log odds of no complaint at all, best learned log odds of a complaint and of a
    denial, talk of prices or visits, no word on which machine, log of the number of traits."""
    best = {kind: max((float(heard[group.kinds[kind]].max()) for group, heard in learned), default=UNHEARD)
            for kind in ("complaint", "denied")}
    return (setting.aside, best["complaint"], best["denied"], float(setting.scope), float(setting.lost),
            math.log(1 + traits))


def by_phrases(found: Sequence[Match], setting: Setting) -> dict[str, float]:
    """Meaning -> probability by phrases alone."""
    best: dict[str, float] = {}
    for match, p in zip(found, phrase_chances(found, setting.clauses, setting.scope, setting.lost), strict=True):
        best[match.meaning] = max(best.get(match.meaning, 0.0), p)
    return best


def inputs(group: Group, heard: Floats, setting: Setting) -> Floats:
    """What the last curve looks at, [meaning, input]: learned log odds (and their part below even), by how much they
    lead those of rivals, those of the opposite meaning, log of the number of clauses, talk of prices or visits, log
    odds of no complaint at all, no word on which machine it is."""
    given = np.empty((len(heard), 8))
    given[:, 0] = given[:, 2] = heard
    given[:, 1] = np.minimum(heard, 0.0)
    given[:, 3] = np.append(heard, UNHEARD)[group.opposites]
    for mine in group.kinds.values():
        given[mine, 2] -= _rivals(heard[mine])
    given[:, 4:] = math.log(1 + setting.clauses), setting.scope, setting.aside, setting.lost
    return given


def _rivals(odds: Floats) -> Floats:
    """For each meaning the best of the others of its kind."""
    second, first = np.partition(odds, -2)[-2:] if len(odds) > 1 else (UNHEARD, odds[0])
    return np.where(odds >= first, second, first)
