"""YAML files as nested values that know where they stand, so that every finding can name file and line."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

import yaml
from rapidfuzz.process import extractOne

from knowledge.nodes import nodes_of

Place = tuple[str | int, ...]
"""The keys that lead to a value, from the top of a pack."""

_NUMBER: Final = re.compile(r"(?P<int>[-+]?\d+)|[-+]?(\d+\.\d*|\.\d+|\d+)([eE][-+]?\d+)?")
_LITERALS: Final[dict[str, object]] = {"true": True, "false": False, "null": None, "~": None, "": None}
_DEEPEST: Final = 12
"""Levels of nesting; packs need six. More is a slip, or an alias that holds itself."""


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
        """One line, whatever stands in the value that it quotes."""
        said = self.message.replace("\n", "\\n")
        return f"{self.spot}: {'' if self.error else 'warning: '}{said}"


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


def nearest(word: str, known: Iterable[str], otherwise: str = "") -> str:
    """A hint for the end of a message: the known id that looks most like `word`, else `otherwise`."""
    near = extractOne(word, list(known), score_cutoff=60)
    return f": nearest is '{near[0]}'" if near else otherwise


def read_yaml(file: Path) -> tuple[Tree, list[Finding]]:
    """One file. Broken YAML and repeated keys are findings; what could be read comes with them."""
    empty = Tree({}, {(): Spot(file, 1)})
    try:
        node = nodes_of(file.read_text(encoding="utf-8"))
    except (yaml.YAMLError, UnicodeDecodeError, OSError, RecursionError) as error:
        return empty, [_unread(file, error)]
    if node is None:
        return empty, []
    if not isinstance(node, yaml.MappingNode):
        return empty, [Finding(Spot(file, 1), "write sections here, such as 'checks:', each with its entries")]
    reader = _Reader(file, {}, [])
    return Tree(reader.value(node, ()), reader.spots), reader.findings


def _unread(file: Path, error: Exception) -> Finding:
    if isinstance(error, yaml.MarkedYAMLError):
        mark = error.problem_mark or error.context_mark
        hint = "indent with spaces and put text that holds ': ' or '#' in quotes"
        return Finding(Spot(file, mark.line + 1 if mark else 1), f"not valid YAML, {error.problem}: {hint}")
    if isinstance(error, RecursionError):
        return Finding(Spot(file, 1), "nested far too deeply: close every bracket")
    if isinstance(error, OSError):
        return Finding(Spot(file, 1), f"cannot be read: {error.strerror or error}")
    return Finding(Spot(file, 1), f"cannot be read as UTF-8 YAML: {' '.join(str(error).split())}")


@dataclass(slots=True)
class _Reader:
    """Walks the nodes of one file and notes where everything stands."""

    file: Path
    spots: dict[Place, Spot]
    findings: list[Finding]
    _lines: dict[int, Spot] = field(default_factory=dict)

    def _spot(self, node: yaml.Node) -> Spot:
        """Where the node begins; the same spot for all of one line, of which there are many."""
        line = node.start_mark.line + 1
        return self._lines.get(line) or self._lines.setdefault(line, Spot(self.file, line))

    def value(self, node: yaml.Node, place: Place) -> Any:
        """The node as a plain value."""
        if place not in self.spots:
            self.spots[place] = self._spot(node)
        if len(place) > _DEEPEST:
            self.findings.append(Finding(self._spot(node), "nested too deeply: write it flatter"))
            return None
        if isinstance(node, yaml.MappingNode):
            return self._mapping(node, place)
        if isinstance(node, yaml.SequenceNode):
            return [self.value(item, (*place, i)) for i, item in enumerate(node.value)]
        return _scalar(node.value, plain=not getattr(node, "style", None))  # libyaml writes "", PyYAML None

    def _mapping(self, node: yaml.MappingNode, place: Place) -> dict[str, Any]:
        mapping: dict[str, Any] = {}
        for key_node, value_node in node.value:
            key = str(key_node.value)
            spot, inner = self._spot(key_node), (*place, key)
            if key in mapping:
                self.findings.append(Finding(spot, f"'{key}' stands here twice: keep one"))
            self.spots[inner] = spot
            mapping[key] = self.value(value_node, inner)
        return mapping


def _scalar(text: str, *, plain: bool) -> Any:
    """YAML 1.2's rules: 'off', 'on', 'yes' and 'no' are words here, not truth values."""
    if not plain:
        return text
    if text in _LITERALS:
        return _LITERALS[text]
    number = _NUMBER.fullmatch(text)
    if number is None:
        return text
    return int(text) if number["int"] and len(text) < 20 else float(text)


def merge_entry(base: Any, own: Any) -> Any:
    """`own` on top of `base`: mappings key by key, anything else replaces (null too: it removes, see compose).

    `add: [...]` in the place of a list puts its items after those of the list that is there.
    """
    if not isinstance(own, dict):
        return own
    if set(own) == {"add"} and isinstance(own["add"], list) and isinstance(base, list | None):
        return [*(base or ()), *own["add"]]
    if base is not None and not isinstance(base, dict):
        return own
    under = base or {}
    return {**under, **{key: merge_entry(under.get(key), value) for key, value in own.items()}}
