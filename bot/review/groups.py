"""Messages that were not understood, grouped by likeness."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from rapidfuzz import fuzz, process

from bot.store.review_rows import Unheard

ALIKE: Final = 72
"""Token-sort likeness (0..100) from which two messages belong together."""
LONGEST: Final = 300
"""Letters that are compared: likeness of longer texts says little and takes long."""
_FIGURE: Final = re.compile(
    r"\d[\d.,:/]*\s*(k|m|µ|u)?(ohms?|Ω|v|volts?|a|amps?|w|watts?|°?[cf]|degrees|%|hz|in|psi)?(?!\w)", re.IGNORECASE)
_WORD: Final = re.compile(r"[^\W\d_]{3,}")


@dataclass(frozen=True, slots=True)
class Group:
    """Messages that say about the same, the newest first."""

    family: str | None
    messages: tuple[Unheard, ...]

    @property
    def first(self) -> Unheard:
        """The one that stands for all."""
        return self.messages[0]

    @property
    def wordable(self) -> bool:
        """Whether there are words in it that could be given a meaning: a number, with its unit or without, has none."""
        return _WORD.search(_FIGURE.sub(" ", self.first.text)) is not None


def groups(messages: Sequence[Unheard]) -> tuple[Group, ...]:
    """Each message joins the likest group of its family, if one is like enough; largest groups first.

    Those without words to give a meaning to come last.
    """
    heads: dict[str | None, list[str]] = {}
    members: dict[str | None, list[list[Unheard]]] = {}
    for message in messages:
        text = " ".join(message.text.lower().split())[:LONGEST]
        known, those = heads.setdefault(message.family, []), members.setdefault(message.family, [])
        near = process.extractOne(text, known, scorer=fuzz.token_sort_ratio, score_cutoff=ALIKE) if known else None
        if near is not None:
            those[near[2]].append(message)
        else:
            known.append(text)
            those.append([message])
    found = [Group(family, tuple(each)) for family, those in members.items() for each in those]
    return tuple(sorted(found, key=lambda group: (not group.wordable, -len(group.messages),
                                                  -group.first.at.timestamp())))
