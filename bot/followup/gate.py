"""Whether what was learned may go live: it must foretell confirmed visits better than the packs. Pure.

Each visit is foretold from those before it alone, then counted. The gain is the mean difference of the log score, in
nats a visit: of shares, the chance given to the repair that cured, once the complaints were told; of rows, the chance
given to the results that were seen, the fault being known.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from bot.diagnosis.evidence import UNKNOWN
from bot.followup.cases import Case
from bot.followup.counting import HALF_LIFE, Floats, Group, in_time, shrunk, within, worth
from bot.followup.learning import (
    ROW_CASES,
    ROW_WORTH,
    Book,
    RowKey,
    book_of,
    row_of,
    share_worth,
    shares,
)
from knowledge.schema import Pack

RECENT: Final = 200
"""Fully confirmed visits that are foretold: the newest."""
LEAST: Final = 40
"""Fewer than this never open the gate. Judgement: two standard errors of fewer are hardly that."""
ERRORS: Final = 2.0
_AGAIN: Final = 10
"""Visits after which what the pack is worth is worked out anew."""


@dataclass(frozen=True, slots=True)
class Score:
    """How much better the learned numbers foretold `visits` visits: mean and its standard error, nats a visit."""

    visits: int = 0
    gain: float = 0.0
    error: float = 0.0

    @property
    def enough(self) -> bool:
        """Whether there are as many as it takes to say anything."""
        return self.visits >= LEAST

    @property
    def open(self) -> bool:
        """Whether they may go live."""
        return self.enough and self.gain > ERRORS * self.error


def score_of(gains: Sequence[float]) -> Score:
    """Mean and standard error."""
    if len(gains) < 2:
        return Score(len(gains), float(sum(gains)), math.inf)
    return Score(len(gains), float(np.mean(gains)), float(np.std(gains, ddof=1) / math.sqrt(len(gains))))


def score_shares(pack: Pack, cases: Iterable[Case]) -> Score:
    """The gain of the learned shares of faults."""
    book = book_of(pack)
    ordered = in_time(cases)
    first = _first(ordered)
    place = {fault: i for i, fault in enumerate(book.faults)}
    counts, gains, amount, known = np.zeros(len(book.faults)), [], 0.0, -_AGAIN
    for number, case in enumerate(ordered):
        if number >= first and case.weight == 1 and UNKNOWN not in case.faults:
            if number - known >= _AGAIN:
                amount, known = share_worth(book, counts), number
            foretold = within(shares(book, counts, amount), book.share) if counts.sum() else book.share
            gains.append(_gain(book, place, foretold, case))
        counts *= 0.5 ** (case.weight / HALF_LIFE)
        for fault, part in case.faults.items():
            if fault in place:
                counts[place[fault]] += case.weight * part
    return score_of(gains)


def _gain(book: Book, place: Mapping[str, int], foretold: Floats, case: Case) -> float:
    """Belief after the complaints goes with the prior: the pack's, times how each fault's share has changed."""
    before = after = rest = total = 0.0
    for fault, p in case.told.items():
        factor = float(np.prod([foretold[place[f]] / book.share[place[f]] for f in fault.split("+") if f in place]))
        hit = fault in case.faults
        before += p if hit else 0.0
        after += p * factor if hit else 0.0
        total += p
        rest += p * factor
    return math.log(max(after / rest, 1e-12)) - math.log(max(before / total, 1e-12))


def score_rows(pack: Pack, cases: Iterable[Case]) -> Score:
    """The gain of the learned rows of checks. Visits in which no check was made are left out."""
    ordered = in_time(cases)
    first = _first(ordered)
    groups: dict[RowKey, Group] = {}
    gains, amount, known = [], ROW_WORTH[1], -_AGAIN
    places = {check: {r: i for i, r in enumerate(entry.results)} for check, entry in pack.checks.items()}
    for number, case in enumerate(ordered):
        if number >= first and case.weight == 1 and case.seen and UNKNOWN not in case.faults:
            if number - known >= _AGAIN:
                amount, known = worth(list(groups.values()), *ROW_WORTH), number
            gains.append(sum(_row_gain(pack, groups, amount, case, check, places[check][result])
                             for check, result in case.seen))
        decay = 0.5 ** (case.weight / HALF_LIFE)
        for group in groups.values():
            group.counts[:] *= decay
        for check, result in case.seen:
            for fault, part in case.faults.items():
                if fault in pack.faults and part > 0:
                    if (check, fault) not in groups:
                        groups[check, fault] = Group(np.zeros(len(places[check])), row_of(pack, check, fault))
                    groups[check, fault].counts[places[check][result]] += case.weight * part
    return score_of(gains)


def _row_gain(pack: Pack, groups: Mapping[RowKey, Group], amount: float, case: Case, check: str, result: int) -> float:
    before = after = 0.0
    for fault, part in case.faults.items():
        group = groups.get((check, fault))
        base = group.base if group is not None else row_of(pack, check, fault)
        moved = base
        if group is not None and group.counts.sum() >= ROW_CASES:
            moved = within(shrunk(group, amount), base)
        before += part * float(base[result])
        after += part * float(moved[result])
    return math.log(after) - math.log(before)


def _first(ordered: Sequence[Case]) -> int:
    """Where the newest fully confirmed visits begin."""
    full = [number for number, case in enumerate(ordered) if case.weight == 1]
    return full[-RECENT] if len(full) > RECENT else 0
