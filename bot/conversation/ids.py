"""Ids that follow from what caused them, so that a step run twice makes the same ones."""

from __future__ import annotations

from hashlib import blake2b


def derive(*parts: object) -> str:
    """A 20-character id from `parts` (an event's id first, then what tells this one from its siblings)."""
    return blake2b("\x1f".join(str(part) for part in parts).encode(), digest_size=10).hexdigest()
