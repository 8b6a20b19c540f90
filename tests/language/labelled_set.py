"""The labelled messages. The frozen third stays out unless it is asked for by name."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parent / "labelled"


def is_frozen(text: str) -> bool:
    """True for the third that is scored only at the end."""
    return hashlib.sha256(text.encode()).digest()[0] % 3 == 0


def rows(name: str, *, frozen: bool = False) -> list[dict[str, Any]]:
    """The open two thirds of a file ('technicians', 'public', 'readings'), or only its frozen third."""
    lines = (FOLDER / f"{name}.jsonl").read_text("utf-8").splitlines()
    return [row for row in map(json.loads, filter(None, lines)) if is_frozen(row["text"]) is frozen]
