"""Where one thing said ends and the next begins: marks, contrast, coordination, a second verb."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

from bot.language.words.lexicon import Sense
from bot.language.words.scope import Clause, Feature, read_clause
from bot.language.words.text import ends_sentence
from bot.language.words.units import Unit, context, next_sense

Link = Literal["", "sentence", "comma", "but", "and", "or", "then", "verb"]
COLD_PARTS: Final = frozenset({"fresh", "fridge", "freezer"})
_JOINS: Final[tuple[Link, ...]] = ("but", "and", "or", "then")


@dataclass(slots=True)
class _Segment:
    """Units said together and what stands before them."""

    units: list[Unit]
    link: Link
    core: bool = False
    """Whether one of the units says something of something."""

    @classmethod
    def of(cls, link: Link, *units: Unit) -> _Segment:
        """Units after a border."""
        return cls(list(units), link, any(unit.is_core for unit in units))

    def add(self, unit: Unit) -> None:
        """One unit more."""
        self.units.append(unit)
        self.core = self.core or unit.is_core

    @property
    def has_degrees(self) -> bool:
        """True for 'fridge at 58': a number said of a cold part says something."""
        return any(u.words.isdigit() for u in self.units) and any(
            u.sense is not None and u.sense.concept in COLD_PARTS for u in self.units)

    @property
    def denies(self) -> bool:
        return any(u.tags & {"not", "deny_that"} for u in self.units)


def clauses_of(units: Sequence[Unit]) -> list[Clause]:
    """The clauses of a message, with what negation reaches resolved in each."""
    clauses: list[Clause] = []
    denied = False
    for segment in _merge(_segments(units)):
        carried = denied and segment.link in ("or", "and") and _continues(segment.units[0], segment.link)
        clause, denied = read_clause(segment.units, joined=segment.link in ("and", "or", "comma"), carried=carried)
        _complete(clause, segment, clauses)
        clauses.append(clause)
    _share_praise(clauses)
    return [c for c in clauses if c.features or c.not_that or c.ok]


def _segments(units: Sequence[Unit]) -> list[_Segment]:
    found = [_Segment.of("")]
    for place, unit in enumerate(units):
        here = found[-1]
        before = units[place - 1] if place else None
        link = _link(unit, here, before, units[place + 1:place + 3])
        if link is None:
            here.add(unit)
        elif link != "verb":
            found.append(_Segment.of(link))
        elif len(here.units) > 1 and _is_subject(here.units[-1]) and any(u.is_core for u in here.units[:-1]):
            found.append(_Segment.of(link, here.units.pop(), unit))
        else:
            found.append(_Segment.of(link, unit))
    return [s for s in found if s.units or s.link == "sentence"]


def _is_subject(unit: Unit) -> bool:
    """A thing, or a function named as a thing: 'bake dead, broil works'."""
    if unit.sense is None or unit.tags:
        return False
    return unit.sense.kind in ("thing", "other", "appliance") or (
        unit.sense.kind == "function" and unit.sense.form == "base")


def _link(unit: Unit, here: _Segment, before: Unit | None, units_after: Sequence[Unit]) -> Link | None:
    """What kind of border stands before (or is) this unit; None when it belongs to the segment."""
    if unit.sense is None and len(unit.words) == 1 and not unit.words.isalnum():
        if ends_sentence(unit.words):
            return "sentence"
        return "comma" if unit.words in ",()" or (unit.words in "-:" and here.core) else None
    if unit.tags and "not" not in unit.tags:
        for link in _JOINS:
            if link in unit.tags:
                return link
    if unit.words == "no" and any("not" in u.tags for u in here.units) and here.units[-1].sense is not None:
        return "verb"
    if not here.core:
        return None
    if _praised_next(unit, units_after):
        return "verb"
    if unit.words == "just":
        return "but"
    anew = _denies_anew(unit, here, before, next_sense(units_after, 0)) or _is_second_verb(unit, here, before)
    return "verb" if anew else None


def _praised_next(unit: Unit, after: Sequence[Unit]) -> bool:
    """'fridge warm | freezer fine': a part that is itself said to be well."""
    if unit.sense is None or unit.sense.kind != "thing" or unit.tags or not after:
        return False
    last = after[1] if after[0].words in context("be") and len(after) > 1 else after[0]
    return last.sense is not None and last.sense.concept in ("ok", "work")


def _denies_anew(unit: Unit, here: _Segment, before: Unit | None, after: Sense | None) -> bool:
    """'washes wont drain': a denial after something said; not 'spin doesnt work', 'broil wont heat'."""
    if "not" not in unit.tags or (after is not None and after.concept in ("work", "ok")):
        return False
    if before is not None and before.tags & {"not", "question"}:
        return False
    last = here.units[-1].sense
    subject = (unit.words in context("aux_not") and last is not None and last.kind == "function" and last.form == "base"
               and sum(u.is_core for u in here.units) == 1 and not any("not" in u.tags for u in here.units))
    return not subject


def _is_second_verb(unit: Unit, here: _Segment, before: Unit | None) -> bool:
    """'fills drains wont spin': the third person begins anew."""
    if _in_condition(here):
        return False
    if unit.sense is not None and unit.sense.kind == "function" and unit.sense.form == "ed":
        return any(u.sense is not None and u.sense.kind == "function" and u.sense.form == "ed" for u in here.units)
    return (unit.sense is not None and unit.sense.kind in ("function", "event") and unit.sense.form == "s"
            and before is not None and not before.tags & {"not", "fail", "quit", "when", "past"}
            and here.units[-1].sense is not None and here.units[-1].words not in context("nothing"))


def _in_condition(here: _Segment) -> bool:
    """'whenever the dishwasher | drains': the verb belongs to the conjunction before it."""
    for unit in reversed(here.units):
        if unit.is_core:
            return False
        if unit.tags & {"when"}:
            return " " in unit.words or unit.words in context("conjunctions")
    return False


def _merge(segments: list[_Segment]) -> list[_Segment]:
    """A part without anything said in it belongs to its neighbour in the same sentence."""
    merged: list[_Segment] = []
    for segment in segments:
        if not segment.units:
            segment.link = "sentence"
        before = merged[-1] if merged else None
        if before is not None and before.units and _belongs(before, segment):
            before.units.extend(segment.units)
            before.core = before.core or segment.core
        else:
            merged.append(segment)
    return [s for s in merged if s.units]


def _belongs(before: _Segment, segment: _Segment) -> bool:
    said_before = before.core or before.denies or before.has_degrees
    bare_before = not said_before and segment.link in ("and", "or", "comma", "verb")
    bare_here = not segment.core and not segment.denies and segment.link in ("and", "or")
    return bare_before or bare_here


def _continues(unit: Unit, link: Link) -> bool:
    """'wont drain or spin' goes on denying, 'wont spin and leaks' does not."""
    if unit.sense is None or (unit.sense.kind != "function" and link != "or"):
        return False
    return link == "or" or unit.sense.form in ("base", "ing")


def _complete(clause: Clause, segment: _Segment, before: Sequence[Clause]) -> None:
    """'the motor spins, the tub doesn't', 'bake doesn't heat, broil does': the verb stands before."""
    if not before or not segment.units or len(segment.units) > 4:
        return
    last, subjects = segment.units[-1], [f for f in clause.features if f.kind == "function" and f.form == "base"]
    if clause.has_core and (not subjects or any(f.kind in ("event", "state") for f in clause.features)):
        return
    about = bool(subjects) or any(f.kind in ("thing", "appliance") for f in clause.features)
    earlier = list(reversed(before[-1].features))
    if last.words in context("does") and about:
        verb = next((f for f in earlier if (f.kind == "function" and f.sign < 0) or f.concept == "inop"), None)
        clause.ok = clause.ok or verb is not None
        sign = 1
    elif "not" in last.tags and last.sense is None and (last.words not in ("no", "not", "ni", "sin") or about):
        verb = next((f for f in earlier if f.kind in ("function", "state") and f.sign > 0), None)
        if verb is None and before[-1].ok and about:
            verb = Feature("inop", "event", 1, last.start, last.end)
        sign = 1 if verb is not None and verb.concept == "inop" else -1
    else:
        return
    for subject in subjects:
        subject.sign = sign if verb is not None and verb.concept != "inop" else subject.sign
    if verb is not None and not (subjects and sign < 0) and (sign < 0 or verb.concept != "inop" or not clause.ok):
        clause.features.append(Feature(verb.concept, verb.kind, sign, last.start, last.end))


def _share_praise(clauses: list[Clause]) -> None:
    """'washes, fills and drains ok': what is said of the last holds for those tied to it."""
    for place in range(len(clauses) - 1, 0, -1):
        here, before = clauses[place], clauses[place - 1]
        if here.ok and here.joined and before.features and all(
                f.kind in ("function", "thing") and f.sign > 0 for f in before.features):
            before.ok = True
