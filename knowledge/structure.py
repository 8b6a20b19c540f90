"""Checks of a pack that need neither language nor diagnosis: references, variants, cautions, covers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

from knowledge.likelihood import probability
from knowledge.schema import Check, Common, Family, Fault, Only, Pack, Reading, Repair
from knowledge.source import Finding, Place, Tree, nearest
from knowledge.structure_readings import Note, check_bands, check_reading

LOW_BACKGROUND = 0.3
FIVE = "write at least five ways people say it, or in a folder of your own `en: {add: [...]}` beside ours"


def check_pack(pack: Pack, tree: Tree, common: Common) -> list[Finding]:
    """All findings of one pack, errors first in the order of the files."""
    notes = [Finding(tree.spot(place), message, error) for place, message, error in _walk(pack, common)]
    return sorted(notes, key=lambda n: (not n.error, str(n.spot.file), n.spot.line))


def _walk(pack: Pack, common: Common) -> Iterator[Note]:
    yield from _family(pack)
    yield from _combinations(pack.family)
    yield from _covers(pack)
    for key, complaint in pack.complaints.items():
        if sum(key in fault.shows for fault in pack.faults.values()) < 2:
            yield ("complaints", key), f"fewer than two faults show '{key}': add it to `shows`", False
        yield from _refs(("complaints", key, "without"), "complaint", complaint.without, pack.complaints)
        yield from _refs(("complaints", key, "works_without"), "complaint", complaint.works_without, pack.complaints)
        if len(complaint.phrases.get("en", ())) < 5:
            yield ("complaints", key, "phrases"), FIVE, False
    for key, fault in pack.faults.items():
        yield from _fault(pack, common, key, fault)
    for key, repair in pack.repairs.items():
        yield from _repair(pack, common, ("repairs", key), repair)
        if not pack.faults_of(key):
            yield ("repairs", key), "no fault uses this repair: name it in one, or remove it", False
    for key, check in pack.checks.items():
        yield from _check(pack, common, key, check)


def _family(pack: Pack) -> Iterator[Note]:
    family = pack.family
    if family.watch not in pack.checks:
        yield ("family", "watch"), _unknown("check", family.watch, pack.checks), True
    for axis, variant in family.variants.items():
        yield from _refs(("family", "variants", axis, "unless"), "complaint", variant.unless, pack.complaints)
    for i, item in enumerate(family.menu):
        yield from _refs(("family", "menu", i), "complaint", item.complaints, pack.complaints)
    wait = family.wait_after_off
    if wait and not isinstance(wait.get("minutes"), (int, float)):
        yield ("family", "wait_after_off"), "add `minutes`, a number", True
    axes: Only = {axis: (str(value),) for axis, value in wait.items() if axis != "minutes"}
    yield from _only(pack, ("family", "wait_after_off"), axes)


def _combinations(family: Family) -> Iterator[Note]:
    whole = ("family", "combinations")
    seen: Counter[frozenset[tuple[str, object]]] = Counter()
    for i, row in enumerate(family.combinations):
        axes = set(row) - {"share"}
        if axes != set(family.variants):
            yield (*whole, i), f"name one value of each of {', '.join(family.variants)}", True
            continue
        for axis in axes:
            if row[axis] not in family.variants[axis].values:
                known = family.variants[axis].values
                yield (*whole, i, axis), _unknown(f"value of {axis}", str(row[axis]), known), True
        share = row.get("share")
        if not isinstance(share, (int, float)) or share <= 0:
            yield (*whole, i), "add `share`, the share of machines seen, above 0", True
        machine = frozenset((axis, row[axis]) for axis in axes)
        seen[machine] += 1
        if seen[machine] == 2:
            yield (*whole, i), "the same machine stands here twice: add up the shares", True
    if family.variants and not family.combinations:
        yield ("family",), "list the combinations of variants that exist, each with its share", True
    total = sum(row["share"] for row in family.combinations if isinstance(row.get("share"), (int, float)))  # type: ignore[misc]
    if family.combinations and not 0.97 <= total <= 1.03:
        yield whole, f"the shares add up to {total:.2f}: they should make 1", False


def _covers(pack: Pack) -> Iterator[Note]:
    for key, cover in pack.covers.items():
        yield from _refs(("covers", key, "behind"), "cover", cover.behind, pack.covers)
        first, todo = set[str](), list(cover.behind)
        while todo:
            name = todo.pop()
            if name == key:
                yield ("covers", key, "behind"), f"'{key}' would have to be open before it can be opened", True
                break
            if name in pack.covers and name not in first:
                first.add(name)
                todo += pack.covers[name].behind


def _fault(pack: Pack, common: Common, key: str, fault: Fault) -> Iterator[Note]:
    place = ("faults", key)
    yield from _only(pack, (*place, "only"), fault.only)
    yield from _refs((*place, "shows"), "complaint", fault.shows, pack.complaints)
    if not fault.shows or max(probability(p) for p in fault.shows.values()) < LOW_BACKGROUND:
        yield (*place, "shows"), "no complaint is likely: at least one should be 'often'", False
    yield from _shares((*place, "shows"), fault.shows)
    for check, outcomes in fault.checks.items():
        yield from _refs((*place, "checks"), "check", [check], pack.checks)
        if check in pack.checks:
            yield from _row(("faults", key, "checks", check), pack.checks[check], outcomes)
            if key in pack.checks[check].likelihoods:
                yield (*place, "checks", check), "said by the check too: keep one of both", True
    if isinstance(fault.repair, Repair):
        yield from _repair(pack, common, (*place, "repair"), fault.repair)
    elif fault.repair not in pack.repairs:
        yield (*place, "repair"), _unknown("repair", fault.repair, pack.repairs), True
    for i, cause in enumerate(fault.root_causes):
        if (cause.check is None) == (cause.ask is None):
            yield (*place, "root_causes", i), "give either `check` (an id) or `ask` (in words)", True
        if cause.check is not None:
            yield from _refs((*place, "root_causes", i), "check", [cause.check], pack.checks)
    if (fault.licensed or fault.trade or fault.unsafe) and not fault.make_safe:
        yield place, "licensed, trade or unsafe: add `make_safe`", True


def _repair(pack: Pack, common: Common, place: Place, repair: Repair) -> Iterator[Note]:
    yield from _refs((*place, "access"), "cover", repair.access, pack.covers)
    yield from _refs((*place, "tools"), "tool", repair.tools, common.tools)
    if repair.power == "off" and not repair.cautions:
        yield place, "a repair on a dead machine needs its cautions", True
    if repair.cost != "none" and not repair.parts and repair.trade is None:
        yield place, f"cost '{repair.cost}' but no parts: name them or write cost: none", False


def _check(pack: Pack, common: Common, key: str, check: Check) -> Iterator[Note]:
    place = ("checks", key)
    yield from _only(pack, (*place, "only"), check.only)
    yield from _refs((*place, "access"), "cover", (*check.access, *check.closes), pack.covers)
    yield from _refs((*place, "tools"), "tool", check.tools, common.tools)
    yield from _refs((*place, "unless"), "complaint", check.unless, pack.complaints)
    yield from _refs((*place, "needless"), "complaint", check.needless, pack.complaints)
    yield from _refs((*place, "presumes"), "complaint", check.presumes, pack.complaints)
    yield from _refs((*place, "yes"), "result", [check.yes] if check.yes else [], check.results)
    yield from _refs((*place, "no"), "result", [check.no] if check.no else [], check.results)
    yield from _refs((*place, "of"), "thing that may be lacking", check.of, pack.family.may_lack)
    if "normal" not in check.likelihoods:
        yield (*place, "likelihoods"), "add `normal`: what a machine without these faults shows", True
    for fault, row in check.likelihoods.items():
        if fault != "normal":
            yield from _refs((*place, "likelihoods", fault), "fault", [fault], pack.faults)
        yield from _row((*place, "likelihoods", fault), check, row)
    if check.power == "live" and not check.cautions:
        yield place, "live work needs its cautions", True
    if check.kind == "run" and check.power not in {"run", "live"}:
        yield place, "it runs or burns: write `power: run`, so that it is not asked of a machine left dead", True
    if check.power == "off" and check.access and not check.cautions:
        yield place, "a cover comes off: add its cautions", False
    if len(check.ask) > 320:
        yield (*place, "ask"), f"{len(check.ask)} characters: say it in 320", False
    labels = Counter(result.label.lower() for result in check.results.values())
    for rid, result in check.results.items():
        yield from _refs((*place, "results", rid), "complaint", result.complaints, pack.complaints)
        yield from _refs((*place, "results", rid), "complaint", result.lifts, pack.complaints)
        yield from _refs((*place, "results", rid), "check", result.moots, pack.checks)
        for axis, value in result.identifies.items():
            if axis not in pack.family.variants or value not in pack.family.variants[axis].values:
                yield (*place, "results", rid, "identifies"), f"no variant {axis}: {value}", True
        if labels[result.label.lower()] > 1:
            yield (*place, "results", rid), f"another result has the label '{result.label}' too: tell them apart", True
    yield from check_bands(place, check)
    yield from check_reading(place, check)
    yield from _matched(pack, (*place, "reading"), check.reading)


def _matched(pack: Pack, place: Place, reading: Reading | None) -> Iterator[Note]:
    if reading is None or reading.matches is None:
        return
    yield from _refs(place, "check", [reading.matches], pack.checks)
    other = pack.checks.get(reading.matches)
    if other is not None and (other.reading is None or other.reading.quantity != reading.quantity):
        yield (*place, "matches"), f"'{reading.matches}' reads no {reading.quantity}: it cannot be alike", True


def _row(place: Place, check: Check, row: Mapping[str, object]) -> Iterator[Note]:
    for result in row:
        if result not in check.results:
            yield (*place, result), _unknown("result", result, check.results), True
    yield from _shares(place, row)
    if sum(v for v in row.values() if isinstance(v, (int, float))) > 1.001:
        yield place, "the probabilities of one row add up to no more than 1", True


def _shares(place: Place, row: Mapping[str, object]) -> Iterator[Note]:
    for key, value in row.items():
        if isinstance(value, (int, float)) and not 0 <= value <= 1:
            yield (*place, key), f"{value} is no probability: write a number from 0 to 1, or a word such as often", True


def _only(pack: Pack, place: Place, only: Only) -> Iterator[Note]:
    variants = pack.family.variants
    known = True
    for axis, values in only.items():
        if axis not in variants:
            known = False
            yield (*place, axis), _unknown("variant", axis, variants), True
        else:
            known = known and set(values) <= set(variants[axis].values)
            yield from _refs((*place, axis), f"value of {axis}", values, variants[axis].values)
    rows = pack.family.combinations
    if only and known and rows and not any(all(row.get(a) in v for a, v in only.items()) for row in rows):
        yield place, "no machine in `combinations` is like this: add one, or mend the limits", True


def _refs(place: Place, what: str, ids: Iterable[str], known: Iterable[str]) -> Iterator[Note]:
    names = set(known)
    for key in ids:
        if key not in names:
            yield (*place, key), _unknown(what, key, names), True


def _unknown(what: str, key: str, known: Iterable[str]) -> str:
    return f"no {what} '{key}'{nearest(key, sorted(known))}"
