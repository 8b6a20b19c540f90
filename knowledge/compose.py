"""From the merged sections of a family to plain entries: templates, nulls, retired ids, the appliance's name."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any, Final

from knowledge.source import Finding, Tree, merge_entry, nearest

SECTIONS: Final = ("complaints", "covers", "faults", "repairs", "checks")
Retired = Mapping[str, Collection[str]]
"""Section -> ids that an overlay took out of it."""


def templates_of(common: Tree) -> dict[str, Tree]:
    """The templates by name, taken out of the common entries, each with the spots inside it."""
    found = {name: Tree(values, {}) for name, values in common.values.pop("templates", {}).items()}
    for place, spot in common.spots.items():
        if len(place) > 1 and place[0] == "templates" and str(place[1]) in found:
            found[str(place[1])].spots[place[2:]] = spot
    return found


def compose(tree: Tree, templates: Mapping[str, Tree], retired: Retired, findings: list[Finding]) -> None:
    """Make `tree` ready for validation.

    Entries with `from:` take over the template's keys under their own. A key set to null is removed. What referred
    to a retired entry is dropped. `{appliance}` becomes the family's name.
    """
    for section in SECTIONS:
        entries = tree.values.get(section)
        if isinstance(entries, dict):
            for key, entry in entries.items():
                if isinstance(entry, dict) and "from" in entry:
                    entries[key] = _from_template((section, key), entry, (), tree, templates, findings)
    family = tree.values.get("family")
    name = str(family.get("name", "machine")) if isinstance(family, dict) else "machine"
    if isinstance(family, dict):
        tree.values["family"] = _without_nulls(family)
    tree.values = {section: {key: _named(_without_nulls(entry), name) for key, entry in entries.items()}
                   for section, entries in tree.values.items()}
    if retired:
        _drop_references(tree.values, retired)


def _from_template(place: tuple[str, str], entry: dict[str, Any], chain: tuple[str, ...], tree: Tree,
                   templates: Mapping[str, Tree], findings: list[Finding]) -> dict[str, Any]:
    own = {key: value for key, value in entry.items() if key != "from"}
    source = str(entry["from"])
    template = templates.get(source)
    base: Any = template.values if template is not None else None
    if template is None or not isinstance(base, dict):
        message = f"no template '{source}'{nearest(source, templates)}"
        findings.append(Finding(tree.spot((*place, "from")), message))
        return own
    if source in chain:
        message = f"template '{source}' is made from itself: {' -> '.join((*chain, source))}"
        findings.append(Finding(template.spot(()), message))
        return own
    for inside, spot in template.spots.items():
        tree.spots.setdefault((*place, *inside), spot)
    if "from" in base:
        base = _from_template(place, base, (*chain, source), tree, templates, findings)
    merged: dict[str, Any] = merge_entry(base, own)
    return merged


def _without_nulls(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _without_nulls(inner) for key, inner in value.items() if inner is not None}
    return value


def _named(value: Any, appliance: str) -> Any:
    if isinstance(value, dict):
        return {key: _named(inner, appliance) for key, inner in value.items()}
    if isinstance(value, list):
        return [_named(inner, appliance) for inner in value]
    return value.replace("{appliance}", appliance) if isinstance(value, str) else value


def _drop_references(values: dict[str, Any], retired: Retired) -> None:
    """What a firm retires leaves no row behind: likelihoods, `shows`, menus and root causes that named it."""
    gone = {section: set(retired.get(section, ())) for section in SECTIONS}
    for complaint in _entries(values, "complaints"):
        _keep(complaint.get("without"), gone["complaints"])
        _keep(complaint.get("works_without"), gone["complaints"])
    for fault in _entries(values, "faults"):
        _keep(fault.get("shows"), gone["complaints"])
        _keep(fault.get("checks"), gone["checks"])
        causes = fault.get("root_causes")
        if isinstance(causes, list):
            causes[:] = [c for c in causes if not (isinstance(c, dict) and c.get("check") in gone["checks"])]
    for check in _entries(values, "checks"):
        _keep(check.get("likelihoods"), gone["faults"])
        for key in ("unless", "needless", "presumes"):
            _keep(check.get(key), gone["complaints"])
        for result in (check.get("results") or {}).values() if isinstance(check.get("results"), dict) else ():
            if isinstance(result, dict):
                _keep(result.get("complaints"), gone["complaints"])
                _keep(result.get("lifts"), gone["complaints"])
                _keep(result.get("moots"), gone["checks"])
    family = values.get("family")
    for item in (family.get("menu") or ()) if isinstance(family, dict) else ():
        if isinstance(item, dict):
            _keep(item.get("complaints"), gone["complaints"])


def _entries(values: dict[str, Any], section: str) -> list[dict[str, Any]]:
    entries = values.get(section)
    return [entry for entry in entries.values() if isinstance(entry, dict)] if isinstance(entries, dict) else []


def _keep(names: object, gone: Collection[str]) -> None:
    """Take the `gone` ids out of a mapping or list, in place."""
    if isinstance(names, dict):
        for key in gone:
            names.pop(key, None)
    elif isinstance(names, list):
        names[:] = [name for name in names if name not in gone]
