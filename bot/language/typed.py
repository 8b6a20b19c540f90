"""What techs have typed in answer to checks: `data/answers.tsv`, a line each of families, check, result, words.

Under TALK stand the questions that every visit has, such as how the proof went, with the values of their choices.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from functools import cache
from importlib.resources import files
from typing import Final

Typed = Mapping[tuple[str, str], Mapping[str, Sequence[str]]]
TALK: Final = "talk"
NO_RESULT: Final = ("cannot", "unsure", "other")
"""Answers that name no result: cannot be done, cannot be told, and talk about something else."""


@cache
def typed() -> Typed:
    """(family, check) -> result, or one of NO_RESULT -> answers."""
    found: dict[tuple[str, str], dict[str, list[str]]] = defaultdict(lambda: defaultdict(list))
    text = files("bot.language").joinpath("data", "answers.tsv").read_text("utf-8")
    for line in text.splitlines():
        families, check, result, words = line.split("\t")
        for family in families.split():
            found[family, check][result].append(words)
    return {spot: dict(said) for spot, said in found.items()}
