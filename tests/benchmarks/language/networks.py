"""Learns the two networks of understanding with PyTorch (extra `train`).

`bot.language.learned.order.Order` sees the words in their order, `bot.language.learned.weights.Net` the bag of traits.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterable, Sequence
from typing import Any, Final

import numpy as np
import torch
from numpy.typing import NDArray
from torch import nn
from torch.nn import functional

from bot.language.learned.across import FARTHEST, HEADS, Across, distances
from bot.language.learned.layer import Layer
from bot.language.learned.order import OTHER, REACH, Order
from bot.language.learned.weights import Net, Rows
from tests.benchmarks.language.lessons import Floats, Lesson, Numbers, batches

UNITS: Final = 256
WIDE: Final = 32
"""Units of one head of the look across a message."""
LAYERS: Final = 2
ROUNDS, BATCH, RATE, DECAY = 12, 64, 2e-3, 1e-4
OWN_DECAY: Final = 0.05
"""Of what a word means here beside what it means anywhere."""
LIKENESS: Final = 0.15
"""Spread of the numbers that tell what a word means anywhere."""
DROPPED, UNHEARD_WORDS = 0.1, 0.1
"""Share of units and of words that are hidden in learning."""
BAG_UNITS, BAG_ROUNDS, BAG_DROPPED, UNHEARD_TRAITS = 256, 8, 0.3, 0.1


class Ordered(nn.Module):
    """The network of the words in order as it is learned; `order` gives it as it is used.

    `known`: what each word means anywhere ([word, number], from the teacher), so that seldom words are understood by
    their likes; None for nothing.
    """

    def __init__(self, numbers: Numbers, known: Floats | None) -> None:
        super().__init__()
        words = len(numbers.words) + 2
        self.word = nn.Embedding(words, UNITS, padding_idx=0)
        self.register_buffer("known", torch.zeros(words, 1) if known is None else _evened(known))
        self.near = nn.Linear(self.known.shape[1], UNITS)
        self.concept = nn.Embedding(len(numbers.concepts) + 1, UNITS, padding_idx=0)
        self.mark = nn.Linear(len(numbers.marks), UNITS, bias=False)
        self.family = nn.Embedding(len(numbers.families), UNITS)
        for table, spread in ((self.word, 0.06 if known is None else 0.02), (self.concept, 0.06), (self.family, 0.1)):
            nn.init.normal_(table.weight, std=spread)
        for table in (self.word, self.concept):
            nn.init.zeros_(table.weight[0])  # none, for both: the program adds nothing where there is none
        self.layers = nn.ModuleList(nn.Conv1d(
            UNITS, UNITS, 2 * REACH + 1, padding=REACH * step, dilation=step) for step in range(1, LAYERS + 1))
        self.across = Looking()
        self.whole = nn.Linear(UNITS, UNITS)
        nn.init.normal_(self.whole.weight, std=0.02)
        self.out = nn.Linear(UNITS, len(numbers.meanings))
        self.heed = nn.Linear(UNITS, len(numbers.meanings), bias=False)
        nn.init.constant_(self.out.bias, -4.0)
        self.register_buffer("common", _common(numbers))
        self.drop = nn.Dropout(DROPPED)

    def forward(self, batch: Sequence[Lesson]) -> torch.Tensor:
        """[message, meaning] log odds."""
        words, concepts, marks, family = _padded(batch)
        there = (words > 0)[..., None]
        if self.training:
            words = torch.where((torch.rand(words.shape) > UNHEARD_WORDS) | (words == 0), words, 1)
            concepts = concepts * (torch.rand(concepts.shape) > UNHEARD_WORDS)
        units = self.word(words) + self.near(self.known[words]) + self.concept(concepts) + self.mark(marks)
        units = self.drop(units)
        for its in self.layers:
            units = units + torch.relu(its(self.drop(units * there).transpose(1, 2)).transpose(1, 2))
        units = self.across(units, there, self.drop)
        most = torch.relu(units.masked_fill(~there, -1e4).amax(1))
        units = units + self.whole(self.drop(most))[:, None]
        heard = self._said(units, family, there, slice(None))
        at_large = torch.full_like(family, self.family.num_embeddings - 1)
        return heard.index_copy(1, self.common, self._said(units, at_large, there, self.common))

    def _said(self, units: torch.Tensor, family: torch.Tensor, there: torch.Tensor, which: torch.Tensor | slice,
              ) -> torch.Tensor:
        units = self.drop(torch.relu(units + self.family(family)[:, None]))
        share = functional.linear(units, self.heed.weight[which]).masked_fill(~there, -1e4).softmax(1)
        return (share * functional.linear(units, self.out.weight[which], self.out.bias[which])).sum(1)


class Looking(nn.Module):
    """The look across a message as it is learned. It begins with adding nothing."""

    def __init__(self) -> None:
        super().__init__()
        self.asks = nn.Linear(UNITS, 3 * HEADS * WIDE)
        self.gives = nn.Linear(HEADS * WIDE, UNITS)
        self.apart = nn.Parameter(torch.zeros(HEADS, 2 * FARTHEST + 1))
        self.inner, self.outer = nn.Linear(UNITS, UNITS), nn.Linear(UNITS, UNITS)
        for last in (self.gives, self.outer):
            nn.init.zeros_(last.weight)
            nn.init.zeros_(last.bias)

    def forward(self, units: torch.Tensor, there: torch.Tensor, drop: nn.Dropout) -> torch.Tensor:
        """[message, word, unit]; `there`: which words are some."""
        many, size, _ = units.shape
        asks, answers, gives = self.asks(functional.layer_norm(units, (UNITS,))).view(
            many, size, 3, HEADS, WIDE).permute(2, 0, 3, 1, 4)
        heed = asks @ answers.transpose(2, 3) / math.sqrt(WIDE) + self.apart[:, torch.from_numpy(distances(size))]
        share = heed.masked_fill(~there[:, None, :, 0][:, :, None], -1e4).softmax(3)
        units = units + self.gives(drop((share @ gives).transpose(1, 2).reshape(many, size, -1)))
        return units + self.outer(drop(torch.relu(self.inner(functional.layer_norm(units, (UNITS,))))))

    def in_use(self) -> Across:
        """As the program has it."""
        asks, gives, inner, outer = (layer(_plain(its.weight).T, _plain(its.bias))
                                     for its in (self.asks, self.gives, self.inner, self.outer))
        return Across(asks, gives, _plain(self.apart), inner, outer)


class Bag(nn.Module):
    """The network of traits as it is learned; `net` gives it as it is used."""

    def __init__(self, numbers: Numbers) -> None:
        super().__init__()
        self.trait = nn.Embedding(len(numbers.traits) + 1, BAG_UNITS, padding_idx=0)
        self.family = nn.Embedding(len(numbers.families), BAG_UNITS)
        for table in (self.trait, self.family):
            nn.init.normal_(table.weight, std=0.1)
        nn.init.zeros_(self.trait.weight[0])
        self.base = nn.Parameter(torch.zeros(BAG_UNITS))
        self.out = nn.Linear(BAG_UNITS, len(numbers.meanings))
        nn.init.constant_(self.out.bias, -4.0)
        self.register_buffer("common", _common(numbers))
        self.drop = nn.Dropout(BAG_DROPPED)

    def forward(self, batch: Sequence[Lesson]) -> torch.Tensor:
        """[message, meaning] log odds."""
        traits = torch.cat([torch.from_numpy(it.traits) for it in batch])
        loud = torch.cat([torch.full((len(it.traits),), it.loud) for it in batch])
        if self.training:
            loud = loud * (torch.rand(loud.shape) > UNHEARD_TRAITS)
        starts = torch.tensor(np.cumsum([0, *(len(it.traits) for it in batch[:-1])]))
        units = functional.embedding_bag(traits, self.trait.weight, starts, mode="sum", per_sample_weights=loud)
        units = units + self.base
        family = torch.tensor([it.family for it in batch])
        at_large = torch.full_like(family, self.family.num_embeddings - 1)
        of_all, own = (self.out(self.drop(torch.relu(units + self.family(f)))) for f in (at_large, family))
        return own.index_copy(1, self.common, of_all[:, self.common])


def order(numbers: Numbers, lessons: Sequence[Lesson], known: Floats | None = None) -> Order:
    """The network of words in order, learned from those lessons. The same lessons give the same network."""
    torch.manual_seed(0)
    model = Ordered(numbers, known)
    own = [{"params": [p for p in model.parameters() if p is not model.word.weight]},
           {"params": [model.word.weight], "weight_decay": DECAY if known is None else OWN_DECAY}]
    _learn(model, own, lessons, ROUNDS)
    return in_use(model, numbers)


def in_use(model: Ordered, numbers: Numbers) -> Order:
    """A network as the program has it: a word's own numbers and those of its likes are put together."""
    nothing = np.zeros(UNITS, np.float32)
    word = _plain(model.word.weight + model.known @ model.near.weight.T)[1:]
    beside = tuple(layer(_plain(its.weight).transpose(2, 1, 0).reshape(-1, UNITS), _plain(its.bias))
                   for its in model.layers)
    return Order(
        tuple(numbers.meanings), {OTHER: 0, **{w: n - 1 for w, n in numbers.words.items()}},
        {c: n - 1 for c, n in numbers.concepts.items()}, numbers.marks, layer(word, _plain(model.near.bias)),
        layer(_plain(model.concept.weight)[1:], nothing), layer(_plain(model.mark.weight).T, nothing), beside,
        model.across.in_use(), layer(_plain(model.whole.weight).T, _plain(model.whole.bias)),
        dict(zip(numbers.families, _plain(model.family.weight), strict=True)),
        layer(_plain(model.out.weight).T, _plain(model.out.bias)),
        layer(_plain(model.heed.weight).T, np.zeros(len(numbers.meanings), np.float32)))


def net(numbers: Numbers, lessons: Sequence[Lesson]) -> Net:
    """The network of traits, learned from those lessons."""
    torch.manual_seed(0)
    model = Bag(numbers)
    _learn(model, model.parameters(), lessons, BAG_ROUNDS)
    return Net(tuple(numbers.meanings), Rows.of(numbers.traits),
               layer(_plain(model.trait.weight)[1:], _plain(model.base)),
               dict(zip(numbers.families, _plain(model.family.weight), strict=True)),
               layer(_plain(model.out.weight).T, _plain(model.out.bias)))


def _learn(model: nn.Module, learning: Iterable[Any], lessons: Sequence[Lesson], rounds: int) -> None:
    chance = random.Random(0)
    improve = torch.optim.AdamW(learning, lr=RATE, weight_decay=DECAY)
    steps, step = rounds * (len(lessons) // BATCH + 1), 0
    model.train()
    for _ in range(rounds):
        for batch in batches(lessons, BATCH, lambda it: len(it.words), chance):
            for group in improve.param_groups:
                group["lr"] = RATE * min(1.0, step / 200) * max(0.02, (1 + math.cos(math.pi * step / steps)) / 2)
            step += 1
            says, counts = (torch.from_numpy(np.stack(column))
                            for column in ([it.says for it in batch], [it.counts for it in batch]))
            loss = functional.binary_cross_entropy_with_logits(model(batch), says, counts, reduction="sum")
            improve.zero_grad()
            (loss / len(batch)).backward()
            nn.utils.clip_grad_norm_(model.parameters(), 5.0)
            improve.step()


def _evened(known: Floats) -> torch.Tensor:
    """Around nothing and of one spread; none for the word that stands for none and for all others."""
    apart = known - known.mean(0)
    apart *= LIKENESS / apart.std()
    return torch.from_numpy(np.concatenate([np.zeros_like(apart, shape=(2, known.shape[1])), apart]))


def _common(numbers: Numbers) -> torch.Tensor:
    """Places of the meanings that are asked before the family is known."""
    return torch.from_numpy(np.flatnonzero(numbers.mine(numbers.families[-1])))


def _padded(batch: Sequence[Lesson]) -> tuple[torch.Tensor, torch.Tensor, torch.Tensor, torch.Tensor]:
    longest = max(1, *(len(it.words) for it in batch))
    words, concepts = np.zeros((2, len(batch), longest), np.int64)
    marks = np.zeros((len(batch), longest, batch[0].marks.shape[1]), np.float32)
    for row, it in enumerate(batch):
        size = len(it.words)
        words[row, :size], concepts[row, :size], marks[row, :size] = it.words, it.concepts, it.marks
    return (torch.from_numpy(words), torch.from_numpy(concepts), torch.from_numpy(marks),
            torch.tensor([it.family for it in batch]))


def _plain(weight: torch.Tensor) -> NDArray[np.float32]:
    return np.ascontiguousarray(weight.detach().numpy(), dtype=np.float32)


def layer(whole: NDArray[np.floating], base: NDArray[np.floating]) -> Layer:
    """Factors as whole numbers of small steps."""
    steps = np.maximum(np.abs(whole).max(axis=0), 1e-6) / 127
    return Layer(np.round(whole / steps).astype(np.int8), steps.astype(np.float32), base.astype(np.float32))
