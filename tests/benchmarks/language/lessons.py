"""What the networks learn from: messages, phrases and made-up messages, in numbers.

A meaning of a message is learned half from its label, half from what the teacher (`teacher.py`) says of it, where there
is one; made-up messages have no label, only what the teacher says. Where a label forgives a meaning, the teacher alone
speaks, softly.
"""

from __future__ import annotations

import random
import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, TypeVar

import numpy as np
from numpy.typing import NDArray

from bot.language.dangers.unnamed import LEARNED_HAZARDS
from bot.language.index import Index
from bot.language.learned.order import OTHER
from bot.language.learned.weights import COMMON
from tests.benchmarks.language.examples import Example

SELDOM: Final = 2
"""Words and traits of fewer messages and phrases are left out."""
PHRASE_WEIGHT, MADE_WEIGHT, FORGIVEN_WEIGHT = 0.3, 0.5, 0.3
TAUGHT: Final = 0.5
"""Share of the teacher in what a labelled message says."""
SHORT: Final = 40
"""Words; longer messages are not put together with others."""
LINKS: Final = (", ", ", ", ". ", ". ", " but ", " but ", " and ", " though ", " - ", "\n", " ")
_BREAKS: Final = re.compile(r"(?<=[.;,!?\n])\s+|\s+(?=(?:but|and|though|then|pero)\s)", re.IGNORECASE)
Floats = NDArray[np.float32]
Whole = NDArray[np.int64]
Given = TypeVar("Given")


@dataclass(frozen=True)
class Lesson:
    """One message in numbers: words, concepts and marks in order; its traits and their weight; the family (the last for
    one of which it is not known); how far each meaning is said, 0 to 1, and how much that counts."""

    words: Whole
    concepts: Whole
    marks: Floats
    traits: Whole
    loud: float
    family: int
    says: Floats
    counts: Floats


class Numbers:
    """Words, concepts, marks, traits and meanings that are known, by number. Word 0 is none, 1 any other; concept 0 and
    trait 0 are none. Complaints that no message was labelled with are left to their phrases."""

    def __init__(self, index: Index, examples: Sequence[Example]) -> None:
        words = Counter(it.word for e in examples for it in e.said)
        traits = Counter(name for e in examples for name in e.traits.names)
        self.words = _numbered((w for w, n in words.items() if n >= SELDOM and w != OTHER), first=2)
        self.concepts = _numbered(it.concept for e in examples for it in e.said if it.concept)
        self.marks = _numbered((mark for e in examples for it in e.said for mark in it.marks), first=0)
        self.traits = _numbered(name for name, n in traits.items() if n >= SELDOM)
        self.families = [*index.tables, COMMON]
        named = {(e.family, name) for e in examples if e.whole for name in e.present | e.absent}
        self.of_family = {family: [m for m in meanings_of(index, family) if family == COMMON or
                                   (family, m.partition(":")[2]) in named] for family in self.families}
        self.meanings = list(dict.fromkeys(m for mine in self.of_family.values() for m in mine))
        self.places = {meaning: place for place, meaning in enumerate(self.meanings)}
        self.index = index

    def lesson(self, example: Example, says: Floats, counts: Floats) -> Lesson:
        """A message by number."""
        marks = np.zeros((len(example.said), len(self.marks)), np.float32)
        for row, it in enumerate(example.said):
            marks[row, [self.marks[m] for m in it.marks if m in self.marks]] = 1
        return Lesson(
            np.array([self.words.get(it.word, 1) for it in example.said], dtype=np.int64),
            np.array([self.concepts.get(it.concept, 0) for it in example.said], dtype=np.int64), marks,
            np.array([self.traits[t] for t in example.traits.names if t in self.traits] or [0], dtype=np.int64),
            example.traits.weight, self.families.index(example.family if example.family in self.families else COMMON),
            says, counts)

    def labelled(self, example: Example, taught: Floats | None = None) -> Lesson:
        """A labelled message or a phrase; `taught`: what the teacher says of each meaning, 0 to 1."""
        says, counts = self.truth(example)
        if taught is not None and example.whole:
            mine = self.mine(example.family)
            forgiven = mine & (counts == 0)
            says = np.where(mine, np.where(forgiven, taught, (1 - TAUGHT) * says + TAUGHT * taught), says)
            counts = np.where(forgiven, np.float32(FORGIVEN_WEIGHT), counts)
        return self.lesson(example, says, counts)

    def made_up(self, example: Example, taught: Floats) -> Lesson:
        """A message that nobody labelled. What is said of machines at large is not asked of the teacher."""
        return self.lesson(example, taught, self.mine(example.family).astype(np.float32) * np.float32(MADE_WEIGHT))

    def mine(self, family: str) -> NDArray[np.bool_]:
        """Which meanings are of a family."""
        found = np.zeros(len(self.meanings), dtype=bool)
        found[[self.places[m] for m in self.of_family.get(family, ())]] = True
        return found

    def truth(self, example: Example) -> tuple[Floats, Floats]:
        """What a label says of each meaning, and how much it counts: nothing where it teaches nothing."""
        says, counts = np.zeros((2, len(self.meanings)), np.float32)
        own = self.of_family[example.family] if example.family in self.index.tables else []
        for meaning in (*own, *self.of_family[COMMON]):
            truth = example.says(self.index, meaning)
            if truth is not None:
                says[self.places[meaning]], counts[self.places[meaning]] = truth, 1
        return says, counts * np.float32(1.0 if example.whole else PHRASE_WEIGHT)


def meanings_of(index: Index, family: str) -> list[str]:
    """The meanings that are weighed for a family."""
    if family == COMMON:
        return [*(f"family:{f}" for f in index.tables), *(f"hazard:{h}" for h in LEARNED_HAZARDS), "scope"]
    return [f"{kind}:{name}" for kind in ("complaint", "denied") for name in index.knowledge.packs[family].complaints]


def made_up(examples: Sequence[Example], wanted: int) -> list[tuple[str, str]]:
    """Family and text of messages put together from two others, or with one clause changed for another's or left out:
    this is how the networks learn what 'fine' is said of. The same examples give the same texts."""
    chance = random.Random(0)
    whole: dict[str, list[str]] = {}
    phrases: dict[str, list[str]] = {}
    for e in examples:
        if e.family and not e.aside and not e.handed_over and len(e.said) < SHORT:
            (whole if e.whole else phrases).setdefault(e.family, []).append(e.text)
    families = sorted(whole)
    made = []
    for _ in range(wanted):
        family = chance.choice(families)
        made.append((family, _mixed(whole[family], phrases[family], chance)))
    return made


def _mixed(whole: Sequence[str], phrases: Sequence[str], chance: random.Random) -> str:
    first = chance.choice(whole)
    parts = [part for part in _BREAKS.split(first) if part.strip()]
    if len(parts) > 1 and chance.random() < 0.5:
        place = chance.randrange(len(parts))
        other = [part for part in _BREAKS.split(chance.choice(whole)) if part.strip()]
        parts[place:place + 1] = [chance.choice(other)] if other and chance.random() < 0.7 else []
        return " ".join(parts)
    pair = [first, chance.choice(phrases if chance.random() < 0.4 else whole)]
    chance.shuffle(pair)
    return chance.choice(LINKS).join(pair)


def batches(given: Sequence[Given], size: int, length: Callable[[Given], int], chance: random.Random,
            ) -> list[Sequence[Given]]:
    """All in batches of about one length, by chance."""
    mixed = chance.sample(given, len(given))
    pools = [sorted(mixed[at:at + 32 * size], key=length) for at in range(0, len(mixed), 32 * size)]
    found = [pool[at:at + size] for pool in pools for at in range(0, len(pool), size)]
    return chance.sample(found, len(found))


def _numbered(names: Iterator[str], first: int = 1) -> Mapping[str, int]:
    return {name: place for place, name in enumerate(sorted(set(names)), first)}
