"""YAML as nodes. What type a plain scalar has, whoever reads the nodes decides, so no tags are worked out for them."""

from __future__ import annotations

from typing import Any

import yaml

_Loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class _Untagged(_Loader):  # type: ignore[misc]
    """Half of the time goes into tags otherwise."""

    def resolve(self, kind: object, value: object, implicit: object) -> str:
        return ""

    def descend_resolver(self, current: object, index: object) -> None:
        pass

    def ascend_resolver(self) -> None:
        pass


def nodes_of(text: str) -> yaml.Node | None:
    """The top node of a document; None for an empty one. Raises YAMLError."""
    node: yaml.Node | None = yaml.compose(text, Loader=_Untagged)
    return node


def plain(node: yaml.Node) -> Any:
    """A node as mappings, lists and strings."""
    if isinstance(node, yaml.MappingNode):
        return {key.value: plain(value) for key, value in node.value}
    if isinstance(node, yaml.SequenceNode):
        return [plain(item) for item in node.value]
    return node.value
