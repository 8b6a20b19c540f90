"""What the last few texts came to: one line of a person is read, weighed and answered for many who ask."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import TypeVar

Key = TypeVar("Key", bound=Hashable)
Value = TypeVar("Value")


def recent(kept: dict[Key, Value], key: Key, most: int, work: Callable[[], Value]) -> Value:
    """What is kept for a key, or comes of the work, which must not be None; when `most` are kept all are let go."""
    found = kept.get(key)
    if found is None:
        if len(kept) >= most:
            kept.clear()
        found = kept[key] = work()
    return found
