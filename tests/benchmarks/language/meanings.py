"""Learns where answers lie by what they mean, with PyTorch (extra `train`); `bot.language.answers.meant` uses it.

Each step takes some checks, and of each result of them a few phrases of the pack and a few typed answers. Every answer
has to lie nearer to the others of its own result than to those of the check's other results; an answer that names no
result, and now and then one to another check, has to be known for that.
"""

from __future__ import annotations

import math
import random
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

import numpy as np
import torch
from torch import nn
from torch.nn import functional

from bot.language.answers.likeness import Learned, Said
from bot.language.answers.meant import FAR, LONGEST, SHARP, Meant, answer_traits, spot_from, words_of
from bot.language.answers.typed import NO_RESULT
from bot.language.index import Index
from bot.language.learned.layer import Floats

NUMBERS, HEADS, INNER = 64, 4, 128
ROUNDS, AGAIN, CHECKS = 12, 3, 24
"""How often all is gone through; how often each check comes in it; checks a step."""
TYPED, OWN, ASIDE, STRAYS = 4, 2, 2, 2
"""Of each result so many typed answers and phrases of the pack; answers that name none; answers to other checks."""
STRAY: Final = 0.2
"""How much one of those counts."""
RATE, TRAIT_RATE, TAKEN_RATE, WARM, DECAY = 1.5e-3, 4e-3, 5e-4, 50, 1e-6
UNHEARD_TRAITS, UNHEARD_UNITS = 0.2, 0.15
"""Share of the traits and of the units that are hidden in learning."""
KINDS: Final = (1.0, 1.0, 3.0)
"""Log odds of naming no result to begin with, one for each of NO_RESULT."""
SELDOM: Final = 2
"""Traits of fewer texts are left out."""
Spot = tuple[str, str]


@dataclass(frozen=True)
class Asked:
    """A check: result -> phrases of the pack, and what was typed for it; and what was typed that names none, with its
    place in NO_RESULT."""

    own: Mapping[str, Sequence[str]]
    typed: Mapping[str, Sequence[str]]
    none: Sequence[tuple[str, int]]


@dataclass
class Texts:
    """The words and the traits of texts; each is read once."""

    index: Index
    words: dict[str, np.ndarray[tuple[int, int], np.dtype[np.float16]]] = field(default_factory=dict)
    traits: dict[str, frozenset[str]] = field(default_factory=dict)

    def read(self, text: str) -> None:
        """Have a text ready."""
        if text not in self.words:
            self.words[text] = words_of(self.index, text).astype(np.float16)
            self.traits[text] = answer_traits(self.index, text)

    def said(self, held: Learned, text: str) -> Said:
        """A text as it is compared."""
        self.read(text)
        words = self.words[text].astype(np.float32)
        return Said(self.traits[text], spot_from(held.meant, words, self.traits[text]))


class Network(nn.Module):
    """The network as it is learned."""

    def __init__(self, units: int, traits: Sequence[str]) -> None:
        super().__init__()
        self.rows = {trait: row for row, trait in enumerate(traits, 1)}
        self.heed = nn.Linear(units, HEADS)
        self.taken = nn.Linear(units * HEADS, NUMBERS, bias=False)
        self.each = nn.Embedding(len(traits) + 1, NUMBERS, padding_idx=0)
        self.loud = nn.Embedding(len(traits) + 1, 1, padding_idx=0)
        self.inner, self.outer = nn.Linear(NUMBERS, INNER), nn.Linear(INNER, NUMBERS)
        self.none = nn.Linear(NUMBERS, len(NO_RESULT))
        self.firm = nn.Parameter(torch.tensor(2.5))
        nn.init.normal_(self.taken.weight, std=0.003)
        nn.init.normal_(self.each.weight, std=0.05)
        for its in (self.each.weight[0], self.loud.weight, self.outer.weight, self.none.weight):
            nn.init.zeros_(its)
        self.none.bias.data = torch.tensor(KINDS)

    def forward(self, texts: Texts, batch: Sequence[str]) -> tuple[torch.Tensor, torch.Tensor]:
        """[text, number] where each lies, and [text, kind] log odds of its naming no result."""
        words, there, traits = self._padded(texts, batch)
        if self.training:
            traits = torch.where(torch.rand(traits.shape) < UNHEARD_TRAITS, 0, traits)
            words = functional.dropout(words, UNHEARD_UNITS)
        share = self.heed(words).masked_fill(~there[..., None], -1e4).softmax(1)
        alone = self.taken(torch.einsum("twh,twu->thu", share, words).flatten(1))
        known = (traits > 0)[..., None]
        said = (self.each(traits) * torch.exp(self.loud(traits)) * known).sum(1)
        whole = alone + said / known.sum(1).clamp(min=1).sqrt()
        whole = whole + self.outer(torch.relu(self.inner(whole)))
        return functional.normalize(whole, dim=-1), self.none(whole)

    def _padded(self, texts: Texts, batch: Sequence[str]) -> tuple[torch.Tensor, torch.Tensor, torch.Tensor]:
        longest = min(LONGEST, max(len(texts.words[text]) for text in batch))
        rows = [[self.rows[trait] for trait in texts.traits[text] if trait in self.rows] for text in batch]
        words = np.zeros((len(batch), longest, self.heed.in_features), np.float32)
        there = np.zeros((len(batch), longest), bool)
        traits = np.zeros((len(batch), max(1, *map(len, rows))), np.int64)
        for at, (text, mine) in enumerate(zip(batch, rows, strict=True)):
            units = texts.words[text][:longest]
            words[at, :len(units)], there[at, :len(units)] = units, True
            traits[at, :len(mine)] = mine
        return torch.from_numpy(words), torch.from_numpy(there), torch.from_numpy(traits)

    def used(self) -> Meant:
        """The network as the program has it."""
        def plain(tensor: torch.Tensor) -> Floats:
            return np.ascontiguousarray(tensor.detach().numpy(), dtype=np.float32)

        each = plain(self.each.weight[1:]).astype(np.float16)
        return Meant({trait: row - 1 for trait, row in self.rows.items()}, each,
                     plain(torch.exp(self.loud.weight[1:, 0])), plain(self.heed.weight.T), plain(self.heed.bias),
                     plain(self.taken.weight.T), plain(self.inner.weight.T), plain(self.inner.bias),
                     plain(self.outer.weight.T), plain(self.outer.bias), plain(self.none.weight.T),
                     plain(self.none.bias), math.exp(self.firm.item()))


@dataclass(frozen=True)
class Step:
    """One check of a step: where its results stand among the texts ([text] -> result), and who is asked about."""

    start: int
    owners: Sequence[int]
    asked: Sequence[int]
    truths: Sequence[int]
    counts: Sequence[float]


def learn(texts: Texts, checks: Mapping[Spot, Asked]) -> Meant:
    """Where answers lie, learned from those checks."""
    torch.manual_seed(0)
    chance = random.Random(0)
    whole = {text for asked in checks.values() for many in (asked.own, asked.typed) for one in many.values()
             for text in one} | {text for asked in checks.values() for text, _ in asked.none}
    for text in sorted(whole):
        texts.read(text)
    counts = Counter(trait for text in whole for trait in texts.traits[text])
    model = Network(next(iter(texts.words.values())).shape[1], sorted(t for t, n in counts.items() if n >= SELDOM))
    rates = {"each.weight": TRAIT_RATE, "taken.weight": TAKEN_RATE}
    improve = torch.optim.Adam([{"params": [its], "top": rates.get(name, RATE)}
                                for name, its in model.named_parameters()])
    worth = [spot for spot, asked in checks.items() if sum(map(bool, asked.typed.values())) > 1]
    steps, step = ROUNDS * (len(worth) * AGAIN // CHECKS + 1), 0
    model.train()
    for done in range(ROUNDS):
        plan, total = worth * AGAIN, []
        chance.shuffle(plan)
        for at in range(0, len(plan), CHECKS):
            step += 1
            for group in improve.param_groups:
                group["lr"] = group["top"] * min(1.0, step / WARM) * max(0.02, 1 - step / steps)
            loss = _loss(model, texts, checks, plan[at:at + CHECKS], chance)
            improve.zero_grad()
            loss.backward()
            nn.utils.clip_grad_norm_(model.parameters(), 1.0)
            improve.step()
            total.append(loss.item())
        print(f"where answers lie, round {done + 1} of {ROUNDS}: loss {np.mean(total):.3f}", flush=True)
    return model.used()


def _loss(model: Network, texts: Texts, checks: Mapping[Spot, Asked], spots: Sequence[Spot],
          chance: random.Random) -> torch.Tensor:
    """How far the answers to these checks are from where they should lie."""
    batch: list[str] = []
    steps = [_step(checks, spot, batch, chance) for spot in spots]
    at, none = model(texts, batch)
    losses, counts = [], []
    for step in steps:
        asked, owners = torch.tensor(step.asked), torch.tensor(step.owners)
        support = torch.arange(step.start, step.start + len(owners))
        alike = (at[asked] @ at[support].T).masked_fill(asked[:, None] == support, -1e4)
        near = [torch.logsumexp(alike[:, owners == its] * SHARP, 1) / SHARP - math.log((owners == its).sum()) / SHARP
                for its in range(int(owners.max()) + 1)]
        odds = torch.cat([torch.stack(near, 1).clamp(min=FAR) * torch.exp(model.firm), none[asked]], 1)
        truths = torch.tensor([truth if truth >= 0 else len(near) - 1 - truth for truth in step.truths])
        counts.append(torch.tensor(step.counts))
        losses.append(functional.cross_entropy(odds, truths, reduction="none") * counts[-1])
    return torch.cat(losses).sum() / torch.cat(counts).sum() + DECAY * (model.each.weight ** 2).sum()


def _step(checks: Mapping[Spot, Asked], spot: Spot, batch: list[str], chance: random.Random) -> Step:
    """Some of what is said for each result of a check; puts the texts into the batch. A truth below naught is a kind
    that names no result: -1 the first."""
    asked, start = checks[spot], len(batch)
    owners, queries, truths, counts = [], [], [], []
    for place, (result, own) in enumerate(asked.own.items()):
        typed = asked.typed.get(result, ())
        mine = chance.sample(typed, min(len(typed), TYPED))
        queries += range(len(batch), len(batch) + len(mine))
        truths += [place] * len(mine)
        counts += [1.0] * len(mine)
        mine += chance.sample(own, min(len(own), OWN))
        batch += mine
        owners += [place] * len(mine)
    besides = [(text, kind, 1.0) for text, kind in chance.sample(asked.none, min(len(asked.none), ASIDE))]
    besides += [(text, NO_RESULT.index("other"), STRAY) for text in _strays(checks, spot, chance)]
    for text, kind, count in besides:
        queries.append(len(batch))
        truths.append(-1 - kind)
        counts.append(count)
        batch.append(text)
    return Step(start, owners, queries, truths, counts)


def _strays(checks: Mapping[Spot, Asked], spot: Spot, chance: random.Random) -> list[str]:
    """Answers to other checks of the same machine."""
    found = []
    for _ in range(STRAYS):
        other = chance.choice([it for it in checks if it[0] == spot[0]])
        typed = checks[other].typed
        said = typed[chance.choice(sorted(typed))] if typed else ()
        if other[1] != spot[1] and said:
            found.append(chance.choice(said))
    return found
