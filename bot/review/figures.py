"""The figures of a period: each is a share, a median or a count, with the visits that it was made of."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from math import log2
from statistics import fmean
from typing import Final

from bot.review.intervals import Middle, Share
from bot.review.naming import Names
from bot.store.review import ReviewStore
from bot.store.review_rows import VisitRow
from bot.store.visits import Belief

BINS: Final = 5
MOST_TRACED: Final = 2000
"""Visits whose traces are read for what checks settle: the newest of the period."""


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure. `hits` are the visits that count, `all` those that could have."""

    key: str
    share: Share
    hits: tuple[str, ...]
    all: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Bin:
    """Findings that were said with about the same sureness: mean p, and how many came true."""

    p: float
    share: Share
    jobs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Cell:
    """How often a finding was met by a proved fault."""

    family: str | None
    finding: str
    proved: str
    jobs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Settles:
    """What answers to a check did to the doubt: mean fall in bits over the leading faults of the trace."""

    family: str | None
    check: str
    count: int
    bits: float
    jobs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Figures:
    """All figures of a period."""

    visits: tuple[VisitRow, ...]
    shares: tuple[Figure, ...]
    minutes: Middle
    reasons: tuple[tuple[str, tuple[str, ...]], ...]
    parts: tuple[tuple[str, tuple[str, ...]], ...]
    met: tuple[Cell, ...]
    reliability: tuple[Bin, ...]
    settles: tuple[Settles, ...]
    by_family: tuple[tuple[str | None, tuple[Figure, ...]], ...]
    by_tech: tuple[tuple[str, tuple[Figure, ...]], ...]


_Test = Callable[[VisitRow], bool]


def _truth(visit: VisitRow) -> str | None:
    """The fault that was proved, or that a senior named."""
    return visit.proved or visit.verdict


def _settled(visit: VisitRow) -> bool:
    return visit.finding is not None and (_truth(visit) is not None or visit.failed > 0)


def _right(visit: VisitRow) -> bool:
    return visit.failed == 0 and not visit.wrong and visit.finding == _truth(visit)


SHARES: Final[Mapping[str, tuple[str, _Test, _Test]]] = {
    "first_visit": ("Fixed on the first visit", lambda v: v.ended is not None,
                    lambda v: v.outcome == "fixed" and not v.ordered and not v.came_back),
    "came_back": ("Came back within 30 days", lambda v: v.outcome == "fixed", lambda v: v.came_back),
    "handed_off": ("Handed to a senior", lambda v: True, lambda v: v.offered is not None),
    "right": ("First finding right, where it is known", _settled, _right),
    "wrong_part": ("A repair did not cure it", lambda v: v.proved is not None or v.failed > 0, lambda v: v.failed > 0),
    "not_followed": ("A message was not followed", lambda v: True, lambda v: v.misses > 0),
}
"""Key -> what it says, which visits could count, which do."""


def figures(store: ReviewStore, names: Names, since: datetime | None, until: datetime | None, *,
            family: str | None = None, tech: str | None = None) -> Figures:
    """The figures of visits opened in that time, of one family or tech if any is named."""
    visits = tuple(v for v in store.visit_rows(since, until)
                   if (family is None or v.family == family) and (tech is None or v.tech == tech))
    minutes = tuple((v.found - v.opened).total_seconds() / 60 for v in visits if v.found is not None)
    return Figures(
        visits, shares_of(visits), Middle(minutes), _grouped(visits, lambda v: v.offered), _parts(visits, names),
        _met(visits), reliability(visits), settles(store, visits[-MOST_TRACED:]), _by(visits, lambda v: v.family),
        tuple((key, found) for key, found in _by(visits, lambda v: v.tech) if key is not None))


def shares_of(visits: Sequence[VisitRow]) -> tuple[Figure, ...]:
    """The shares over these visits."""
    found = []
    for key, (_, could, does) in SHARES.items():
        those = [v for v in visits if could(v)]
        hits = tuple(v.job for v in those if does(v))
        found.append(Figure(key, Share(len(hits), len(those)), hits, tuple(v.job for v in those)))
    return tuple(found)


def reliability(visits: Iterable[VisitRow], bins: int = BINS) -> tuple[Bin, ...]:
    """Sureness of the finding against how often it came true, in bins of equal width; empty ones are left out."""
    known = [v for v in visits if _settled(v) and v.finding_p is not None]
    found = []
    for number in range(bins):
        low, high = number / bins, (number + 1) / bins
        part = [v for v in known if low <= (v.finding_p or 0) < high or (number == bins - 1 and v.finding_p == 1)]
        if part:
            share = Share(sum(_right(v) for v in part), len(part))
            found.append(Bin(fmean(v.finding_p or 0 for v in part), share, tuple(v.job for v in part)))
    return tuple(found)


def settles(store: ReviewStore, visits: Sequence[VisitRow]) -> tuple[Settles, ...]:
    """What each check's answers did to the doubt, most first. Turns that answered several checks share it evenly."""
    families = {v.job: v.family for v in visits}
    falls: dict[tuple[str | None, str], list[tuple[float, str]]] = defaultdict(list)
    beliefs = store.beliefs(list(families))
    answered = {job: _answers(store, job) for job in {b.job for b in beliefs}}
    before: Belief | None = None
    for belief in beliefs:
        if before is not None and before.job == belief.job:
            checks = answered[belief.job].get(belief.turn, ())
            fall = (doubt(before.faults) - doubt(belief.faults)) / len(checks) if checks else 0.0
            for check in checks:
                falls[families[belief.job], check].append((fall, belief.job))
        before = belief
    found = [Settles(family, check, len(each), fmean(f for f, _ in each), tuple(dict.fromkeys(j for _, j in each)))
             for (family, check), each in falls.items()]
    return tuple(sorted(found, key=lambda s: -s.bits))


def doubt(faults: Sequence[tuple[str, float]]) -> float:
    """Entropy in bits of the listed chances, with all that is not listed taken as one more."""
    chances = [p for _, p in faults if p > 0]
    rest = 1 - sum(chances)
    return -sum(p * log2(p) for p in [*chances, rest] if p > 1e-9)


def _answers(store: ReviewStore, job: str) -> dict[str, tuple[str, ...]]:
    """Turn -> checks whose results it told."""
    stored = store.job(job)
    found: dict[str, tuple[str, ...]] = {}
    if stored is not None and stored.job is not None:
        for fact in stored.job.facts:
            if fact.kind == "result":
                found[fact.turn] = (*found.get(fact.turn, ()), fact.subject)
    return found


def _grouped(visits: Iterable[VisitRow], key: Callable[[VisitRow], str | None]
             ) -> tuple[tuple[str, tuple[str, ...]], ...]:
    found: dict[str, list[str]] = defaultdict(list)
    for visit in visits:
        if (value := key(visit)) is not None:
            found[value].append(visit.job)
    return tuple(sorted(((k, tuple(jobs)) for k, jobs in found.items()), key=lambda each: -len(each[1])))


def _parts(visits: Iterable[VisitRow], names: Names) -> tuple[tuple[str, tuple[str, ...]], ...]:
    found: dict[str, list[str]] = defaultdict(list)
    for visit in visits:
        for part in names.parts(visit.family, visit.repair) if visit.proved is not None else ():
            found[part].append(visit.job)
    used = [(part, tuple(jobs)) for part, jobs in found.items()]
    return tuple(sorted(used, key=lambda each: (-len(each[1]), each[0])))


def _met(visits: Iterable[VisitRow]) -> tuple[Cell, ...]:
    counts: Counter[tuple[str | None, str, str]] = Counter()
    jobs: dict[tuple[str | None, str, str], list[str]] = defaultdict(list)
    for visit in visits:
        truth = _truth(visit)
        if visit.finding is not None and truth is not None:
            key = (visit.family, visit.finding, truth)
            counts[key] += 1
            jobs[key].append(visit.job)
    return tuple(Cell(*key, tuple(jobs[key])) for key, _ in
                 sorted(counts.items(), key=lambda each: (each[0][1] == each[0][2], -each[1])))


def _by(visits: Sequence[VisitRow], key: Callable[[VisitRow], str | None]
        ) -> tuple[tuple[str | None, tuple[Figure, ...]], ...]:
    groups: dict[str | None, list[VisitRow]] = defaultdict(list)
    for visit in visits:
        groups[key(visit)].append(visit)
    return tuple((value, shares_of(those)) for value, those in sorted(groups.items(), key=lambda each: -len(each[1])))
