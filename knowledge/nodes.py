"""YAML as nodes. What type a plain scalar has, whoever reads the nodes decides, so no tags are worked out for them."""

from __future__ import annotations

from typing import Any

import yaml


def untagged(loader: Any) -> Any:
    """A loader of PyYAML that gives nodes without tags: half of the time goes into them otherwise."""

    class Untagged(loader):  # type: ignore[misc]
        def resolve(self, kind: object, value: object, implicit: object) -> str:
            return ""

        def descend_resolver(self, current: object, index: object) -> None:
            pass

        def ascend_resolver(self) -> None:
            pass

    return Untagged


_Loader: Any = untagged(getattr(yaml, "CSafeLoader", yaml.SafeLoader))


def nodes_of(text: str) -> yaml.Node | None:
    """The top node of a document; None for an empty one. Raises YAMLError."""
    node: yaml.Node | None = yaml.compose(text, Loader=_Loader)
    return node


def plain(node: yaml.Node) -> Any:
    """A node as mappings, lists and strings."""
    if isinstance(node, yaml.MappingNode):
        return {key.value: plain(value) for key, value in node.value}
    if isinstance(node, yaml.SequenceNode):
        return [plain(item) for item in node.value]
    return node.value
