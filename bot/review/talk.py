"""A visit as its page shows it: the talk turn by turn, and beside each turn what its trace says.

Everything is read from what was stored at the time. The knowledge release of the visit lends names and bands, nothing
is understood, believed or planned anew.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from bot.conversation.facts import given_of
from bot.conversation.firm import Firm
from bot.conversation.job import Fact, Job
from bot.conversation.picture import OnBands
from bot.conversation.questions.bands import alike, on_bands
from bot.conversation.wording.amounts import minutes
from bot.review.naming import MARKS, Names, outcome, reason
from bot.store.review import ReviewStore
from bot.store.review_rows import Line, Listed, Mark, Note, Remark, Step
from knowledge.schema import Pack


@dataclass(frozen=True, slots=True)
class Moved:
    """How the chance of a fault moved at a turn, 0..1. `before` None: not among the leading ones before."""

    fault: str
    name: str
    before: float | None
    after: float


@dataclass(frozen=True, slots=True)
class Option:
    """What the planner weighed: a check or repair, its own minutes, and the minutes to the end that way."""

    what: str
    minutes: str
    to_end: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class Turn:
    """One event with what came of it."""

    event: str
    lines: tuple[Line, ...]
    understood: tuple[str, ...] = ()
    words: tuple[tuple[str, str], ...] = ()
    """(words of the message, what they were taken for)."""
    filed: tuple[str, ...] = ()
    """What was taken down because of it, also of answers to a question; what was taken back later says so."""
    moved: tuple[Moved, ...] = ()
    misfit: float | None = None
    options: tuple[Option, ...] = ()
    readings: tuple[OnBands, ...] = ()
    labels: tuple[str, ...] = ()
    senior: bool = False

    @property
    def traced(self) -> bool:
        """Whether there is anything to show beside it."""
        return bool(self.understood or self.words or self.filed or self.moved or self.options)


@dataclass(frozen=True, slots=True)
class Talk:
    """The whole page."""

    visit: Listed
    turns: tuple[Turn, ...]
    plate: tuple[tuple[str, str], ...] = ()
    machine: tuple[str, ...] = ()
    readings: tuple[OnBands, ...] = ()
    marks: tuple[Mark, ...] = ()
    notes: tuple[Note, ...] = ()


def talk(store: ReviewStore, job: str, names: Names, firm: Firm) -> Talk | None:
    """The talk of a visit; None if there is no such visit. `names` are those of the visit's release."""
    visit = store.listed(job)
    if visit is None:
        return None
    stored = store.job(job)
    state = stored.job if stored is not None else None
    pack = names.pack(visit.family)
    steps = _by_event(store.steps(job))
    remarks = _by_event(store.remarks(job))
    turns: list[Turn] = []
    before: dict[str, float] = {}
    for event, lines in _grouped(store.lines(job)):
        own = steps.get(event, [])
        turn = _turn(event, lines, own, remarks.get(event, []), before, names, visit)
        facts = [f for f in state.facts if f.turn in {event, *(line.id for line in lines)}] if state else []
        filed = tuple(words for fact in facts if (words := _fact(fact, names, visit.family)))
        turns.append(replace(turn, filed=filed, readings=_readings(facts, pack, _given(state), firm)))
        after = next((s.data["faults"] for s in reversed(own) if s.what == "belief"), None)
        before = {str(f): float(p) for f, p in after} if after is not None else before
    every = tuple(r for turn in turns for r in turn.readings)
    return Talk(visit, tuple(turns), _plate(state), _machine(state, names, visit.family), every, store.marks(job),
                store.notes(job))


def _by_event(each: Sequence[Any]) -> dict[str, list[Any]]:
    found: dict[str, list[Any]] = defaultdict(list)
    for one in each:
        found[one.event].append(one)
    return found


def _grouped(lines: Sequence[Line]) -> list[tuple[str, tuple[Line, ...]]]:
    """Lines of one event together; they stand beside each other already."""
    found: list[tuple[str, list[Line]]] = []
    for line in lines:
        if found and found[-1][0] == line.event:
            found[-1][1].append(line)
        else:
            found.append((line.event, [line]))
    return [(event, tuple(those)) for event, those in found]


def _turn(event: str, lines: tuple[Line, ...], steps: Sequence[Step], remarks: Sequence[Remark],
          before: Mapping[str, float], names: Names, visit: Listed) -> Turn:
    said = next((line for line in lines if line.kind != "out"), None)
    heard = next((s.data for s in reversed(steps) if s.what == "understood"), None)
    belief = next((s.data for s in reversed(steps) if s.what == "belief"), None)
    weighed = next((s.data for s in reversed(steps) if s.what == "weighed"), None)
    return Turn(
        event, lines, _understood(heard, names, visit.family) if heard else (),
        _words(heard, said.first or said.text, names, visit.family) if heard and said else (),
        moved=_moved(belief, before, names, visit.family) if belief else (),
        misfit=float(belief["misfit"]) if belief else None,
        options=_options(weighed, names, visit.family) if weighed else (),
        labels=tuple(words for remark in remarks if (words := _label(remark, names, visit.family))),
        senior=said is not None and said.person != visit.tech)


def _understood(heard: Mapping[str, Any], names: Names, family: str | None) -> tuple[str, ...]:
    family = heard.get("family") or family
    found = [f"{names.complaint(family, c)} ({_percent(p)})" for c, p in heard.get("complaints", ())]
    found += [f"{names.complaint(family, c, works=True)}" for c in heard.get("denied", ())]
    found += [names.variant(family, axis, value) for axis, value in heard.get("variant", {}).items()]
    found += [f"{names.check(family, check)}: {names.result(family, check, result)} ({_percent(p)})"
              for check, result, p in heard.get("results", ())]
    if heard.get("hazard"):
        found.insert(0, f"hazard: {heard['hazard']}")
    if not heard.get("confident", True):
        found.append("not sure which of these is meant")
    return tuple(found)


def _words(heard: Mapping[str, Any], text: str, names: Names, family: str | None) -> tuple[tuple[str, str], ...]:
    family = heard.get("family") or family
    return tuple((text[start:end], _meaning(meaning, names, family))
                 for start, end, meaning in heard.get("clues", ()) if text[start:end].strip())


def _meaning(key: str, names: Names, family: str | None) -> str:
    kind, _, what = key.partition(":")
    subject, _, value = what.partition("=")
    match kind:
        case "complaint":
            return names.complaint(family, what)
        case "denied":
            return names.complaint(family, what, works=True)
        case "variant":
            return names.variant(family, subject, value)
        case "result":
            return f"{names.check(family, subject)}: {names.result(family, subject, value)}"
        case _:
            return key.replace("_", " ").replace(":", ": ")


def _moved(belief: Mapping[str, Any], before: Mapping[str, float], names: Names, family: str | None
           ) -> tuple[Moved, ...]:
    after = {str(f): float(p) for f, p in belief.get("faults", ())}
    return tuple(Moved(f, names.fault(family, f), before.get(f), p) for f, p in after.items())


def _options(weighed: Mapping[str, Any], names: Names, family: str | None) -> tuple[Option, ...]:
    found = []
    for number, (do, key, own, to_end) in enumerate(weighed.get("options", ())):
        what = names.check(family, key) if do == "check" else names.repair(family, key) if do == "repair" else do
        found.append(Option(f"{do}: {what}" if do in {"check", "repair"} else what, minutes(own), minutes(to_end),
                            number == 0))
    return tuple(found)


def _readings(facts: Sequence[Fact], pack: Pack | None, given: dict[str, float], firm: Firm) -> tuple[OnBands, ...]:
    if pack is None:
        return ()
    drawn = [on_bands(pack.checks[f.subject], f, given, firm, alike(pack.checks[f.subject], facts)) for f in facts
             if f.kind == "result" and f.subject in pack.checks]
    return tuple(each for each in drawn if each is not None)


def _fact(fact: Fact, names: Names, family: str | None) -> str:
    words = ""
    match fact.kind:
        case "family":
            words = names.family(fact.subject)
        case "complaint" | "denied":
            words = names.complaint(family, fact.subject, works=fact.kind == "denied")
        case "variant":
            words = names.variant(family, fact.subject, fact.value)
        case "result":
            words = f"{names.check(family, fact.subject)}: {names.result(family, fact.subject, fact.value)}"
        case "cannot":
            words = f"could not: {names.check(family, fact.subject)}"
        case "done_before":
            words = f"done before the visit: {names.repair(family, fact.subject)}"
        case "repaired":
            words = f"done: {names.repair(family, fact.subject)}"
        case "given" if fact.number is not None:
            words = f"{fact.subject.replace('_', ' ')}: {fact.number:g}"
    return f"{words} (taken back later)" if words and fact.withdrawn is not None else words


def _label(remark: Remark, names: Names, family: str | None) -> str:
    data = remark.data
    fault = names.fault(family, data.get("fault"))
    match remark.what:
        case "finding":
            return f"finding: {fault}, {_percent(float(data.get('p', 0)))}"
        case "proof":
            return "proved: it held" if data.get("held") else "not proved: the complaint is still there"
        case "verdict":
            return f"senior's verdict: {fault}" if fault else "a senior's word, kept"
        case "outcome":
            return f"outcome: {outcome(data.get('outcome'))}"
        case "not_followed" | "misunderstood":
            return "not understood"
        case "consent":
            return f"customer: {str(data.get('answer', '')).replace('_', ' ')}"
        case "hazard":
            return f"hazard: {data.get('hazard', '')}"
        case "unsafe":
            return "unsafe"
        case "handoff":
            return "given back by the senior"
        case "repair":
            return f"repair begun: {names.repair(family, data.get('repair'))}"
        case _:
            return remark.what.replace("_", " ")


def _given(state: Job | None) -> dict[str, float]:
    return given_of(state) if state else {}


def _plate(state: Job | None) -> tuple[tuple[str, str], ...]:
    """What is known of the rating plate and the like."""
    if state is None:
        return ()
    shown = {"watts": "W", "volts": "V", "ambient_c": "°C around", "leads_ohm": "Ω of the leads"}
    found = [(f.subject.replace("_", " "), f"{f.number:g} {shown.get(f.subject, '')}".strip())
             for f in state.standing("given") if f.number is not None]
    return tuple(found + [(f.subject.replace("_", " "), f.value or f"{f.number:g}" if f.number is not None else f.value)
                          for f in state.standing("plate", "age", "payer")])


def _machine(state: Job | None, names: Names, family: str | None) -> tuple[str, ...]:
    return tuple(names.variant(family, f.subject, f.value) for f in state.standing("variant")) if state else ()


def _percent(p: float) -> str:
    return f"{100 * p:.0f} %"


__all__ = ["MARKS", "Moved", "Option", "Talk", "Turn", "reason", "talk"]
