"""Exact posterior over faults, machine kinds and `unknown`, and over pairs of faults where the evidence calls for them.

Evidence is weighed in stretches: what was seen before, between and after repairs. Within a stretch the order is
of no account. A repair that did not cure multiplies its own faults by the chance that the new part was wrong or
badly fitted, and turns a pair into the fault that is left.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from bot.diagnosis import misfit
from bot.diagnosis.compiled import Floats, Ints, Model
from bot.diagnosis.evidence import Belief, Evidence, Repaired, Seen
from bot.diagnosis.given import Given
from bot.diagnosis.readings import band_weights, factor
from bot.diagnosis.thresholds import FIRST_LOOK, PAIR, PAIR_SHOWN, PAIRS_CALLED
from knowledge.schema import Pack, Result


@dataclass(frozen=True, slots=True, eq=False)
class Pairs:
    """Pairs of faults present at once. Axis P."""

    first: Ints
    """[P] hypothesis of the one."""
    second: Ints
    """[P] hypothesis of the other, same kind of machine."""
    mass: Floats
    """[P] posterior."""


@dataclass(frozen=True, slots=True, eq=False)
class Posterior:
    """The belief as arrays, for the planner; sums to 1 with the pairs."""

    mass: Floats
    """[H] posterior of single hypotheses."""
    pairs: Pairs
    given: Given
    """The rows given the complaints known."""
    combinations: Floats
    """[V] posterior of the variant combinations."""
    surprise: float
    answers: int
    """How many since the last repair: what the surprise is about."""


def believe(model: Model, evidence: Evidence) -> Belief:
    """What to think of this machine. Raises KeyError naming an id that the pack does not have."""
    after = _weighed(model, evidence)
    return Belief(faults=_named(model, after), variants=_variants(model, after),
                  misfit=misfit.misfit(after.surprise, after.answers), surprise=after.surprise)


def posterior(model: Model, evidence: Evidence) -> Posterior:
    """The same as arrays, with the rows that the next check is to be expected by: a complaint that a result showed
    counts there like one told."""
    after = _weighed(model, evidence)
    seen = set(seen_complaints(model.pack, evidence))
    return replace(after, given=Given(model, evidence.complaints, evidence.denied, seen)) if seen else after


def _weighed(model: Model, evidence: Evidence) -> Posterior:
    """The belief, with the rows that it was weighed by."""
    weights = model.weights * _fitting(model, evidence.variant)
    prior = weights.sum(axis=1)
    prior = prior / prior.sum()
    told = complaint_factors(model, evidence)
    given = Given(model, evidence.complaints, evidence.denied)
    stretches = _stretches(model, evidence, given)
    failures = [np.where(model.repair_of == repair, 1 - model.works[repair], 1.0)
                for _, repair in stretches if repair is not None]
    single = weighed(prior, [*told, *(one for seen, _ in stretches for one in seen), *failures])
    latest = stretches[-1][0]
    before = weighed(prior, [*told, *(one for seen, _ in stretches[:-1] for one in seen), *failures])
    answers, surprise = len(latest), misfit.surprise(before, latest)
    pairs = _no_pairs()
    if failures or misfit.misfit(surprise, answers) > PAIRS_CALLED:
        single, pairs, surprise = _with_pairs(model, evidence, prior, single, before, stretches)
    total = single.sum() + pairs.mass.sum()
    single = single / total
    pairs = Pairs(pairs.first, pairs.second, pairs.mass / total)
    return Posterior(single, pairs, given, _combinations(weights, single, pairs), surprise, answers)


def seen_complaints(pack: Pack, evidence: Evidence) -> Iterator[str]:
    """Complaints that results count as."""
    return (complaint for result in _results_seen(pack, evidence.history) for complaint in result.complaints)


def lifted_complaints(pack: Pack, evidence: Evidence) -> Iterator[str]:
    """Complaints that bar no check any more: the door that would not open stands open."""
    return (complaint for result in _results_seen(pack, evidence.history) for complaint in result.lifts)


def moot_checks(pack: Pack, evidence: Evidence) -> Iterator[str]:
    """Checks that what was seen leaves no sense until something is mended: no key answers on a dead panel."""
    return (check for result in _results_seen(pack, evidence.latest) for check in result.moots)


def _results_seen(pack: Pack, facts: Iterable[Seen | Repaired]) -> Iterator[Result]:
    for fact in facts:
        if isinstance(fact, Seen) and fact.result is not None and fact.check in pack.checks:
            yield pack.checks[fact.check].results[fact.result]


def weighed(prior: Floats, factors: Sequence[Floats]) -> Floats:
    """[H] prior times all likelihoods, not normalised."""
    mass = prior.copy()
    for factor_of_one in factors:
        mass *= factor_of_one
    return mass


def complaint_factors(model: Model, evidence: Evidence) -> list[Floats]:
    """[H] likelihood of each complaint told, then of each denied. Told twice counts once; told beats denied."""
    there = sorted({_complaint(model, c) for c in evidence.complaints})
    absent = sorted({_complaint(model, c) for c in evidence.denied} - set(there))
    return [model.shows[:, c] for c in there] + [1 - model.shows[:, c] for c in absent]


def _complaint(model: Model, complaint: str) -> int:
    if complaint not in model.complaint_index:
        raise KeyError(f"no complaint '{complaint}' in {model.pack.family.id}")
    return model.complaint_index[complaint]


def repair_id(model: Model, repair: str) -> int:
    """Index of a repair by its id or by the id of a fault it cures. Raises KeyError for an unknown one."""
    if repair not in model.repair_index:
        raise KeyError(f"no repair or fault '{repair}' in {model.pack.family.id}")
    return model.repair_index[repair]


Stretch = tuple[list[Floats], int | None]
"""[H] factors of what was seen, in the order of check ids, and the repair that ended the stretch."""


def _stretches(model: Model, evidence: Evidence, given: Given) -> list[Stretch]:
    stretches: list[Stretch] = []
    seen: list[Seen] = []
    for fact in evidence.history:
        if isinstance(fact, Seen):
            seen.append(fact)
        else:
            stretches.append((_factors(model, evidence, seen, given), repair_id(model, fact.repair)))
            seen = []
    stretches.append((_factors(model, evidence, seen, given), None))
    return stretches


def _factors(model: Model, evidence: Evidence, seen: Sequence[Seen], given: Given) -> list[Floats]:
    """One factor a check, in the order of their ids: a check answered twice in one stretch is one fact, the geometric
    mean of its answers. A complaint that one check showed is expected of the next, as the plan expects it: two runs
    that show the same dead spin are not twice the news."""
    by_check: dict[str, list[Seen]] = {}
    for fact in seen:
        by_check.setdefault(fact.check, []).append(fact)
    values = {fact.check: fact.value for fact in sorted(seen, key=lambda f: (f.check, f.value or 0.0))
              if fact.value is not None and math.isfinite(fact.value)}
    factors = []
    shown: set[str] = set()
    for check in sorted(by_check):
        answers = by_check[check]
        known = given
        if shown & _may_show(model.pack, check) - set(evidence.complaints):
            known = Given(model, evidence.complaints, evidence.denied, shown)
        likelihoods = [_factor(model, evidence, fact, known, values) for fact in answers]
        shown |= {c for result in _results_seen(model.pack, answers) for c in result.complaints}
        if len(likelihoods) == 1:
            factors += likelihoods
            continue
        logs = [np.log(likelihood) for likelihood in likelihoods]
        logs.sort(key=lambda a: tuple(a.tolist()))
        factors.append(np.exp(np.mean(logs, axis=0)))
    return factors


def _may_show(pack: Pack, check: str) -> set[str]:
    """The complaints that a check's results count as."""
    entry = pack.checks.get(check)
    return set() if entry is None else {c for result in entry.results.values() for c in result.complaints}


def _factor(model: Model, evidence: Evidence, fact: Seen, given: Given, values: Mapping[str, float]) -> Floats:
    if fact.check not in model.check_index:
        raise KeyError(f"no check '{fact.check}' in {model.pack.family.id}")
    c = model.check_index[fact.check]
    check = model.pack.checks[fact.check]
    if fact.result is not None and fact.value is None and fact.low is None and fact.high is None:
        rows = given.row(c)
        row: Floats = rows[model.result_index(fact.check, fact.result)]
        if fact.first is not None:
            row = row ** (1 - FIRST_LOOK) * rows[model.result_index(fact.check, fact.first)] ** FIRST_LOOK
        return row
    if check.reading is None:
        raise KeyError(f"check '{fact.check}' takes one of {', '.join(check.results)}, not a number")
    other = values.get(check.reading.matches) if check.reading.matches else None
    return factor(given.row(c), band_weights(check, fact, evidence.given, other))


def _fitting(model: Model, variant: Mapping[str, str]) -> Floats:
    """[V] 1 for the combinations that agree with what was told on most axes, 0 for the rest."""
    if not variant:
        return np.ones(len(model.combinations))
    agree = np.array([sum(c.get(axis) == value for axis, value in variant.items()) for c in model.combinations])
    return np.asarray(agree == agree.max(), dtype=np.float64)


def _combinations(weights: Floats, single: Floats, pairs: Pairs) -> Floats:
    within = weights / np.maximum(weights.sum(axis=1, keepdims=True), 1e-300)
    mass: Floats = single @ within
    if len(pairs.mass):
        mass = mass + pairs.mass @ within[pairs.first]
    total: Floats = mass / mass.sum()
    return total


def _no_pairs() -> Pairs:
    nothing = np.zeros(0, dtype=np.int64)
    return Pairs(nothing, nothing, np.zeros(0))


def _with_pairs(model: Model, evidence: Evidence, prior: Floats, single: Floats, before: Floats,
                stretches: Sequence[Stretch]) -> tuple[Floats, Pairs, float]:
    """Adds pairs: states (both, only the first left, only the second left), carried forward through the stretches.
    Last comes the surprise of the last stretch, after the singles `before` it, with pairs reckoned in.

    Both present: a complaint shows unless neither causes it; a check shows the row of the fault that departs more
    from a normal machine, mixed by how far each departs (total variation).
    """
    first, second = _possible_pairs(model, prior)
    kind_mass = np.bincount(model.kind_of, weights=prior)
    both = PAIR * prior[first] * prior[second] / kind_mass[model.kind_of[first]]
    for c in {_complaint(model, c) for c in evidence.complaints}:
        both = both * (1 - (1 - model.shows[first, c]) * (1 - model.shows[second, c]))
    for c in {_complaint(model, c) for c in evidence.denied} - {_complaint(model, c) for c in evidence.complaints}:
        both = both * (1 - model.shows[first, c]) * (1 - model.shows[second, c])
    only_first, only_second = np.zeros_like(both), np.zeros_like(both)
    checks = _checks_by_stretch(evidence)
    apart = 0.0
    for (seen, repair), ids in zip(stretches, checks, strict=True):
        joint = [_joint(model, check, one, first, second) for one, check in zip(seen, ids, strict=True)]
        if repair is None:
            start = float(before.sum() + both.sum() + only_first.sum() + only_second.sum())
            apart = sum(math.log(float(before @ one + both @ two + only_first @ one[first] + only_second @ one[second])
                                 / start) for one, two in zip(seen, joint, strict=True))
        for likelihood, two in zip(seen, joint, strict=True):
            both = both * two
            only_first, only_second = only_first * likelihood[first], only_second * likelihood[second]
        if repair is not None:
            works = model.works[repair]
            cures_first, cures_second = model.repair_of[first] == repair, model.repair_of[second] == repair
            only_second = np.where(cures_second, only_second * (1 - works), only_second)
            only_first = np.where(cures_first, only_first * (1 - works), only_first)
            only_second = only_second + np.where(cures_first & ~cures_second, both * works, 0.0)
            only_first = only_first + np.where(cures_second & ~cures_first, both * works, 0.0)
            both = np.where(cures_first | cures_second, both * (1 - works), both)
    single = single + np.bincount(first, weights=only_first, minlength=len(single))
    single = single + np.bincount(second, weights=only_second, minlength=len(single))
    end = float(single.sum() + both.sum())
    keep = both >= PAIR_SHOWN * end
    return single, Pairs(first[keep], second[keep], both[keep]), apart - math.log(end / start)


def _checks_by_stretch(evidence: Evidence) -> list[list[str]]:
    lists: list[set[str]] = [set()]
    for fact in evidence.history:
        if isinstance(fact, Repaired):
            lists.append(set())
        else:
            lists[-1].add(fact.check)
    return [sorted(ids) for ids in lists]


def _possible_pairs(model: Model, prior: Floats) -> tuple[Ints, Ints]:
    known = (model.fault_of < len(model.faults)) & (prior > 0)
    usage = np.array([fault == "usage.normal" for fault in model.faults] + [False])
    known &= ~usage[model.fault_of]
    firsts, seconds = [], []
    for kind in np.unique(model.kind_of[known]):
        here = np.flatnonzero(known & (model.kind_of == kind))
        i, j = np.triu_indices(len(here), 1)
        firsts.append(here[i])
        seconds.append(here[j])
    if not firsts:
        nothing = np.zeros(0, dtype=np.int64)
        return nothing, nothing
    return np.concatenate(firsts), np.concatenate(seconds)


def _joint(model: Model, check: str, likelihood: Floats, first: Ints, second: Ints) -> Floats:
    away = departure(model, model.check_index[check])
    total = away[first] + away[second]
    share = np.where(total > 1e-12, away[first] / np.maximum(total, 1e-12), 0.5)
    joint: Floats = share * likelihood[first] + (1 - share) * likelihood[second]
    return joint


def departure(model: Model, check: int) -> Floats:
    """[H] how far a check's row departs from that of a normal machine: total variation, 0..1."""
    away: Floats = 0.5 * np.abs(model.rows[check] - model.normal[check][:, model.kind_of]).sum(axis=0)
    return away


def _named(model: Model, after: Posterior) -> tuple[tuple[str, float], ...]:
    by_fault = np.bincount(model.fault_of, weights=after.mass, minlength=len(model.faults) + 1)
    named = {model.name(f): float(p) for f, p in enumerate(by_fault)}
    for i, j, p in zip(after.pairs.first, after.pairs.second, after.pairs.mass, strict=True):
        pair = "+".join((model.name(model.fault_of[i]), model.name(model.fault_of[j])))
        named[pair] = named.get(pair, 0.0) + float(p)
    return tuple(sorted(((k, p) for k, p in named.items() if p > 0), key=lambda kp: (-kp[1], kp[0])))


def _variants(model: Model, after: Posterior) -> dict[str, dict[str, float]]:
    variants: dict[str, dict[str, float]] = {}
    for axis, variant in model.pack.family.variants.items():
        shares = dict.fromkeys(variant.values, 0.0)
        for combination, p in zip(model.combinations, after.combinations, strict=True):
            shares[combination[axis]] += float(p)
        variants[axis] = shares
    return variants
