"""What a negation reaches, and how things are meant: one clause read from left to right."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Final

from bot.language.words.degrees import glued, kind_of
from bot.language.words.lexicon import Sense
from bot.language.words.units import Unit, context, next_sense

REACH: Final = 6
"""How many units a negation reaches when no verb, event or state stops it."""
_PASSED: Final = frozenset({"ok", "too", "enough", "only", "first_symptom", "barely"})
"""States that a negation passes on its way to what it denies."""
_NUMBERS: Final = {w: 10.0 * n for n, w in enumerate(
    ("zero", "ten", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"))} | {"cero": 0.0}


@dataclass(slots=True)
class Feature:
    """A concept as it is meant here: sign -1 when denied."""

    concept: str
    kind: str
    sign: int
    start: int
    end: int
    subordinate: bool = False
    form: str = "base"
    """For kind 'number': what the words around it make of it, as `degrees.kind_of` gives it."""
    value: float = 0.0
    """For kind 'number': what it is."""

    @property
    def key(self) -> str:
        """The name under which patterns are indexed: 'spin' or 'spin-'."""
        return self.concept if self.sign > 0 else self.concept + "-"


@dataclass(slots=True)
class Clause:
    """Features said together, and how they are said."""

    features: list[Feature] = field(default_factory=list)
    ok: bool = False
    only: bool = False
    past: bool = False
    not_that: bool = False
    guess: bool = False
    trying: bool = False
    soft: bool = False
    joined: bool = False
    """True when 'and', 'or' or a comma ties it to the clause before."""
    start: int = 0
    end: int = 0
    """Where its words stand."""

    @property
    def has_core(self) -> bool:
        """True when something is said of something: a function, event or state."""
        return any(f.kind in ("function", "event", "state") for f in self.features)


@dataclass(slots=True)
class _Reader:
    """Where reading stands: what is denied, for how much longer, and whether in a side clause."""

    clause: Clause
    units: Sequence[Unit]
    negated: bool = False
    determiner: bool = False
    """True for 'no hot water': the negation passes adjectives."""
    reach: int = 0
    subordinate: bool = False
    ever: bool = False

    def deny(self, on: bool = True) -> None:
        self.negated, self.reach, self.ever = on, REACH, True

    def take(self, place: int) -> None:
        """Read one unit."""
        unit, following = self.units[place], next_sense(self.units, place + 1)
        if unit.tags:
            _mark(self.clause, unit)
        if "deny_that" in unit.tags:
            self.negated = False
        elif not (self._is_number(place) or self._denies(place, following)
                  or (unit.tags and self._quits(unit, following)) or self._only(unit)):
            self._plain(place, following)

    def _is_number(self, place: int) -> bool:
        unit = self.units[place]
        digits = unit.sense is None and (unit.words.isdecimal() or glued(unit.words))
        if not digits and unit.words not in _NUMBERS:
            return False
        if self._has_none(place):
            return False
        self.clause.features.append(Feature("number", "number", 1, unit.start, unit.end, self.subordinate,
                                            kind_of(self.units, place), _number(self.units, place)))
        return True

    def _has_none(self, place: int) -> bool:
        """'zero heat', but not 'at zero', 'holds zero': then it is a temperature."""
        unit, before = self.units[place], self.units[place - 1] if place else None
        after = self.units[place + 1] if place + 1 < len(self.units) else None
        measured = before is not None and (before.sense is not None or "when" in before.tags)
        return "not" in unit.tags and not measured and after is not None and after.sense is not None and (
            after.sense.kind == "function")

    def _denies(self, place: int, following: Sense | None) -> bool:
        """Negations; True when nothing else is to be read in the unit."""
        unit = self.units[place]
        if unit.words in context("nothing") and unit.sense is not None and following is not None and (
                following.kind in ("function", "event")):
            self.deny()
            return True
        if not unit.tags:
            return False
        after = self.units[place + 1] if place + 1 < len(self.units) else None
        if "not" in unit.tags and unit.words not in context("nothing") and after is not None and _is_case(after):
            self.subordinate = True
            return True
        if unit.tags & {"not", "fail"} and not (self.negated and unit.sense is not None):
            self.deny(not (self.negated and "fail" in unit.tags))
            self.determiner = unit.words in ("no", "ningun", "ninguna")
            return unit.sense is None
        return False

    def _quits(self, unit: Unit, following: Sense | None) -> bool:
        """'stopped draining' denies, 'wont stop filling' says that it goes on."""
        if "quit" not in unit.tags or following is None or following.kind not in ("function", "event") or (
                following.form != "ing" and " " not in unit.words):
            return False
        if self.negated:
            self.clause.features.append(Feature("keeps", "event", 1, unit.start, unit.end))
        self.deny(not self.negated)
        return True

    def _only(self, unit: Unit) -> bool:
        if unit.sense is None or unit.sense.concept != "only":
            return False
        self.clause.only = self.clause.only or unit.words in context("only") or unit.words == "nada mas"
        return True

    def _plain(self, place: int, following: Sense | None) -> None:
        unit = self.units[place]
        if "when" in unit.tags:
            self.subordinate = True
            self.negated = self.negated and unit.words in ("at", "in", "into", "on", "por")
        if unit.words in context("soft") and following is not None and following.kind == "function":
            self.clause.soft = True
        self.reach -= self.negated
        sense = unit.sense
        if sense is None or (sense.form == "ed" and place and self.units[place - 1].words in context("persons")):
            return
        sign = -1 if self.negated and self.reach >= 0 and sense.concept != "nothing" else 1
        self.clause.features.append(Feature(sense.concept, sense.kind, sign, unit.start, unit.end,
                                            self.subordinate, sense.form))
        if sense.kind in ("function", "event") or (
                sense.kind == "state" and not self.determiner and sense.concept not in _PASSED):
            self.negated = False


def read_clause(units: Sequence[Unit], *, joined: bool, carried: bool) -> tuple[Clause, bool]:
    """The features of a clause with their signs, and whether a negation stood in it.

    `carried`: a negation before 'or' or 'and' goes on here ('wont drain or spin').
    """
    reader = _Reader(Clause(joined=joined, start=units[0].start, end=units[-1].end), units)
    if carried:
        reader.deny()
    for place in range(len(units)):
        reader.take(place)
    if _was(units):
        reader.clause.past = True
    _settle(reader.clause)
    return reader.clause, reader.ever


def _number(units: Sequence[Unit], place: int) -> float:
    """The value of a typed number, '10 below' and '-2' as negative."""
    words = units[place].words
    value = _NUMBERS[words] if words in _NUMBERS else float((glued(words) or words)[:6])
    after = units[place + 1].words if place + 1 < len(units) else ""
    before = units[place - 1].words if place else ""
    return -value if after in ("below", "bajo") or before in ("-", "minus", "menos") else value


def _is_case(unit: Unit) -> bool:
    """'not on broil', 'not when it spins': the case is denied, not what happens in it."""
    return "when" in unit.tags and unit.words in context("cases")


def _was(units: Sequence[Unit]) -> bool:
    """'was leaking last month': over, by its tense and its date."""
    return not context("over").isdisjoint([u.words for u in units]) and any(
        a.words in context("was") and b.sense is not None and b.sense.form == "ing" for a, b in pairwise(units))


def _mark(clause: Clause, unit: Unit) -> None:
    clause.past = clause.past or "past" in unit.tags
    clause.not_that = clause.not_that or "deny_that" in unit.tags
    clause.guess = clause.guess or "guess" in unit.tags
    clause.trying = clause.trying or "try" in unit.tags


def _settle(clause: Clause) -> None:
    """Words that only say how another is meant: 'X not working', 'X ok', 'won't stop'."""
    kept: list[Feature] = []
    denied_any = any(f.sign < 0 for f in clause.features)
    for feature in clause.features:
        if feature.concept == "stop" and feature.sign < 0:
            kept.append(_turned(feature, "keeps", "event"))
        elif feature.concept == "ok" and feature.sign < 0:
            kept.append(_turned(feature, "barely", "state"))
        elif feature.concept == "work" and feature.sign < 0:
            for subject in kept:
                if subject.kind == "function" and not subject.subordinate:
                    subject.sign = -1
            kept.append(_turned(feature, "inop", "event"))
        elif feature.concept in ("ok", "work"):
            clause.ok = clause.ok or not denied_any
        else:
            kept.append(feature)
    clause.features = kept


def _turned(feature: Feature, concept: str, kind: str) -> Feature:
    feature.concept, feature.kind, feature.sign = concept, kind, 1
    return feature
