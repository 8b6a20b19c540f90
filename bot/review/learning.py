"""What a firm's confirmed visits say otherwise than the packs: shown to the owner, applied, and undone.

The owner applies it: shares and rows move what techs are told to do, so that nobody should find them moved one
morning without having been asked. What stands behind a number (how many visits, how much better it foretells) is
shown with it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from typing import Final, Literal

import numpy as np

from bot.conversation.effects import Audit
from bot.conversation.facts import evidence_of
from bot.diagnosis.compiled import Model, compile_pack
from bot.diagnosis.evidence import UNKNOWN
from bot.followup.alike import Finding, Proposed, in_the_book, proposed
from bot.followup.cases import Case, case_of
from bot.followup.counting import fading
from bot.followup.gate import Score, score_rows, score_shares
from bot.followup.labels import Ended, Kept, label
from bot.followup.learning import book_of, counted, learn
from bot.store.errors import RefusedError
from bot.store.review import ReviewStore
from bot.store.review_rows import EndedVisit, LearnedRow
from knowledge.learned import Learned, LearnedFamily, lay_over
from knowledge.schema import Knowledge, Pack

FRESH: Final = 20
"""Confirmed visits that a family must have had since what is in force, before more is offered: the cap holds for each
release, so that releases must not follow upon each other at will."""
Gate = Literal["nothing", "few", "no_better", "not_yet", "open"]


@dataclass(frozen=True, slots=True)
class ShareLine:
    """One fault: its share in the pack, in force, as learned, and how many of the firm's visits speak of it.

    `cases` counts each visit as much as it counts today.
    """

    fault: str
    pack: float
    now: float
    learned: float
    cases: float


@dataclass(frozen=True, slots=True)
class FamilyLearning:
    """What was learned of one family. `gate` says what would go live: shares, rows, or neither."""

    family: str
    visits: int
    full: int
    """Those that are confirmed in full."""
    lines: tuple[ShareLine, ...]
    shares: Score
    rows: Score
    moved_rows: int
    """Rows of checks that enough visits speak of."""
    fresh: int
    gate: Gate
    offer: LearnedFamily | None


@dataclass(frozen=True, slots=True)
class Learning:
    """All that is shown. `key` stands for what would be applied: who applies it says what they saw."""

    families: tuple[FamilyLearning, ...]
    proposed: Mapping[str, tuple[Proposed, ...]]
    in_force: LearnedRow | None
    former: LearnedRow | None
    """What an undo returns to; None for the packs."""
    offer: Learned | None
    key: str


def learning(store: ReviewStore, known: Knowledge, now: datetime) -> Learning:
    """What the log says beside the packs `known` (without anything learned)."""
    standing = [row for row in store.learned() if row.undone is None]
    in_force, former = (*standing[:2], None, None)[:2]
    base = read(in_force)
    laid = lay_over(known, base)
    families, words = [], {}
    for name, pack in known.packs.items():
        visits = store.ended(name)
        if visits:
            families.append(_family(name, pack, laid.packs[name], base.families.get(name), visits, now))
            if found := proposed(_findings(visits, pack)):
                words[name] = found
    offered = {each.family: each.offer for each in families if each.offer is not None}
    offer = Learned(families={**base.families, **offered}) if offered else None
    return Learning(tuple(families), words, in_force, former, offer, key_of(offer))


def read(row: LearnedRow | None) -> Learned:
    """What was applied; nothing, where this version of the program cannot read it."""
    if row is None:
        return Learned()
    try:
        return Learned.model_validate_json(row.data)
    except ValueError:
        return Learned()


def key_of(offer: Learned | None) -> str:
    """A short hash of what would be applied; empty for nothing."""
    return sha256(offer.model_dump_json().encode()).hexdigest()[:16] if offer is not None else ""


def apply(store: ReviewStore, known: Knowledge, person: str | None, now: datetime, *, seen: str | None = None) -> int:
    """Put what was learned in force for new visits; its number. `seen`: the key of what the owner was shown.

    Raises RefusedError if the gate is shut, or if something else would be applied by now.
    """
    found = learning(store, known, now)
    if found.offer is None:
        raise RefusedError("nothing learned may go live yet")
    if seen is not None and seen != found.key:
        raise RefusedError("more was confirmed meanwhile: look at it again")
    families = {each.family: each.offer.cases for each in found.families if each.offer is not None}
    done = Audit(what="learning_applied", data={"visits": families, "learned": found.key})
    return store.keep_learned(found.offer.model_dump_json(), done, person, now)


def undo(store: ReviewStore, number: int, person: str | None, now: datetime) -> None:
    """Return to what was in force before. Raises RefusedError if another is in force by now."""
    if not store.undo_learned(number, Audit(what="learning_undone", data={"number": number}), person, now):
        raise RefusedError("that is no longer in force")


def cases_of(visits: tuple[EndedVisit, ...], family: str, model: Model, now: datetime) -> tuple[Case, ...]:
    """The confirmed ones among the visits, as learning needs them."""
    cases = []
    for visit in visits:
        told = label(_ended(visit, family), now)
        if told is not None and told.fault == UNKNOWN and not _findings((visit,), model.pack):
            continue
        case = case_of(visit.job, visit.ended, told, evidence_of(visit.state), model) if told is not None else None
        if case is not None:
            cases.append(case)
    return tuple(cases)


def _ended(visit: EndedVisit, family: str) -> Ended:
    return Ended(family, visit.ended, visit.outcome, tuple(Kept(r.what, r.data) for r in visit.records), visit.placed,
                 visit.came_back, visit.same, visit.marked_wrong)


def _family(name: str, pack: Pack, laid: Pack, base: LearnedFamily | None, visits: tuple[EndedVisit, ...],
            now: datetime) -> FamilyLearning:
    cases = cases_of(visits, name, compile_pack(pack), now)
    shares, rows = score_shares(pack, cases), score_rows(pack, cases)
    fresh = sum(base is None or base.until is None or case.at > base.until for case in cases)
    all_of_it = learn(pack, laid, cases)
    gate = _gate(cases, shares, rows, fresh, base)
    offer = None
    if gate == "open":
        kept = base or LearnedFamily()
        offer = all_of_it.model_copy(update={
            **({} if shares.open else {"shares": kept.shares, "unknown": kept.unknown}),
            "rows": _rows(kept, all_of_it) if rows.open else kept.rows})
    full = sum(case.weight == 1 for case in cases)
    return FamilyLearning(name, len(cases), full, _lines(pack, laid, all_of_it, cases), shares, rows,
                          sum(map(len, all_of_it.rows.values())), fresh, gate, offer)


def _gate(cases: tuple[Case, ...], shares: Score, rows: Score, fresh: int, base: LearnedFamily | None) -> Gate:
    if not cases:
        return "nothing"
    if not shares.enough:
        return "few"
    if not (shares.open or rows.open):
        return "no_better"
    return "not_yet" if base is not None and fresh < FRESH else "open"


def _rows(kept: LearnedFamily, new: LearnedFamily) -> dict[str, dict[str, dict[str, float]]]:
    """The new rows, and those in force that too few visits speak of by now."""
    return {check: {**kept.rows.get(check, {}), **new.rows.get(check, {})} for check in {**kept.rows, **new.rows}}


def _lines(pack: Pack, laid: Pack, learned: LearnedFamily, cases: tuple[Case, ...]) -> tuple[ShareLine, ...]:
    """The faults that any visit speaks of, and those that move; most cases first."""
    book, current = book_of(pack), book_of(laid)
    ordered = sorted(cases, key=lambda case: (case.at, case.job))
    counts = counted(book, ordered, fading(ordered))
    wanted = np.array([learned.shares.get(fault, 0.0) for fault in book.faults])
    lines = [ShareLine(fault, *numbers) for fault, *numbers in zip(
        book.faults, book.share.tolist(), current.share.tolist(), wanted.tolist(), counts.tolist(), strict=True)]
    return tuple(sorted(lines, key=lambda line: (-line.cases, -line.learned, line.fault)))


def _findings(visits: tuple[EndedVisit, ...], pack: Pack) -> list[Finding]:
    """What seniors said where no fault of the book was named or proved, nor meant by the words."""
    found = []
    for visit in visits:
        settled = any(record.data.get("fault") for record in visit.records
                      if record.what == "verdict" or record.data.get("held") is True)
        if not settled:
            found += [Finding(visit.job, str(record.data["words"])) for record in visit.records
                      if record.what == "verdict" and record.data.get("words")
                      and not in_the_book(str(record.data["words"]), pack)]
    return found
