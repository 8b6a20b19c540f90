"""Reading data/frames.yaml: grammar-like patterns of concepts for the complaints of each family."""

from __future__ import annotations

from functools import cache
from itertools import product
from typing import Final

from bot.language.lexicon import data

GROUPS: Final = {"washers": ("top_load_washer", "front_load_washer")}


@cache
def frames() -> dict[str, dict[str, tuple[tuple[str, ...], ...]]]:
    """Family or 'shared' -> complaint -> frames; a frame is the keys ('spin', 'spin-') that it needs."""
    read: dict[str, dict[str, tuple[tuple[str, ...], ...]]] = {}
    for group, complaints in data("frames").items():
        for family in GROUPS.get(group, (group,)):
            mine = read.setdefault(family, {})
            for complaint, lines in complaints.items():
                mine[complaint] = mine.get(complaint, ()) + tuple(f for line in lines for f in _frames(line))
    return read


def _frames(line: str) -> list[tuple[str, ...]]:
    choices = [[_key(one, part.startswith("-")) for one in part.lstrip("-").split("|")] for part in line.split()]
    return [tuple(chosen) for chosen in product(*choices)]


def _key(concept: str, denied: bool) -> str:
    return concept + "-" if denied else concept


def frames_for(family: str, complaint: str) -> tuple[tuple[str, ...], ...]:
    """The frames of one complaint in one family, the shared ones included."""
    read = frames()
    return read.get(family, {}).get(complaint, ()) + read.get("shared", {}).get(complaint, ())
