"""YAML files as nested values that know where they stand, so that every finding can name file and line."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

import yaml

Place = tuple[str | int, ...]
"""The keys that lead to a value, from the top of a pack."""

_INT: Final = re.compile(r"[-+]?\d+")
_FLOAT: Final = re.compile(r"[-+]?(\d+\.\d*|\.\d+|\d+)([eE][-+]?\d+)?")
_LITERALS: Final[dict[str, object]] = {"true": True, "false": False, "null": None, "~": None, "": None}
_Loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(frozen=True, slots=True)
class Spot:
    """A line of a file (1 is the first)."""

    file: Path
    line: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}"


@dataclass(frozen=True, slots=True)
class Finding:
    """Something a pack's author should know."""

    spot: Spot
    message: str
    error: bool = True

    def __str__(self) -> str:
        return f"{self.spot}: {'' if self.error else 'warning: '}{self.message}"


@dataclass(slots=True)
class Tree:
    """Plain values and, for each place in them, the spot it was read from."""

    values: dict[str, Any]
    spots: dict[Place, Spot]

    def spot(self, place: Place) -> Spot:
        """The spot of a place, or of the nearest one around it."""
        for length in range(len(place), -1, -1):
            if found := self.spots.get(place[:length]):
                return found
        return next(iter(self.spots.values()), Spot(Path("?"), 1))


def read_yaml(file: Path, shown: Path | None = None) -> tuple[Tree, list[Finding]]:
    """One file. Broken YAML and repeated keys are findings; what could be read comes with them."""
    shown = shown or file
    empty = Tree({}, {(): Spot(shown, 1)})
    try:
        node = yaml.compose(file.read_text(encoding="utf-8"), Loader=_Loader)
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        line = mark.line + 1 if mark else 1
        hint = "indent with spaces and put text that holds ': ' or '#' in quotes"
        return empty, [Finding(Spot(shown, line), f"not valid YAML, {error.problem}: {hint}")]
    except (yaml.YAMLError, UnicodeDecodeError) as error:
        return empty, [Finding(Spot(shown, 1), f"cannot be read as UTF-8 YAML: {error}")]
    if node is None:
        return empty, []
    if not isinstance(node, yaml.MappingNode):
        return empty, [Finding(Spot(shown, 1), "write sections here, such as 'checks:', each with its entries")]
    findings: list[Finding] = []
    spots: dict[Place, Spot] = {}
    values = _value(node, (), shown, spots, findings)
    return Tree(values, spots), findings


def _value(node: yaml.Node, place: Place, file: Path, spots: dict[Place, Spot], findings: list[Finding]) -> Any:
    spots.setdefault(place, Spot(file, node.start_mark.line + 1))
    if isinstance(node, yaml.MappingNode):
        mapping: dict[str, Any] = {}
        for key_node, value_node in node.value:
            key = str(key_node.value)
            spot = Spot(file, key_node.start_mark.line + 1)
            if key in mapping:
                findings.append(Finding(spot, f"'{key}' stands here twice: keep one"))
            spots[(*place, key)] = spot
            mapping[key] = _value(value_node, (*place, key), file, spots, findings)
        return mapping
    if isinstance(node, yaml.SequenceNode):
        return [_value(item, (*place, i), file, spots, findings) for i, item in enumerate(node.value)]
    return _scalar(node.value, plain=not getattr(node, "style", None))  # libyaml writes "", PyYAML None


def _scalar(text: str, *, plain: bool) -> Any:
    """YAML 1.2's rules: 'off', 'on', 'yes' and 'no' are words here, not truth values."""
    if not plain:
        return text
    if text in _LITERALS:
        return _LITERALS[text]
    if _INT.fullmatch(text):
        return int(text)
    return float(text) if _FLOAT.fullmatch(text) else text


def merge_entry(base: Any, own: Any) -> Any:
    """`own` on top of `base`: mappings key by key, null removes a key, anything else replaces."""
    if not (isinstance(base, dict) and isinstance(own, dict)):
        return own
    merged = dict(base)
    for key, value in own.items():
        if value is None:
            merged.pop(key, None)
        else:
            merged[key] = merge_entry(merged[key], value) if key in merged else value
    return merged
