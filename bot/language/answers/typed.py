"""What techs have typed in answer to checks: `data/answers.tsv`, a line each of families, check, result, words."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from importlib.resources import files
from itertools import groupby
from pathlib import Path
from typing import Final

NO_RESULT: Final = ("cannot", "unsure", "other")
"""Answers that name no result: cannot be done, cannot be told, and talk about something else."""


def typed_for(family: str, check: str) -> Mapping[str, Sequence[str]]:
    """Result of a check -> what was typed for it. Only the lines of that check are read."""
    found: dict[str, list[str]] = {}
    with _file().open("rb") as file:
        for start, length in lines_of_checks().get((family, check), ()):
            file.seek(start)
            for line in file.read(length).decode().splitlines():
                _, _, result, words = line.split("\t")
                found.setdefault(result, []).append(words)
    return found


def answered_checks() -> Iterator[tuple[str, str]]:
    """(family, check) of all that is known to be typed."""
    yield from lines_of_checks()


@cache
def lines_of_checks() -> Mapping[tuple[str, str], Sequence[tuple[int, int]]]:
    """Where in the file the lines of each check stand (they are sorted): first byte, bytes."""
    spots: dict[tuple[str, str], list[tuple[int, int]]] = defaultdict(list)
    place = 0
    with _file().open("rb") as file:
        for (families, check), lines in groupby(file, key=lambda line: tuple(line.split(b"\t", 2)[:2])):
            length = sum(map(len, lines))
            for family in families.decode().split():
                spots[family, check.decode()].append((place, length))
            place += length
    return dict(spots)


@cache
def _file() -> Path:
    return Path(str(files("bot.language").joinpath("data", "answers.tsv")))
