"""From confirmed visits to what a firm's packs should say: shares of faults, rows of checks. Pure.

What nobody can confirm by a repair keeps the pack's share: another trade's faults, and a machine that works as it
should. Else their shares would shrink only because no proof of theirs ever comes in. For the same reason the share of
faults that no entry describes may rise by what seniors found, and never falls.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from bot.diagnosis.evidence import UNKNOWN
from bot.diagnosis.setting import USAGE_NORMAL
from bot.followup.cases import Case
from bot.followup.counting import Floats, Group, fading, in_time, shrunk, within, worth
from knowledge.learned import LearnedFamily, said_row
from knowledge.schema import Pack

PACK_WORTH: Final = (5.0, 2000.0)
"""Cases that the pack's shares may be worth."""
ROW_WORTH: Final = (5.0, 30.0)
"""Cases that the pack's row of a check may be worth: thirty of the firm's own outweigh any estimate by hand."""
ROW_CASES: Final = 3.0
"""A row is left as it is until so many cases speak of it."""
MOST_UNKNOWN: Final = 0.29
"""Packs allow no more."""
DIGITS: Final = 6

RowKey = tuple[str, str]
"""Check and fault."""


@dataclass(frozen=True, slots=True, eq=False)
class Book:
    """What a pack says of its faults, as arrays over `faults`."""

    faults: tuple[str, ...]
    share: Floats
    """Share among the visits whose fault is in the book; sums to 1."""
    open: np.ndarray
    """Which of them a repair of ours can confirm."""
    unknown: float


def book_of(pack: Pack) -> Book:
    """The pack's shares."""
    faults = tuple(pack.faults)
    frequency = np.array([entry.frequency for entry in pack.faults.values()])
    provable = np.array([fault != USAGE_NORMAL and entry.trade is None and pack.repair_of(fault)[1].trade is None
                         for fault, entry in pack.faults.items()])
    return Book(faults, frequency / frequency.sum(), provable, pack.family.unknown)


def counted(book: Book, cases: Sequence[Case], weights: Floats) -> Floats:
    """[faults] cases of each, as much as they count."""
    place = {fault: i for i, fault in enumerate(book.faults)}
    counts = np.zeros(len(book.faults))
    for case, weight in zip(cases, weights.tolist(), strict=True):
        for fault, part in case.faults.items():
            if fault in place:
                counts[place[fault]] += weight * part
    return counts


def shares(book: Book, counts: Floats, pack_worth: float) -> Floats:
    """[faults] the firm's shares, before the cap."""
    learned = book.share.copy()
    free = book.open
    learned[free] = shrunk(_free(book, counts), pack_worth) * book.share[free].sum()
    return learned


def share_worth(book: Book, counts: Floats) -> float:
    """Cases that the pack's shares are worth beside these counts."""
    return worth([_free(book, counts)], *PACK_WORTH) if book.open.any() else PACK_WORTH[1]


def _free(book: Book, counts: Floats) -> Group:
    base = book.share[book.open]
    return Group(counts[book.open], base / base.sum())


def row_groups(pack: Pack, cases: Sequence[Case], weights: Floats) -> dict[RowKey, Group]:
    """How often each result was seen with each fault, beside the pack's row."""
    counts: dict[RowKey, dict[str, float]] = defaultdict(lambda: defaultdict(float))
    for case, weight in zip(cases, weights.tolist(), strict=True):
        for check, result in case.seen:
            for fault, part in case.faults.items():
                if fault in pack.faults and part > 0:
                    counts[check, fault][result] += weight * part
    return {(check, fault): Group(np.array([found.get(r, 0.0) for r in pack.checks[check].results]),
                                  row_of(pack, check, fault)) for (check, fault), found in counts.items()}


def row_of(pack: Pack, check: str, fault: str) -> Floats:
    """The pack's row over the results of a check, in their order."""
    row: Floats = np.array(list(said_row(pack, fault, check).values()))
    return row


def learn_shares(book: Book, now: Book, cases: Iterable[Case]) -> dict[str, float]:
    """Fault -> the firm's share, at most the cap away from `now`, which is in force."""
    ordered = in_time(cases)
    counts = counted(book, ordered, fading(ordered))
    if not counts.sum():
        return _by_fault(book, now.share)
    return _by_fault(book, within(shares(book, counts, share_worth(book, counts)), now.share))


def learn_unknown(book: Book, now: Book, cases: Iterable[Case]) -> float:
    """Share of visits whose fault is in no book: it rises by what seniors found, and never falls."""
    ordered = in_time(cases)
    weights = fading(ordered)
    found = float(sum(w * case.faults.get(UNKNOWN, 0.0) for case, w in zip(ordered, weights.tolist(), strict=True)))
    group = Group(np.array([found, float(weights.sum()) - found]), np.array([book.unknown, 1 - book.unknown]))
    wanted = shrunk(group, share_worth(book, counted(book, ordered, weights)))
    raised = max(float(within(wanted, np.array([now.unknown, 1 - now.unknown]))[0]), book.unknown)
    return round(min(raised, MOST_UNKNOWN), DIGITS)


def learn_rows(pack: Pack, now: Pack, cases: Iterable[Case]) -> dict[str, dict[str, dict[str, float]]]:
    """Check -> fault -> result -> chance, for the rows that enough cases speak of; the cap counts from `now`."""
    ordered = in_time(cases)
    groups = row_groups(pack, ordered, fading(ordered))
    amount = worth(list(groups.values()), *ROW_WORTH)
    learned: dict[str, dict[str, dict[str, float]]] = {}
    for (check, fault), group in sorted(groups.items()):
        if group.counts.sum() >= ROW_CASES:
            row = within(shrunk(group, amount), row_of(now, check, fault))
            learned.setdefault(check, {})[fault] = {r: round(p, DIGITS) for r, p in
                                                    zip(pack.checks[check].results, row.tolist(), strict=True)}
    return learned


def learn(pack: Pack, now: Pack, cases: Iterable[Case], *, with_shares: bool = True,
          with_rows: bool = True) -> LearnedFamily:
    """All that the cases say of a family. `pack` without, `now` with what is in force of earlier learning."""
    ordered = in_time(cases)
    book, current = book_of(pack), book_of(now)
    return LearnedFamily(
        shares=learn_shares(book, current, ordered) if with_shares else {},
        unknown=learn_unknown(book, current, ordered) if with_shares else None,
        rows=learn_rows(pack, now, ordered) if with_rows else {}, cases=len(ordered),
        until=ordered[-1].at if ordered else None)


def _by_fault(book: Book, values: Floats) -> dict[str, float]:
    rounded: Mapping[str, float] = dict(zip(book.faults, np.round(values, DIGITS + 2).tolist(), strict=True))
    return dict(rounded)
