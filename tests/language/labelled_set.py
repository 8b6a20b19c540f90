"""The labelled messages. The second set stays out unless it is asked for by name."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parent / "labelled"
SECOND = {"technicians": "second", "readings": "second_readings"}
"""What the frozen messages are called; there is no second set of the public's."""


def rows(name: str, *, frozen: bool = False) -> list[dict[str, Any]]:
    """The open messages of a file ('technicians', 'public', 'readings'), or those of the second, frozen set."""
    if frozen and name not in SECOND:
        return []
    lines = (FOLDER / f"{SECOND[name] if frozen else name}.jsonl").read_text("utf-8").splitlines()
    return list(map(json.loads, filter(None, lines)))
