"""Reading data/frames.yaml: grammar-like patterns of concepts for the complaints of each family."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from itertools import product
from typing import Final

from bot.language.words.lexicon import data

GROUPS: Final = {"washers": ("top_load_washer", "front_load_washer")}


@cache
def frames() -> dict[str, dict[str, tuple[tuple[str, ...], ...]]]:
    """Family or 'shared' -> complaint -> frames; a frame is the keys ('spin', 'spin-') that it needs."""
    return _read({g: c for g, c in data("frames").items() if g != "works"})


@cache
def works() -> dict[str, dict[str, tuple[tuple[str, ...], ...]]]:
    """The frames that say that a complaint is absent."""
    return _read(data("frames")["works"])


@cache
def sayings() -> dict[str, dict[str, list[str]]]:
    """Family -> complaint -> whole phrases, beside those of the packs."""
    return {f: dict(c) for f, c in data("sayings").items()}


def _read(groups: Mapping[str, Mapping[str, list[str]]]) -> dict[str, dict[str, tuple[tuple[str, ...], ...]]]:
    read: dict[str, dict[str, tuple[tuple[str, ...], ...]]] = {}
    for group, complaints in groups.items():
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


def frames_for(family: str, complaint: str, *, absent: bool = False) -> tuple[tuple[str, ...], ...]:
    """The frames of one complaint in one family, the shared ones included; `absent`: those that deny it."""
    read = works() if absent else frames()
    return read.get(family, {}).get(complaint, ()) + read.get("shared", {}).get(complaint, ())
