"""Learns `bot.language.order.Order` with PyTorch (extra `train`)."""

from __future__ import annotations

import math
import random
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
import torch
from numpy.typing import NDArray
from torch import nn
from torch.nn import functional

from bot.language.index import Index
from bot.language.layer import Layer
from bot.language.order import OTHER, REACH, Order, Placed
from bot.language.understand import LEARNED_HAZARDS
from bot.language.weights import COMMON
from tests.benchmarks.language.examples import Example

UNITS: Final = 128
WIDE: Final = 96
"""Numbers that a word is first turned into."""
LAYERS: Final = 2
ROUNDS, BATCH, RATE, DECAY = 12, 64, 2e-3, 1e-4
DROPPED, UNHEARD_WORDS = 0.3, 0.15
"""Share of units and of words that are hidden in learning."""
JOINED: Final = 0.75
"""Made-up messages for each real one: two messages or phrases of one family, one after the other. What the one reports
or denies and what the other does is then reported and denied: this is how it learns what 'fine' is said of."""
JOINED_WEIGHT, PHRASE_WEIGHT = 0.5, 0.3
SHORT: Final = 40
"""Longer messages are not joined with others."""
SELDOM: Final = 2
LINKS: Final = (",", ",", ".", ".", "but", "but", "but", "and", "though", "-")
LINKED: Final = 0.7


@dataclass(frozen=True)
class Item:
    """Words, concepts and marks by number, what is said (1) or not (0), and how much each meaning counts."""

    words: NDArray[np.int64]
    concepts: NDArray[np.int64]
    marks: NDArray[np.float32]
    family: int
    """The last for a message of which it is not known."""
    says: NDArray[np.float32]
    counts: NDArray[np.float32]


class Numbers:
    """Words, concepts and marks that are known, by number. Word 0 is none, 1 any other; concept 0 is none."""

    def __init__(self, index: Index, examples: Sequence[Example]) -> None:
        seen = Counter(it.word for e in examples for it in e.said)
        self.words = {word: place + 2 for place, word in enumerate(w for w, n in seen.items() if n >= SELDOM)}
        self.concepts = _numbered(it.concept for e in examples for it in e.said if it.concept)
        self.marks = _numbered((mark for e in examples for it in e.said for mark in it.marks), first=0)
        self.index = index
        self.families = [*index.tables, COMMON]
        self.own = {f: frozenset(pack.complaints) for f, pack in index.knowledge.packs.items()}
        self.common = meanings_of(index, COMMON)
        self.meanings = [*sorted({m for f in index.tables for m in meanings_of(index, f)}), *self.common]
        self.places = {meaning: place for place, meaning in enumerate(self.meanings)}

    def of(self, said: Sequence[Placed]) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.float32]]:
        """The words of a message by number."""
        marks = np.zeros((len(said), len(self.marks)), np.float32)
        for row, it in enumerate(said):
            marks[row, [self.marks[m] for m in it.marks if m in self.marks]] = 1
        return (np.array([self.words.get(it.word, 1) for it in said], dtype=np.int64),
                np.array([self.concepts.get(it.concept, 0) for it in said], dtype=np.int64), marks)

    def item(self, example: Example) -> Item:
        """One message or phrase; what it teaches nothing about does not count."""
        says, counts = np.zeros((2, len(self.meanings)), np.float32)
        family = example.family if example.family in self.own else COMMON
        mine = [] if family == COMMON else meanings_of(self.index, family)
        for meaning in (*mine, *self.common):
            truth = example.says(self.index, meaning)
            if truth is not None:
                says[self.places[meaning]], counts[self.places[meaning]] = truth, 1
        return Item(*self.of(example.said), self.families.index(family), says,
                    counts * (1.0 if example.whole else PHRASE_WEIGHT))


def meanings_of(index: Index, family: str) -> list[str]:
    """The meanings that are weighed for a family."""
    if family == COMMON:
        return [*(f"family:{f}" for f in index.tables), *(f"hazard:{h}" for h in LEARNED_HAZARDS), "scope"]
    return [f"{kind}:{name}" for kind in ("complaint", "denied") for name in index.knowledge.packs[family].complaints]


def _numbered(names: Iterator[str], first: int = 1) -> dict[str, int]:
    return {name: place for place, name in enumerate(sorted(set(names)), first)}


class Model(nn.Module):
    """The network as it is learned; `order` gives it as it is used."""

    def __init__(self, numbers: Numbers) -> None:
        super().__init__()
        self.word = nn.Embedding(len(numbers.words) + 2, WIDE, padding_idx=0)
        self.concept = nn.Embedding(len(numbers.concepts) + 1, WIDE, padding_idx=0)
        self.mark = nn.Linear(len(numbers.marks), WIDE, bias=False)
        self.family = nn.Embedding(len(numbers.families), UNITS)
        for table in (self.word, self.concept, self.family):
            nn.init.normal_(table.weight, std=0.1)
        self.first = nn.Linear(WIDE, UNITS)
        self.layers = nn.ModuleList(nn.Conv1d(UNITS, UNITS, 2 * REACH + 1, padding=REACH) for _ in range(LAYERS))
        self.out = nn.Linear(UNITS, len(numbers.meanings))
        self.heed = nn.Linear(UNITS, len(numbers.meanings), bias=False)
        nn.init.constant_(self.out.bias, -4.0)
        self.register_buffer("is_common", torch.tensor([m in numbers.common for m in numbers.meanings]))
        self.drop = nn.Dropout(DROPPED)

    def forward(self, words: torch.Tensor, concepts: torch.Tensor, marks: torch.Tensor, family: torch.Tensor,
                ) -> torch.Tensor:
        """[message, meaning] log odds."""
        there = (words > 0)[..., None]
        if self.training:
            words = torch.where((torch.rand(words.shape) > UNHEARD_WORDS) | (words == 0), words, 1)
            concepts = concepts * (torch.rand(concepts.shape) > UNHEARD_WORDS)
        units = self.first(self.drop(self.word(words) + self.concept(concepts) + self.mark(marks)))
        for its in self.layers:
            units = units + torch.relu(its(self.drop(units * there).transpose(1, 2)).transpose(1, 2))
        common = torch.full_like(family, self.family.num_embeddings - 1)
        return torch.where(self.is_common, self._said(units, common, there), self._said(units, family, there))

    def _said(self, units: torch.Tensor, family: torch.Tensor, there: torch.Tensor) -> torch.Tensor:
        units = self.drop(torch.relu(units + self.family(family)[:, None]))
        share = self.heed(units).masked_fill(~there, -1e4).softmax(1)
        return (share * self.out(units)).sum(1)


def order(index: Index, examples: Sequence[Example]) -> Order:
    """The network learned from those examples. The same examples give the same network."""
    torch.manual_seed(0)
    torch.set_num_threads(1)
    chance = random.Random(0)
    told = [e for e in examples if e.said]
    numbers = Numbers(index, told)
    items = [numbers.item(e) for e in told]
    both = list(zip(items, told, strict=True))
    short = {f: ([i for i, e in both if e.family == f and e.whole and not e.aside and len(e.said) < SHORT],
                 [i for i, e in both if e.family == f and not e.whole]) for f in index.tables}
    model = Model(numbers)
    improve = torch.optim.AdamW(model.parameters(), lr=RATE, weight_decay=DECAY)
    more = int(JOINED * sum(e.whole for e in told))
    steps, step = ROUNDS * ((len(items) + more) // BATCH + 1), 0
    for _ in range(ROUNDS):
        for batch in _batches([*items, *_joined(numbers, short, more, chance)], chance):
            for group in improve.param_groups:
                group["lr"] = RATE * min(1.0, step / 200) * max(0.02, (1 + math.cos(math.pi * step / steps)) / 2)
            step += 1
            said = torch.from_numpy(np.stack([i.says for i in batch]))
            counts = torch.from_numpy(np.stack([i.counts for i in batch]))
            loss = functional.binary_cross_entropy_with_logits(model(*_padded(batch)), said, counts, reduction="sum")
            improve.zero_grad()
            (loss / len(batch)).backward()
            nn.utils.clip_grad_norm_(model.parameters(), 5.0)
            improve.step()
    return _used(numbers, model)


def _joined(numbers: Numbers, short: Mapping[str, tuple[list[Item], list[Item]]], wanted: int, chance: random.Random,
            ) -> Iterator[Item]:
    """Made-up messages: two in a row that do not contradict each other."""
    made = 0
    while made < wanted:
        whole, phrases = short[chance.choice(numbers.families[:-1])]
        first = chance.choice(whole if chance.random() < 0.6 else phrases)
        second = chance.choice(phrases if chance.random() < 0.6 else whole)
        if chance.random() < 0.5:
            first, second = second, first
        says = np.maximum(first.says, second.says)
        if any(says[numbers.places[f"complaint:{c}"]] and says[numbers.places[f"denied:{c}"]]
               for c in numbers.own[numbers.families[first.family]]):
            continue
        link = [Placed(chance.choice(LINKS), "", ())] if chance.random() < LINKED else []
        parts = zip((first.words, first.concepts, first.marks), numbers.of(link),
                    (second.words, second.concepts, second.marks), strict=True)
        counts = np.maximum(np.minimum(first.counts > 0, second.counts > 0), says) * JOINED_WEIGHT
        made += 1
        yield Item(*(np.concatenate(three) for three in parts), first.family, says, counts.astype(np.float32))


def _batches(items: list[Item], chance: random.Random) -> list[list[Item]]:
    """All items in batches of about one length."""
    chance.shuffle(items)
    pools = [sorted(items[at:at + 32 * BATCH], key=lambda i: len(i.words)) for at in range(0, len(items), 32 * BATCH)]
    batches = [pool[at:at + BATCH] for pool in pools for at in range(0, len(pool), BATCH)]
    chance.shuffle(batches)
    return batches


def _padded(batch: Sequence[Item]) -> tuple[torch.Tensor, torch.Tensor, torch.Tensor, torch.Tensor]:
    longest = max(len(i.words) for i in batch)
    words, concepts = np.zeros((2, len(batch), longest), np.int64)
    marks = np.zeros((len(batch), longest, batch[0].marks.shape[1]), np.float32)
    for row, i in enumerate(batch):
        size = len(i.words)
        words[row, :size], concepts[row, :size], marks[row, :size] = i.words, i.concepts, i.marks
    return (torch.from_numpy(words), torch.from_numpy(concepts), torch.from_numpy(marks),
            torch.tensor([i.family for i in batch]))


def _used(numbers: Numbers, model: Model) -> Order:
    """As it is used: whole numbers in steps; what a word is first turned into goes straight to the units."""
    into, nothing = _plain(model.first.weight).T, np.zeros(UNITS, np.float32)
    beside = tuple(layer(_plain(its.weight).transpose(2, 1, 0).reshape(-1, UNITS), _plain(its.bias))
                   for its in model.layers)
    return Order(
        tuple(numbers.meanings), {OTHER: 0, **{w: n - 1 for w, n in numbers.words.items()}},
        {c: n - 1 for c, n in numbers.concepts.items()}, numbers.marks,
        layer(_plain(model.word.weight)[1:] @ into, _plain(model.first.bias)),
        layer(_plain(model.concept.weight)[1:] @ into, nothing), layer(_plain(model.mark.weight).T @ into, nothing),
        beside, dict(zip(numbers.families, _plain(model.family.weight), strict=True)),
        layer(_plain(model.out.weight).T, _plain(model.out.bias)),
        layer(_plain(model.heed.weight).T, np.zeros(len(numbers.meanings), np.float32)))


def _plain(weight: torch.Tensor) -> NDArray[np.float32]:
    return np.ascontiguousarray(weight.detach().numpy(), dtype=np.float32)


def layer(whole: NDArray[np.floating], base: NDArray[np.floating]) -> Layer:
    """Factors as whole numbers of small steps."""
    steps = np.maximum(np.abs(whole).max(axis=0), 1e-6) / 127
    return Layer(np.round(whole / steps).astype(np.int8), steps.astype(np.float32), base.astype(np.float32))
