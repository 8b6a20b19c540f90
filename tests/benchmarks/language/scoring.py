"""How an answer to a labelled message is judged; see tests/language/labelled/README.md for the rules."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

Row = dict[str, Any]


@dataclass(frozen=True)
class Said:
    """What a method answered: complaints best first with probabilities, what it denies, and the rest if it tells."""

    complaints: tuple[tuple[str, float], ...] = ()
    denied: tuple[str, ...] = ()
    family: str | None = None
    hazard: str | None = None
    handoff: str | None = None
    variant: dict[str, str] = field(default_factory=dict)
    weighed: tuple[tuple[str, float], ...] = ()
    """All complaints that were weighed, for calibration."""


@dataclass
class Tally:
    """Counts over many messages."""

    rows: int = 0
    reported: int = 0
    first: int = 0
    first_strict: int = 0
    all_right: int = 0
    hits: list[int] = field(default_factory=lambda: [0, 0, 0])
    denied_hits: list[int] = field(default_factory=lambda: [0, 0, 0])
    denied_right: int = 0
    family: int = 0
    hazard: int = 0
    handoff: int = 0
    variant: int = 0
    aside: int = 0
    false_accepts: int = 0
    pairs: list[tuple[float, bool]] = field(default_factory=list)

    def add(self, row: Row, said: Said) -> None:
        """Judge one message."""
        expect, also = row["expect"], row.get("also_ok", {})
        wanted, forgiven = set(expect["complaints"]), set(also.get("complaints", ()))
        got = [c for c, _ in said.complaints]
        self.rows += 1
        if expect["complaints"]:
            self.reported += 1
            self.first += bool(got) and got[0] in wanted | forgiven
            self.first_strict += got[:1] == expect["complaints"][:1]
        extra, missing = set(got) - wanted - forgiven, wanted - set(got)
        self.all_right += not extra and not missing
        _count(self.hits, wanted & set(got), extra, missing)
        away, left = set(expect["denied"]), set(also.get("denied", ()))
        extra_denied, missing_denied = set(said.denied) - away - left, away - set(said.denied)
        self.denied_right += not extra_denied and not missing_denied
        _count(self.denied_hits, away & set(said.denied), extra_denied, missing_denied)
        for name in ("family", "hazard"):
            right = [expect[name], *(None if x in (None, "null") else x for x in also.get(name, ()))]
            setattr(self, name, getattr(self, name) + (getattr(said, name) in right))
        self.handoff += said.handoff in [expect["handoff_only"], *also.get("handoff_only", ())]
        self.variant += _variant_right(expect["variant"], also.get("variant", {}), said.variant)
        if expect["out_of_scope"] or expect["handoff_only"]:
            self.aside += 1
            self.false_accepts += bool(set(got) - forgiven)
        self.pairs += [(p, c in wanted) for c, p in said.weighed or said.complaints if c in wanted or c not in forgiven]

    def figures(self) -> dict[str, float]:
        """The figures that the benchmark reports, shares of 1."""
        return {
            "first complaint": self.first / max(1, self.reported),
            "all complaints": self.all_right / self.rows,
            "set F1": _f1(self.hits), "denied right": self.denied_right / self.rows, "denied F1": _f1(self.denied_hits),
            "family": self.family / self.rows, "hazard": self.hazard / self.rows,
            "handed on": self.handoff / self.rows, "variant": self.variant / self.rows,
            "false accepts": self.false_accepts / max(1, self.aside),
            "Brier": sum((p - hit) ** 2 for p, hit in self.pairs) / max(1, len(self.pairs)),
            "calibration error": calibration_error(self.pairs)}


def _count(hits: list[int], right: set[str], extra: set[str], missing: set[str]) -> None:
    hits[0] += len(right)
    hits[1] += len(extra)
    hits[2] += len(missing)


def _f1(hits: Sequence[int]) -> float:
    return 2 * hits[0] / max(1, 2 * hits[0] + hits[1] + hits[2])


def _variant_right(wanted: dict[str, str], implied: dict[str, list[str]], said: dict[str, str]) -> bool:
    return all(said.get(a) == v for a, v in wanted.items()) and all(
        a in wanted or v in implied.get(a, ()) for a, v in said.items())


def calibration_error(pairs: Sequence[tuple[float, bool]], bins: int = 15) -> float:
    """Expected calibration error over bins of equal mass (Naeini et al. 2015, with equal-mass bins)."""
    return sum(len(b) / len(pairs) * abs(_mean(p for p, _ in b) - _mean(float(h) for _, h in b))
               for b in equal_bins(pairs, bins)) if pairs else 0.0


def equal_bins(pairs: Sequence[tuple[float, bool]], bins: int) -> list[list[tuple[float, bool]]]:
    """The pairs, sorted by probability, in bins of equal size."""
    ordered = sorted(pairs, key=lambda pair: pair[0])
    size = math.ceil(len(ordered) / bins) if ordered else 1
    return [list(ordered[i:i + size]) for i in range(0, len(ordered), size)]


def _mean(values: Iterable[float]) -> float:
    found = list(values)
    return sum(found) / len(found)


def judge(rows: Iterable[Row], method: Callable[[Row], Said]) -> Tally:
    """All rows through one method."""
    tally = Tally()
    for row in rows:
        tally.add(row, method(row))
    return tally


def close(one: object, two: object) -> bool:
    """Equal within 0.1 percent, numbers inside of lists too."""
    if isinstance(one, (int, float)) and isinstance(two, (int, float)) and not isinstance(one, bool):
        return abs(one - two) <= 1e-3 * max(abs(one), abs(two)) + 1e-12
    if isinstance(one, (list, tuple)) and isinstance(two, (list, tuple)):
        return len(one) == len(two) and all(close(a, b) for a, b in zip(one, two, strict=True))
    return one == two


def reading_right(row: Row, heard: dict[str, Any]) -> bool:
    """True when every expected key holds, or one of the alternatives that the label allows."""
    also = row.get("also_ok", {})
    if all(close(heard[key], value) for key, value in row["expect"].items()):
        return True
    return any(close(heard[key], other) for key, others in also.items() for other in others)
