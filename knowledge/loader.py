"""From folders of YAML to validated packs: reading, overlays, validation.

A knowledge folder holds `common/*.yaml` (tools, handoff_only, templates) and one folder a family. Later folders
lie on top of earlier ones: a firm's overlay adds entries, overrides single keys, removes keys by null and retires
entries (`retire: {checks: [id, ...]}`), and our updates leave it alone.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path
from typing import Any, Final

from pydantic import ValidationError
from rapidfuzz import fuzz, process

from knowledge.building import unsearched
from knowledge.compose import compose, templates_of
from knowledge.schema import Common, Knowledge, Pack
from knowledge.source import Finding, Spot, Tree, merge_entry, nearest, read_yaml
from knowledge.structure import check_pack
from knowledge.validation import LACKS, findings_of

SECTIONS: Final = ("family", "complaints", "covers", "faults", "repairs", "checks")
COMMON_SECTIONS: Final = ("tools", "handoff_only", "templates")
COMMON: Final = "common"
REPAIR: Final = frozenset({"name", "minutes", "cost", "cautions", "steps"})
"""What a repair has to have."""
A_SLIP: Final = 85
"""Similarity (0..100) from which an id is another one with a slip of the finger."""
Layer = Mapping[str, Path]
"""Family (or 'common') -> the folder that holds its files."""


@dataclass(frozen=True, slots=True)
class Loaded:
    """What could be used, and everything that was noticed."""

    knowledge: Knowledge
    findings: tuple[Finding, ...]
    trees: dict[str, Tree]

    @property
    def errors(self) -> tuple[Finding, ...]:
        """The findings that keep an entry or a family out."""
        return tuple(finding for finding in self.findings if finding.error)


def packs_folder() -> Path:
    """The packs that come with the program."""
    return Path(str(files("knowledge") / "packs"))


def layer(folder: Path) -> Layer:
    """The families in a knowledge folder, or the one family whose folder it is (its YAML stands right in it)."""
    inner = {one.name: one for one in sorted(folder.iterdir()) if one.is_dir() and any(one.glob("*.yaml"))}
    if not inner and any(folder.glob("*.yaml")):
        return {folder.resolve().name: folder}
    return inner


@unsearched()
def load(folders: Sequence[Path] = (), *, families: Iterable[str] | None = None) -> Loaded:
    """All packs of our own folder and of `folders` on top. A family with errors is left out, the others load.

    Raises OSError where one of `folders` is no folder that can be read.
    """
    layers = [layer(folder) for folder in (packs_folder(), *folders)]
    findings = [finding for folder in folders for finding in unread(folder)]
    tree, _ = _read(COMMON, layers, COMMON_SECTIONS, findings)
    templates = templates_of(tree)
    common = _common(tree, findings)
    packs: dict[str, Pack] = {}
    trees = {COMMON: tree}
    for name in sorted({name for one in layers for name in one} - {COMMON}):
        if families is not None and name not in families:
            continue
        noticed: list[Finding] = []
        if stray := _no_family(name, layers):
            findings.append(stray)
            continue
        trees[name], pack = _family(name, layers, templates, common, noticed)
        findings += noticed
        if pack is not None and not any(finding.error for finding in noticed):
            packs[name] = pack
    return Loaded(Knowledge(packs=packs, common=common), tuple(dict.fromkeys(findings)), trees)


def _family(name: str, layers: Sequence[Layer], templates: Mapping[str, Tree], common: Common,
            findings: list[Finding]) -> tuple[Tree, Pack | None]:
    tree, retired = _read(name, layers, SECTIONS, findings)
    compose(tree, templates, retired, findings)
    try:
        pack = Pack.model_validate(tree.values)
    except ValidationError as error:
        findings += _with_near_ids(findings_of(error, Pack, tree), tree, name, layers)
        return tree, None
    if pack.family.id != name:
        findings.append(Finding(tree.spot(("family", "id")), f"write id: {name}, the name of the folder"))
    findings += check_pack(pack, tree, common)
    return tree, pack


def unread(folder: Path) -> list[Finding]:
    """Files of a folder that look like packs and are not read: another ending, or beside the folders of families."""
    found = [Finding(Spot(file, 1), f"not read: rename it to {file.stem}.yaml")
             for file in sorted((*folder.glob("*.yml"), *folder.glob("*/*.yml")))]
    inside = layer(folder)
    if folder not in inside.values() and folder.resolve().name not in inside:
        found += [Finding(Spot(file, 1), "not read: move it into the folder of the family that it is about")
                  for file in sorted(folder.glob("*.yaml"))]
    return found


def _no_family(name: str, layers: Sequence[Layer]) -> Finding | None:
    """A folder that changes a family which is not there: its name has a slip, or it is not a family's."""
    if name in layers[0]:
        return None
    read = [read_yaml(file) for one in layers if name in one for file in one[name].glob("*.yaml")]
    if any(noticed or "family" in tree.values for tree, noticed in read):
        return None
    folder = next(one[name] for one in layers if name in one)
    near = nearest(name, set(layers[0]) - {COMMON})
    return Finding(Spot(folder, 1), f"no family '{name}'{near}. Name the folder after the family that it changes; a "
                                    "new one needs a section 'family'")


def _with_near_ids(found: list[Finding], tree: Tree, name: str, layers: Sequence[Layer]) -> list[Finding]:
    """An entry of a firm's folder that lacks keys and whose id is nearly one of ours: the id has a slip."""
    having = [one for one in layers if name in one]
    if len(having) < 2:
        return found
    ours, _ = _read(name, having[:-1], SECTIONS, [])
    slips = {tree.spot((section, key)): (section, str(key), near) for section, entries in tree.values.items()
             if isinstance(entries, dict) for key in entries
             if key not in ours.values.get(section, {}) and (near := _misspelt(str(key), ours.values.get(section, {})))}
    lacking = [finding for finding in found if finding.spot in slips and finding.message.endswith(LACKS)]
    said = [Finding(spot, f"{section}.{key}: no '{key}' of ours to change: nearest is '{near}'. A new one needs "
                          + ", ".join(one.message.split("'")[1] for one in lacking if one.spot == spot))
            for spot, (section, key, near) in slips.items() if any(one.spot == spot for one in lacking)]
    return [*said, *(finding for finding in found if finding not in lacking)]


def _misspelt(key: str, known: Iterable[str]) -> str | None:
    near = process.extractOne(key, list(known), scorer=fuzz.ratio, score_cutoff=A_SLIP)
    return str(near[0]) if near else None


def _common(tree: Tree, findings: list[Finding]) -> Common:
    """The tools and appliances of no family. A wrong entry is left out and named, the others stay."""
    try:
        return Common.model_validate(tree.values)
    except ValidationError as error:
        findings += findings_of(error, Common, tree)
        wrong = {tuple(item["loc"][:2]) for item in error.errors(include_url=False)}
    kept = {section: {key: entry for key, entry in entries.items() if (section, key) not in wrong}
            for section, entries in tree.values.items() if isinstance(entries, dict)}
    return Common.model_validate(kept)


def _read(name: str, layers: Sequence[Layer], sections: Sequence[str],
          findings: list[Finding]) -> tuple[Tree, dict[str, set[str]]]:
    """The merged files of one family and what was retired. In one folder an entry stands once; later lie on top."""
    whole = Tree({}, {})
    retired: dict[str, set[str]] = {}
    for folder in (one[name] for one in layers if name in one):
        top = Tree({}, {})
        for file in sorted(folder.glob("*.yaml")):
            tree, noticed = read_yaml(file)
            findings.extend(noticed)
            _add_file(top, tree, sections, findings)
        whole.spots.setdefault((), Spot(folder, 1))
        _lay_over(whole, top, retired, findings)
    return whole, retired


def _add_file(top: Tree, tree: Tree, sections: Sequence[str], findings: list[Finding]) -> None:
    for section, entries in tree.values.items():
        if section not in (*sections, "retire"):
            message = f"unknown section '{section}'{nearest(section, sections)}; sections are {', '.join(sections)}"
            findings.append(Finding(tree.spot((section,)), message))
            continue
        if not isinstance(entries, dict):
            findings.append(Finding(tree.spot((section,)), f"'{section}' holds entries, each with an id as its key"))
            continue
        here = top.values.setdefault(section, {})
        for key, value in entries.items():
            if key in here:
                first = top.spot((section, key))
                findings.append(Finding(tree.spot((section, key)), f"'{key}' stands already in {first}: keep one"))
            here[key] = value
    for place, spot in tree.spots.items():
        top.spots.setdefault(place, spot)


def _lay_over(whole: Tree, top: Tree, retired: dict[str, set[str]], findings: list[Finding]) -> None:
    retire: dict[str, Any] = top.values.pop("retire", {})
    findings += _shared_repairs(whole, top)
    whole.values = merge_entry(whole.values, top.values)
    whole.spots.update(top.spots)
    for section, ids in retire.items():
        spot = top.spot(("retire", section))
        if not isinstance(ids, list):
            findings.append(Finding(spot, f"write a list: {section}: [{ids if ids else 'id'}]"))
            continue
        entries = whole.values.get(section)
        for key in map(str, ids):
            if not isinstance(entries, dict) or key not in entries:
                findings.append(Finding(spot, f"no '{key}' to retire in {section}{nearest(key, entries or ())}"))
                continue
            del entries[key]
            retired.setdefault(section, set()).add(key)


def _shared_repairs(whole: Tree, top: Tree) -> list[Finding]:
    """Single keys laid over a repair that stands under `repairs`, for several faults: taken out, and where to write."""
    found = []
    below, above = whole.values.get("faults", {}), top.values.get("faults", {})
    for key, fault in above.items():
        own = fault.get("repair") if isinstance(fault, dict) else None
        shared = below[key].get("repair") if isinstance(below.get(key), dict) else None
        if isinstance(own, dict) and isinstance(shared, str) and not set(own) >= REPAIR:
            del fault["repair"]
            found.append(Finding(top.spot(("faults", key, "repair")), f"faults.{key}.repair: that repair is shared: "
                                 f"change it under repairs, as '{shared}', or write one of its own with all of "
                                 + ", ".join(sorted(REPAIR))))
    return found


def main() -> int:
    """`python -m knowledge.loader [FAMILY ...]`: print what is to mend; exit 1 if any is an error."""
    loaded = load(families=sys.argv[1:] or None)
    for finding in loaded.findings:
        print(finding)
    for name, pack in loaded.knowledge.packs.items():
        print(f"{name}: {len(pack.complaints)} complaints, {len(pack.faults)} faults, {len(pack.checks)} checks")
    return 1 if loaded.errors else 0


if __name__ == "__main__":
    raise SystemExit(main())
