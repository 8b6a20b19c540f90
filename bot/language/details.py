"""What a complaint tells of itself: 'leaks when it drains' answers at which step it leaks, before anybody asks."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Final

from bot.language.about import stems
from bot.language.answers import answer
from bot.language.index import Index
from bot.language.likeness import own_words
from bot.language.meaning import HeardResult
from knowledge.schema import Check

BEYOND_DOUBT: Final = 0.93
"""How sure words have to be that answer what nobody asked. Of 40,000 labelled messages 150 were heard so, all but a
few of them rightly."""
_MOMENT: Final = re.compile(
    r"\b(when|whenever|while|as (it|soon)|soon as|during|once|each time|every time|at once|"
    r"the (second|moment|minute|instant)|right (away|when|as)|straight away|instant|instantly|immediately|"
    r"only (on|in|at|with)|(trips|pops|kicks|stops|quits|cuts out|shuts off) (on|in|at|after)|(leaks|drips) (on|in)|"
    r"restarts|again|cuando|mientras|al (prender|arrancar|encender)|cada vez)\b", re.IGNORECASE)
"""Words that tell of the moment of something."""


def details_in(index: Index, family: str, text: str, complaints: Iterable[str]) -> list[HeardResult]:
    """Answers that the words of a reported complaint give to checks which only take that complaint apart (`told`)."""
    reported = set(complaints)
    if not reported or not _MOMENT.search(text):
        return []
    found = []
    for key, check in index.knowledge.packs[family].checks.items():
        if not check.told:
            continue
        about = {result: reported.intersection(entry.complaints) for result, entry in check.results.items()}
        heard = answer(index, family, key, text) if any(about.values()) else None
        if (heard is not None and heard.result is not None and heard.p >= BEYOND_DOUBT and about[heard.result]
                and stems(text) & _own(check, heard.result)):
            found.append(HeardResult(key, heard.result, heard.p))
    return found


def _own(check: Check, result: str) -> frozenset[str]:
    """Words that the pack has for this result and for no other of the check."""
    said = {name: stems(" ".join(own_words(check, name))) for name in check.results}
    return said[result] - frozenset().union(*(words for name, words in said.items() if name != result))
