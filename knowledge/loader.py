"""From folders of YAML to validated packs: reading, composing from templates, overlays, validation.

A knowledge folder holds `common/*.yaml` (tools, handoff_only, templates) and one folder a family. Later folders
lie on top of earlier ones: a firm's overlay adds entries, overrides single keys and retires entries
(`retire: {checks: [id, ...]}`), and our updates leave it alone.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path
from typing import Any, Final, TypeVar

from pydantic import ValidationError

from knowledge.schema import Common, Knowledge, Pack
from knowledge.source import Finding, Place, Spot, Tree, merge_entry, read_yaml
from knowledge.structure import check_pack
from knowledge.validation import findings_of

SECTIONS: Final = ("family", "complaints", "covers", "faults", "repairs", "checks")
COMMON_SECTIONS: Final = ("tools", "handoff_only", "templates")
COMMON: Final = "common"
M = TypeVar("M", Pack, Common)


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


def load(folders: Sequence[Path] = (), *, families: Iterable[str] | None = None) -> Loaded:
    """All packs of our own folder and of `folders` on top. A family with errors is left out, the others load."""
    roots = [packs_folder(), *folders]
    findings: list[Finding] = []
    common = _read_sections([root / COMMON for root in roots], COMMON_SECTIONS, findings)
    templates = common.values.pop("templates", {})
    packs: dict[str, Pack] = {}
    trees: dict[str, Tree] = {COMMON: common}
    shared = _validated(Common, common, findings)
    for name in sorted(_family_names(roots)):
        if families is not None and name not in families:
            continue
        tree = _read_sections([root / name for root in roots], SECTIONS, findings)
        _compose(tree, templates, common.spots, findings)
        trees[name] = tree
        pack = _validated(Pack, tree, findings)
        if pack is None:
            continue
        noticed = check_pack(pack, tree, shared or Common())
        findings.extend(noticed)
        if not any(finding.error for finding in noticed):
            packs[name] = pack
    return Loaded(Knowledge(packs=packs, common=shared or Common()), tuple(findings), trees)


def _family_names(roots: Sequence[Path]) -> set[str]:
    return {f.name for root in roots if root.is_dir() for f in root.iterdir()
            if f.is_dir() and f.name != COMMON and any(f.glob("*.yaml"))}


def _read_sections(folders: Sequence[Path], sections: Sequence[str], findings: list[Finding]) -> Tree:
    """The merged files of one family. Within a folder an entry stands once; a later folder lies on top."""
    whole = Tree({}, {})
    for folder in folders:
        layer = Tree({}, {})
        for file in sorted(folder.glob("*.yaml")):
            tree, noticed = read_yaml(file)
            findings.extend(noticed)
            _add_file(layer, tree, sections, findings)
        _lay_over(whole, layer, findings)
    if not whole.spots and folders:
        whole.spots[()] = Spot(folders[0], 1)
    return whole


def _add_file(layer: Tree, tree: Tree, sections: Sequence[str], findings: list[Finding]) -> None:
    for section, entries in tree.values.items():
        if section not in (*sections, "retire"):
            names = ", ".join(sections)
            findings.append(Finding(tree.spot((section,)), f"unknown section '{section}': write one of {names}"))
            continue
        if not isinstance(entries, dict):
            findings.append(Finding(tree.spot((section,)), f"'{section}' holds entries, each with an id as its key"))
            continue
        here = layer.values.setdefault(section, {})
        for key, value in entries.items():
            if key in here and section != "retire":
                first = layer.spot((section, key))
                findings.append(Finding(tree.spot((section, key)), f"'{key}' stands already in {first}: keep one"))
            here[key] = value
    for place, spot in tree.spots.items():
        layer.spots.setdefault(place, spot)


def _lay_over(whole: Tree, layer: Tree, findings: list[Finding]) -> None:
    retire = layer.values.pop("retire", {})
    whole.values = merge_entry(whole.values, layer.values)
    whole.spots.update(layer.spots)
    for section, ids in retire.items():
        for key in ids or []:
            if whole.values.get(section, {}).pop(key, None) is None:
                findings.append(Finding(layer.spot(("retire", section)), f"no '{key}' to retire in {section}"))


def _compose(tree: Tree, templates: dict[str, Any], spots: dict[Place, Spot], findings: list[Finding]) -> None:
    """Entries with `from:` take over the template's keys under their own; `{appliance}` becomes the name."""
    family = tree.values.get("family")
    name = str(family.get("name", "machine")) if isinstance(family, dict) else "machine"
    for section in ("complaints", "covers", "faults", "repairs", "checks"):
        for key, entry in (tree.values.get(section) or {}).items():
            if isinstance(entry, dict) and "from" in entry:
                tree.values[section][key] = _from_template((section, key), entry, tree, templates, spots, findings)
    tree.values = _named(tree.values, name)


def _from_template(place: tuple[str, str], entry: dict[str, Any], tree: Tree, templates: dict[str, Any],
                   spots: dict[Place, Spot], findings: list[Finding]) -> dict[str, Any]:
    own = {k: v for k, v in entry.items() if k != "from"}
    source = str(entry["from"])
    if source not in templates:
        from rapidfuzz.process import extractOne  # noqa: PLC0415  only wanted for a hint

        near = extractOne(source, list(templates))
        hint = f": nearest is '{near[0]}'" if near else ""
        findings.append(Finding(tree.spot((*place, "from")), f"no template '{source}'{hint}"))
        return own
    base = dict(templates[source])
    if "from" in base:
        base = _from_template(place, base, tree, templates, spots, findings)
    for spot_place, spot in spots.items():
        if spot_place[:2] == ("templates", source):
            tree.spots.setdefault((*place, *spot_place[2:]), spot)
    merged: dict[str, Any] = merge_entry(base, own)
    return merged


def _named(value: Any, appliance: str) -> Any:
    if isinstance(value, dict):
        return {k: _named(v, appliance) for k, v in value.items()}
    if isinstance(value, list):
        return [_named(v, appliance) for v in value]
    return value.replace("{appliance}", appliance) if isinstance(value, str) else value


def _validated(model: type[M], tree: Tree, findings: list[Finding]) -> M | None:
    try:
        return model.model_validate(tree.values)
    except ValidationError as error:
        findings.extend(findings_of(error, model, tree))
        return None


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
