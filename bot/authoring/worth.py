"""What each check is worth: bits it tells of the right repair in the complaints' contexts, alone and beside another."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from bot.authoring.remarks import Remark
from bot.diagnosis.compiled import Floats, Model
from bot.diagnosis.given import rows_given

SETTLES: Final = 0.05
"""Bits about the repair below which a check settles nothing, in the context where it tells most. Judgement."""
SPEAKS: Final = (0.3, 5.0)
"""A result that a fault gives so often, and so many times likelier than other machines with its complaint, settles
something even if the fault is rare. Judgement."""
ADDS: Final = 0.2
"""Share of its bits that a check must still tell after a cheaper one, or it is that one over again. Judgement."""


@dataclass(frozen=True, slots=True)
class Worth:
    """One check: its best context, the bits it tells there, and the cheaper check that tells most of them."""

    check: str
    complaint: str
    bits: float
    instead: str | None
    left: float
    """Share of the bits that it still tells after `instead`."""
    speaks: bool
    """Whether some result speaks clearly for some fault."""


def worths(model: Model) -> Iterator[Worth]:
    """Every check, in the order of the pack."""
    prior = model.weights.sum(axis=1)
    contexts = [(rows_given(model, [complaint]), prior * model.shows[:, c])
                for c, complaint in enumerate(model.complaints)]
    told = np.array([_bits(model, rows, mass) for rows, mass in contexts])
    for number, check in enumerate(model.pack.checks.values()):
        for complaint in check.unless:
            told[model.complaint_index[complaint], number] = 0.0
    costs = _costs(model)
    for number, key in enumerate(model.checks):
        best = int(np.argmax(told[:, number]))
        bits = float(told[best, number])
        instead, left = None, 1.0
        if bits >= SETTLES:
            others = np.arange(len(costs)) != number
            cheaper = np.flatnonzero((costs <= costs[number]) & (told[best] >= bits) & others)
            rows, mass = contexts[best]
            shares = {int(other): _after(model, rows, mass, int(other), number) / bits for other in cheaper}
            if shares:
                first = min(shares, key=lambda other: shares[other])
                instead, left = model.checks[first], shares[first]
        yield Worth(key, model.complaints[best], bits, instead, left, _speaks(model, contexts, number))


def idle_and_double(model: Model) -> Iterator[Remark]:
    """Checks that settle nothing, and checks that a cheaper one replaces."""
    family = model.pack.family.id
    for worth in worths(model):
        place = ("checks", worth.check)
        if worth.bits < SETTLES and not worth.speaks:
            identifies = model.pack.checks[worth.check].tells_kind
            yield Remark(family, place, "idle",
                         f"settles nothing: {worth.bits:.3f} bits at best (with '{worth.complaint}')",
                         "it only tells a variant: let another check identify it, or take it out" if identifies else
                         "give it rows for the faults that it shows, or take it out")
        elif worth.instead is not None and worth.left < ADDS:
            yield Remark(family, place, "double",
                         f"'{worth.instead}' costs no more and leaves it {worth.left:.0%} of what it tells"
                         f" (with '{worth.complaint}')",
                         "merge the two, or let this one look at something else", (("checks", worth.instead),))


def _speaks(model: Model, contexts: Sequence[tuple[Floats, Floats]], check: int) -> bool:
    """In the context of a fault's likeliest complaint, some result is frequent with it and rare otherwise."""
    often, times = SPEAKS
    for fault in range(len(model.faults)):
        mine = np.flatnonzero((model.fault_of == fault) & model.applies[check])
        if not len(mine):
            continue
        rows, mass = contexts[int(np.argmax(model.shows[mine[0]]))]
        rest = mass * model.applies[check] * (model.fault_of != fault)
        usual = rows[check] @ (rest / max(float(rest.sum()), 1e-300))
        own = rows[check][:, mine[0]]
        if ((own >= often) & (own >= times * usual)).any():
            return True
    return False


def _costs(model: Model) -> Floats:
    """Minutes and risk of each check with the covers that it opens."""
    covers = model.pack.covers
    costs = []
    for check in model.pack.checks.values():
        needed, todo = set[str](), list(check.access)
        while todo:
            name = todo.pop()
            if name not in needed:
                needed.add(name)
                todo += covers[name].behind
        costs.append(check.minutes + check.risk + sum(covers[c].open_minutes + covers[c].close_minutes for c in needed))
    return np.array(costs)


def _grouped(model: Model, joint: Floats) -> Floats:
    """[..., H] to [..., repairs + 1]: hypotheses that one repair cures are one."""
    group = np.where(model.repair_of < 0, len(model.repairs), model.repair_of)
    onto = np.zeros((len(group), len(model.repairs) + 1))
    onto[np.arange(len(group)), group] = 1.0
    made: Floats = joint @ onto
    return made


def _bits(model: Model, rows: Floats, mass: Floats) -> Floats:
    """[C] mutual information of result and repair, where the check exists at all."""
    told = []
    for c in range(len(model.checks)):
        here = model.applies[c]
        share = mass * here
        told.append(_mutual(_grouped(model, rows[c] * share)) if share.sum() > 0 else 0.0)
    return np.array(told)


def _after(model: Model, rows: Floats, mass: Floats, first: int, second: int) -> float:
    """Bits that `second` tells of the repair once `first` is known."""
    share = mass * model.applies[second] * model.applies[first]
    total = float(share.sum())
    if total < 0.5 * float((mass * model.applies[second]).sum()):
        return float("inf")  # the first does not exist on most machines that have the second
    left = 0.0
    for one in rows[first]:
        inside = share * one
        chance = float(inside.sum())
        if chance > 1e-9 * total:
            left += chance / total * _mutual(_grouped(model, rows[second] * inside))
    return left


def _mutual(joint: Floats) -> float:
    """Mutual information in bits of a joint distribution [results, groups], of any scale."""
    joint = joint / joint.sum()
    independent = joint.sum(axis=1, keepdims=True) * joint.sum(axis=0, keepdims=True)
    there = joint > 0
    return float((joint[there] * np.log2(joint[there] / independent[there])).sum())


