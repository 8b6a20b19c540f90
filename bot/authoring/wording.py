"""Texts that a tech reads on a phone: questions that ask, cards that can be read before the first check."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from rapidfuzz import fuzz

from bot.authoring.remarks import Remark
from knowledge.schema import Check, Pack

CARD: Final = 220
"""Characters of a safety card that are read before a job; longer ones are scrolled past. Judgement."""
SAME: Final = 85
"""Likeness (0..100) of two sentences from which one repeats the other."""
_SENTENCES: Final = re.compile(r"(?<=[.?;])\s+")


def wording(pack: Pack) -> Iterator[Remark]:
    """What reads badly."""
    family = pack.family.id
    length = len(" ".join(pack.family.safety_card))
    if length > CARD:
        yield Remark(family, ("family", "safety_card"), "wording", f"the safety card has {length} characters",
                     f"cut it to {CARD}: what kills first, the rest belongs to the checks")
    for key, check in pack.checks.items():
        yield from _check(family, key, check)


def _check(family: str, key: str, check: Check) -> Iterator[Remark]:
    place = ("checks", key, "ask")
    if not check.ask.rstrip().endswith("?"):
        yield Remark(family, place, "wording", "the question does not end as one",
                     "end it with what the tech shall tell, and a question mark")
    for caution in check.cautions:
        said = [s for s in _SENTENCES.split(check.ask) if fuzz.ratio(s.lower(), caution.lower()) >= SAME]
        if said:
            yield Remark(family, place, "wording", f"the question repeats a caution ('{said[0]}')",
                         "leave it to `cautions`, which come first anyway")
    if check.again is not None and fuzz.ratio(check.again, check.ask) >= 95:
        yield Remark(family, ("checks", key, "again"), "wording", "`again` says the same as `ask`",
                     "word it differently: the first words were not understood")
    seen: dict[str, str] = {}
    for rid, result in check.results.items():
        for phrase in (p for said in result.phrases.values() for p in said):
            other = seen.setdefault(phrase.lower(), rid)
            if other != rid:
                yield Remark(family, ("checks", key, "results", rid, "phrases"), "collision",
                             f"'{phrase}' stands under '{other}' too", "keep it where it is meant more often")
