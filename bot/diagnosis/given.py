"""What checks are expected to show once complaints are known: told, denied, or seen by another check."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np
from numpy.typing import NDArray

from bot.diagnosis.compiled import Floats, Model
from bot.diagnosis.thresholds import MISTAKEN, SEEN_ELSEWHERE
from knowledge.schema import Check, Pack


def absent_complaints(pack: Pack, complaints: Iterable[str], denied: Iterable[str]) -> set[str]:
    """What is not there: denied, or told to be fine by the way. A dryer of which heat is missed does start, unless it
    is told not to."""
    told, fine = set(complaints), set(denied)
    with_it = [pack.complaints[c].without for c in told & set(pack.complaints)]
    fine |= {other for others in with_it if not told & set(others) for other in others}
    fine |= {other for c in fine & set(pack.complaints) for other in pack.complaints[c].works_without}
    return fine - told


class Given:
    """The rows of a model once complaints are known: those that were told, denied, or `seen` by a check. Worked out
    check by check as they are asked for: a belief needs those of the checks that were answered.

    Where a result *is* a complaint already told (watching the run shows the same dead spin), seeing it again is
    hardly news: among machines with that complaint the results that carry it share nearly all of the chance. Of a
    fault that does not show the complaint it is some news: there it may have been told by mistake. In the same way a
    result that carries nothing but what is not there is left with a small part of its chance.
    """

    def __init__(self, model: Model, complaints: Iterable[str], denied: Iterable[str] = (),
                 seen: Iterable[str] = ()) -> None:
        index = model.complaint_index
        self._model, self._shown = model, frozenset(seen)
        self._told = self._shown.union(complaints)
        self._absent = absent_complaints(model.pack, self._told, denied)
        self._true: Mapping[str, Floats] = {
            c: np.maximum(0.0, 1 - MISTAKEN * model.mistold[index[c]] / model.shows[:, index[c]])
            for c in sorted(self._told - self._shown) if c in index}

    def row(self, c: int) -> Floats:
        """[O, H] of one check, by its index."""
        rows, check = self._model.rows[c], self._model.pack.checks[self._model.checks[c]]
        likely = self._likely(check)
        return rows if likely is None else self._expected(rows, check, likely)

    def rows(self) -> Floats:
        """[C, O, H] of all checks."""
        rows = self._model.rows
        for c, check in enumerate(self._model.pack.checks.values()):
            likely = self._likely(check)
            if likely is not None:
                rows = rows.copy() if rows is self._model.rows else rows
                rows[c] = self._expected(self._model.rows[c], check, likely)
        return rows

    def _likely(self, check: Check) -> NDArray[np.bool_] | None:
        """[results] the ones that what is known makes likely; None where it says nothing of them."""
        if not any(result.complaints for result in check.results.values()):
            return None
        carried = [set(result.complaints) for result in check.results.values()]
        carries = np.array([bool(self._told & those) for those in carried])
        gainsaid = np.array([bool(those) and those <= self._absent for those in carried])
        likely = carries if carries.any() else ~gainsaid
        return None if likely.all() or not likely.any() else likely

    def _expected(self, rows: Floats, check: Check, likely: NDArray[np.bool_]) -> Floats:
        """[O, H] with the chance of the other results given to the likely ones."""
        carried = {c for result in check.results.values() for c in result.complaints}
        doubted = [true for c, true in self._true.items() if c in carried]
        weight = (1 - SEEN_ELSEWHERE) * (np.maximum.reduce(doubted) if doubted and not self._shown & carried else 1.0)
        block = rows[:len(likely)]
        total = block.sum(axis=0)
        expected = block * likely[:, None]
        made = rows.copy()
        made[:len(likely)] = weight * expected / expected.sum(axis=0) * total + (1 - weight) * block
        return made


def rows_given(model: Model, complaints: Iterable[str], denied: Iterable[str] = (),
               seen: Iterable[str] = ()) -> Floats:
    """[C, O, H] the rows once complaints are known (`Given`)."""
    return Given(model, complaints, denied, seen).rows()
