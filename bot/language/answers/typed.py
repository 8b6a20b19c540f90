"""What techs have typed in answer to checks: `data/answers.tsv`, a line each of families, check, result, words."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from importlib.resources import files
from typing import Final

NO_RESULT: Final = ("cannot", "unsure", "other")
"""Answers that name no result: cannot be done, cannot be told, and talk about something else."""


def typed_for(family: str, check: str) -> Mapping[str, Sequence[str]]:
    """Result of a check -> what was typed for it. Only the lines of that check are taken apart."""
    found: dict[str, list[str]] = {}
    text, lines = lines_of_checks()
    for start, end in lines.get((family, check), ()):
        for line in text[start:end].splitlines():
            _, _, result, words = line.split("\t")
            found.setdefault(result, []).append(words)
    return found


def answered_checks() -> Iterator[tuple[str, str]]:
    """(family, check) of all that is known to be typed."""
    yield from lines_of_checks()[1]


@cache
def lines_of_checks() -> tuple[str, Mapping[tuple[str, str], Sequence[tuple[int, int]]]]:
    """The file as it is, and where in it the lines of each check stand (they are sorted)."""
    text = files("bot.language").joinpath("data", "answers.tsv").read_text("utf-8")
    spots: dict[tuple[str, str], list[tuple[int, int]]] = defaultdict(list)
    for block in re.finditer(r"^([^\t]*)\t([^\t]*)\t.*\n(?:\1\t\2\t.*\n)*", text, re.MULTILINE):
        for family in block[1].split():
            spots[family, block[2]].append(block.span())
    return text, dict(spots)
