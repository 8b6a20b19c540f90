"""The labelled messages. The frozen set stays out unless it is asked for by name."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

FOLDER = Path(__file__).parent / "labelled"
OPEN = tuple(f.stem for f in sorted(FOLDER.glob("*.jsonl"))
             if "readings" not in f.stem and "answers" not in f.stem and not f.stem.startswith("frozen"))
"""Messages to learn from and to look at."""
OPEN_READINGS = ("readings", "second_readings", "more_readings", "third_readings", "fourth_readings", "spent_readings",
                 "fifth_readings", "sixth_readings", "seventh_readings", "eighth_readings", "ninth_readings")
OF_ALL_KINDS = ("answers_many", "answers_voices")
COMPARED_WITH = (*OF_ALL_KINDS, "answers_newer", "answers_met", "answers_crew")
"""Typed answers to checks that others are compared with, ..."""
WEIGHED_BY = ("answers_other", "answers_crew_apart")
"""... and those, by other writers, by which the comparisons are weighed."""
FROZEN, FROZEN_READINGS = "frozen", "frozen_readings"
FROZEN_ANSWERS = ("frozen_answers", "frozen_newer_answers", "frozen_fresh_answers")
"""Scored as a whole, at the end of a round of work; nothing is learned from them."""


def rows(name: str) -> list[dict[str, Any]]:
    """The labelled messages of a file ('technicians', 'public', 'readings', ...)."""
    lines = (FOLDER / f"{name}.jsonl").read_text("utf-8").splitlines()
    return list(map(json.loads, filter(None, lines)))
