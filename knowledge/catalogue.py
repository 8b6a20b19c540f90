"""The coverage contract: a file that fixes which complaints and faults the packs must have."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from knowledge.schema import Pack
from knowledge.source import Finding, Tree, read_yaml


def check_catalogue(file: Path, packs: Mapping[str, Pack], trees: Mapping[str, Tree]) -> list[Finding]:
    """What the contract in `file` asks for and the packs lack: families, variants, complaints, faults, limits."""
    contract, found = read_yaml(file)
    families = contract.values.get("families")
    if not isinstance(families, dict) or not all(isinstance(wanted, dict) for wanted in families.values()):
        if not found:
            message = "no coverage contract: write `families:`, each with its variants, complaints and faults"
            found.append(Finding(contract.spot(("families",)), message))
        return found
    for family, wanted in families.items():
        pack = packs.get(family)
        if pack is None:
            found.append(Finding(contract.spot(("families", family)), f"no usable pack for '{family}'"))
            continue
        found += _missing(family, pack, trees[family], wanted)
        found += _limits(family, pack, trees[family], wanted)
    return found


def check_handoff(file: Path, known: Mapping[str, object]) -> list[Finding]:
    """The appliances that the contract in `file` wants handed off, and that the common packs do not know."""
    contract, _ = read_yaml(file)
    wanted = contract.values.get("handoff_only") or []
    spot = contract.spot(("handoff_only",))
    return [Finding(spot, f"no entry for '{key}' in handoff_only of the common packs")
            for key in wanted if isinstance(wanted, list) and key not in known]


def _missing(family: str, pack: Pack, tree: Tree, wanted: Mapping[str, Any]) -> Iterator[Finding]:
    for section in ("complaints", "faults"):
        have = getattr(pack, section)
        for key in wanted.get(section) or ():
            if key not in have:
                yield Finding(tree.spot((section,)), f"{family}: no entry for '{key}' in {section}")
    for axis, values in (wanted.get("variants") or {}).items():
        have = pack.family.variants[axis].values if axis in pack.family.variants else {}
        for value in values:
            if value not in have:
                yield Finding(tree.spot(("family", "variants", axis)), f"{family}: no variant {axis}: {value}")


def _limits(family: str, pack: Pack, tree: Tree, wanted: Mapping[str, Any]) -> Iterator[Finding]:
    faults = wanted.get("faults")
    for key, limits in (faults if isinstance(faults, dict) else {}).items():
        fault = pack.faults.get(key)
        if fault is None or not isinstance(limits, dict):
            continue
        spot = tree.spot(("faults", key))
        only = {axis: sorted([v] if isinstance(v, str) else v) for axis, v in (limits.get("only") or {}).items()}
        if {axis: sorted(values) for axis, values in fault.only.items()} != only:
            yield Finding(spot, f"{family}: '{key}' must have only: {only or 'nothing'}")
        if bool(fault.licensed) != bool(limits.get("licensed")) or fault.unsafe != bool(limits.get("unsafe")):
            yield Finding(spot, f"{family}: '{key}' differs from the contract in licensed or unsafe")
        if fault.trade != limits.get("trade"):
            yield Finding(spot, f"{family}: '{key}' must have trade: {limits.get('trade')}")
