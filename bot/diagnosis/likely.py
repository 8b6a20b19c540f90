"""Looking ahead is done on the likeliest hypotheses alone, about half of sixty: more nodes fit the same time."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from bot.diagnosis.compiled import Ints
from bot.diagnosis.problem import Problem

FEWEST: Final = 24
"""Hypotheses up to which all are searched on."""


@dataclass(frozen=True, slots=True, eq=False)
class Likely:
    """A problem of fewer hypotheses and repairs."""

    problem: Problem
    repairs: Ints
    """[repairs here] their index in the whole problem."""


def likeliest(whole: Problem, share: float) -> Likely:
    """The hypotheses that have `share` of the belief (1: all of them); what is left counts as one more, which no repair
    here cures and whose results are those that are expected of it on average."""
    kept = _kept(whole, share)
    if kept is None:
        return Likely(whole, np.arange(whole.repairs))
    likely, rest = np.flatnonzero(kept), np.flatnonzero(~kept)
    cured = np.unique(whole.group[likely])
    repairs = cured[cured < whole.repairs]
    place = np.full(whole.repairs + 1, len(repairs))
    place[repairs] = np.arange(len(repairs))
    mass = float(whole.belief[rest].sum())
    weight = whole.belief[rest] / mass if mass > 0 else np.full(len(rest), 1 / len(rest))
    at = np.cumsum(kept) - 1
    return Likely(replace(
        whole, belief=np.append(whole.belief[likely], mass),
        rows=np.concatenate([whole.rows[:, :, likely], (whole.rows[:, :, rest] @ weight)[:, :, None]], axis=2),
        group=np.append(place[whole.group[likely]], len(repairs)), works=whole.works[repairs],
        repair_cost=whole.repair_cost[repairs], wrong_cost=whole.wrong_cost[repairs],
        handoff=np.append(whole.handoff[repairs], whole.handoff[-1]),
        repair_path=whole.repair_path[repairs] if len(whole.repair_path) else whole.repair_path,
        pairs=tuple((int(at[k]), int(at[i]), int(at[j])) for k, i, j in whole.pairs if kept[k])), repairs)


def _kept(whole: Problem, share: float) -> np.ndarray | None:
    """[K] which hypotheses to search on; None for all. Both faults of a pair that is kept stay."""
    count = len(whole.belief)
    if count <= FEWEST or share >= 1:
        return None
    order = np.argsort(-np.round(whole.belief / whole.belief.sum(), 12), kind="stable")
    running = np.cumsum(whole.belief[order])
    enough = int(np.searchsorted(running, share * running[-1])) + 1
    kept = np.zeros(count, dtype=bool)
    kept[order[:max(FEWEST, enough)]] = True
    for k, i, j in whole.pairs:
        if kept[k]:
            kept[i] = kept[j] = True
    return kept if int(kept.sum()) < count - 1 else None
