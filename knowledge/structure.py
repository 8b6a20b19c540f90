"""Checks of a pack that need neither language nor diagnosis: references, variants, bands, cautions."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from itertools import pairwise

from rapidfuzz.process import extractOne

from knowledge.likelihood import probability
from knowledge.schema import Band, Check, Common, Fault, Only, Pack, Repair
from knowledge.source import Finding, Place, Tree

LOW_BACKGROUND = 0.3


def check_pack(pack: Pack, tree: Tree, common: Common) -> list[Finding]:
    """All findings of one pack, errors first in the order of the files."""
    notes = [Finding(tree.spot(place), message, error) for place, message, error in _walk(pack, common)]
    return sorted(notes, key=lambda n: (not n.error, str(n.spot.file), n.spot.line))


def check_catalogue(packs: dict[str, Pack], trees: dict[str, Tree], catalogue: dict[str, dict[str, object]],
                    tree: Tree) -> list[Finding]:
    """Every family, complaint, fault and limit of the coverage contract must be in the packs."""
    found: list[Finding] = []
    for family, wanted in catalogue.items():
        pack = packs.get(family)
        if pack is None:
            found.append(Finding(tree.spot(("families", family)), f"no usable pack for '{family}'"))
            continue
        for section in ("complaints", "faults"):
            have = getattr(pack, section)
            ids = wanted.get(section) or ()
            missing = [str(key) for key in ids if key not in have] if isinstance(ids, (list, dict)) else []
            found += [Finding(trees[family].spot((section,)), f"{family}: no entry for '{key}' in {section}")
                      for key in missing]
        faults = wanted.get("faults")
        if isinstance(faults, dict):
            found += _limits(family, pack, trees[family], faults)
    return found


def _limits(family: str, pack: Pack, tree: Tree, faults: dict[str, dict[str, object]]) -> Iterator[Finding]:
    for key, wanted in faults.items():
        fault = pack.faults.get(key)
        if fault is None:
            continue
        only = {a: (v,) if isinstance(v, str) else tuple(v) for a, v in (wanted.get("only") or {}).items()}  # type: ignore[attr-defined]
        spot = tree.spot(("faults", key))
        if {a: sorted(v) for a, v in fault.only.items()} != {a: sorted(v) for a, v in only.items()}:
            yield Finding(spot, f"{family}: '{key}' must have only: {only or 'nothing'}")
        if bool(fault.licensed) != bool(wanted.get("licensed")) or fault.unsafe != bool(wanted.get("unsafe")):
            yield Finding(spot, f"{family}: '{key}' differs from the contract in licensed or unsafe")
        if fault.trade != wanted.get("trade"):
            yield Finding(spot, f"{family}: '{key}' must have trade: {wanted.get('trade')}")


Note = tuple[Place, str, bool]


def _walk(pack: Pack, common: Common) -> Iterator[Note]:
    yield from _family(pack)
    for key, complaint in pack.complaints.items():
        if sum(key in fault.shows for fault in pack.faults.values()) < 2:
            yield ("complaints", key), f"fewer than two faults show '{key}': add it to `shows`", False
        if len(complaint.phrases.get("en", ())) < 5:
            yield ("complaints", key, "phrases"), "write at least five ways people say it", False
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
    for i, row in enumerate(family.combinations):
        axes = set(row) - {"share"}
        if axes != set(family.variants):
            yield ("family", "combinations", i), f"name one value of each of {', '.join(family.variants)}", True
            continue
        for axis in axes:
            if row[axis] not in family.variants[axis].values:
                known = family.variants[axis].values
                yield ("family", "combinations", i, axis), _unknown(f"value of {axis}", str(row[axis]), known), True
        if not isinstance(row.get("share"), (int, float)):
            yield ("family", "combinations", i), "add `share`, the share of machines seen", True
    if family.variants and not family.combinations:
        yield ("family",), "list the combinations of variants that exist, each with its share", True
    for i, item in enumerate(family.menu):
        yield from _refs(("family", "menu", i), "complaint", item.complaints, pack.complaints)


def _fault(pack: Pack, common: Common, key: str, fault: Fault) -> Iterator[Note]:
    place = ("faults", key)
    yield from _only(pack, (*place, "only"), fault.only)
    yield from _refs((*place, "shows"), "complaint", fault.shows, pack.complaints)
    if not fault.shows or max(probability(p) for p in fault.shows.values()) < LOW_BACKGROUND:
        yield (*place, "shows"), "no complaint is likely: at least one should be 'often'", False
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
    if "normal" not in check.likelihoods:
        yield (*place, "likelihoods"), "add `normal`: what a machine without these faults shows", True
    for fault, row in check.likelihoods.items():
        if fault != "normal":
            yield from _refs((*place, "likelihoods", fault), "fault", [fault], pack.faults)
        yield from _row((*place, "likelihoods", fault), check, row)
    if check.power == "live" and not check.cautions:
        yield place, "live work needs its cautions", True
    if check.power == "off" and check.access and not check.cautions:
        yield place, "a cover comes off: add its cautions", False
    if len(check.ask) > 320:
        yield (*place, "ask"), f"{len(check.ask)} characters: say it in 320", False
    for rid, result in check.results.items():
        yield from _refs((*place, "results", rid), "complaint", result.complaints, pack.complaints)
        for axis, value in result.identifies.items():
            if axis not in pack.family.variants or value not in pack.family.variants[axis].values:
                yield (*place, "results", rid, "identifies"), f"no variant {axis}: {value}", True
    yield from _bands(place, check)


def _bands(place: Place, check: Check) -> Iterator[Note]:
    banded = [(rid, r.band) for rid, r in check.results.items() if r.band is not None]
    if check.reading is None:
        if banded:
            yield (*place, "results"), "bands need a `reading` with its quantity", True
        return
    if not banded:
        yield (*place, "results"), "a reading needs a `band` in its results", True
        return
    ranges = sorted((b for _, b in banded if not b.open), key=lambda b: b.low if b.low is not None else -1e99)
    for below, above in pairwise(ranges):
        if below.high != above.low:
            yield (*place, "results"), f"bands leave a gap or overlap at {below.high} / {above.low}", True
    if ranges and not _unbounded(ranges):
        yield (*place, "results"), "the lowest band has no `from`, the highest no `to`", True


def _unbounded(ranges: list[Band]) -> bool:
    return ranges[0].low in (None, 0) and ranges[-1].high is None


def _row(place: Place, check: Check, row: Mapping[str, object]) -> Iterator[Note]:
    for result in row:
        if result not in check.results:
            yield (*place, result), _unknown("result", result, check.results), True
    numbers = [v for v in row.values() if isinstance(v, (int, float))]
    if any(not 0 <= v <= 1 for v in numbers) or sum(numbers) > 1.001:
        yield place, "probabilities lie between 0 and 1 and add up to no more than 1", True


def _only(pack: Pack, place: Place, only: Only) -> Iterator[Note]:
    for axis, values in only.items():
        if axis not in pack.family.variants:
            yield (*place, axis), _unknown("variant", axis, pack.family.variants), True
        else:
            yield from _refs((*place, axis), f"value of {axis}", values, pack.family.variants[axis].values)


def _refs(place: Place, what: str, ids: Iterable[str], known: Iterable[str]) -> Iterator[Note]:
    names = list(known)
    for key in ids:
        if key not in names:
            yield (*place, key), _unknown(what, key, names), True


def _unknown(what: str, key: str, known: Iterable[str]) -> str:
    near = extractOne(key, list(known))
    return f"no {what} '{key}'" + (f": nearest is '{near[0]}'" if near else "")
