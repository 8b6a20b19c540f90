"""Learns to read typed answers as a whole: `python -m tests.benchmarks.language.reader --teacher FOLDER [--write]`.

`--teacher`: the folder of a pretrained sentence model (see `teacher.py`). It learns where the results of all checks
lie, from what was typed for them and the packs' own phrases; then half of its layers learn the same from it and from
the labels, and that an answer to one check is none to another. Prints what each round is worth on six writers kept
apart. In the end that half learns from those, too, and from all lines at a check. With --write it goes into the
program: first without those last rounds, for `weighed.py` to be run, with --last then with them. Extra `train`; an hour
and a half of one core.
"""

from __future__ import annotations

import copy
import math
import random
import sys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, NamedTuple

import numpy as np
import torch
from safetensors.torch import load_file
from torch import nn
from torch.nn import functional

from bot import language
from bot.language.answers.likeness import own_words
from bot.language.answers.typed import NO_RESULT
from bot.language.reader.encoder import LAYERS, NUMBERS, PARTS, UNITS
from bot.language.reader.pieces import FIRST, LAST, MOST, UNKNOWN
from knowledge.loader import load
from knowledge.schema import Pack
from tests.benchmarks.language.teacher import Reader, Teacher
from tests.language.labelled_set import COMPARED_WITH, WEIGHED_BY, rows
from tests.language.labelled_set import FOLDER as LABELLED

FOLDER: Final = Path(language.__file__).parent / "data"
KEPT_LAYERS: Final = (0, 2, 5)
"""Those of the teacher that the program has."""
ROUNDS, LAST_ROUNDS, BATCH, WARM = 3, 2, 48, 100
RATE, TAUGHT_RATE, OWN_RATE = 2e-4, 1.5e-4, 2e-3
"""Of the teacher's layers, of those of its pupil, of what both learn anew."""
FIRM: Final = 12.0
WARMTH, LABELS, STRAY, MOST_STRAY = 2.0, 0.5, 0.3, 6.0
"""How soft the teacher's word is; how much the labels count beside it, and an answer to another check; how much one of
those may cost at most, since some checks ask much the same."""
NOT_THERE: Final = -1e4
EVEN: Final = np.array([0.4, 0.4], np.float32)
"""How much comparison and reading count until `weighed.py` has learned it."""
PIECES: Final = 12_000
"""So many of the pieces that come first in the teacher's list are kept, with all that any labelled text has."""
Spot = tuple[str, str]


class Item(NamedTuple):
    """An answer: its pieces, the first row and the number of its check's results, which it is, NO_RESULT after them,
    and whether the teacher has learned it."""

    parts: list[int]
    start: int
    many: int
    truth: int
    taught: bool = True


@dataclass(frozen=True)
class Rows:
    """Family, check -> the first of its rows and its results; what the pack says of each row; and for a check that
    several families share, the family that stands for all."""

    starts: Mapping[Spot, tuple[int, tuple[str, ...]]]
    own: Sequence[Sequence[str]]
    alike: Mapping[Spot, str]


def rows_of(packs: Mapping[str, Pack], many: Sequence[Mapping[str, Any]]) -> Rows:
    """Rows for all checks that anybody typed an answer to."""
    alike = {(family, row["check"]): row["families"][0] for row in reversed(many) for family in row["families"]}
    starts: dict[Spot, tuple[int, tuple[str, ...]]] = {}
    own: list[Sequence[str]] = []
    for family, check in dict.fromkeys((alike[row["families"][0], row["check"]], row["check"]) for row in many):
        entry = packs[family].checks.get(check)
        if entry is not None:
            starts[family, check] = len(own), tuple(entry.results)
            own += [own_words(entry, result) for result in entry.results]
    return Rows(starts, own, alike)


def items_of(reader: Reader, places: Rows, many: Sequence[Mapping[str, Any]]) -> Iterator[Item]:
    """The answers of labelled rows."""
    for row in many:
        family = places.alike.get((row["families"][0], row["check"]), row["families"][0])
        kind = row["result"] if row["result"] is not None else "other"
        start, results = places.starts.get((family, row["check"]), (0, ()))
        truths = (*results, *NO_RESULT)
        if results and kind in truths:
            yield Item(parts_of(reader, row["text"]), start, len(results), truths.index(kind))


def parts_of(reader: Reader, text: str) -> list[int]:
    """A text's pieces by the teacher's list."""
    return list(reader.tokenizer.encode(text.strip() or ".").ids[:MOST])


class Model(nn.Module):
    """The encoder, where each result lies, and what names none."""

    def __init__(self, folder: Path, places: Rows) -> None:
        super().__init__()
        self.encoder = Teacher(load_file(folder / "model.safetensors"), 1)
        self.spots = nn.Linear(UNITS, NUMBERS, bias=False)
        self.none = nn.Linear(UNITS, len(NO_RESULT))
        self.places = nn.Embedding(len(places.own), NUMBERS)
        self.firm = nn.Parameter(torch.tensor(math.log(FIRM)))
        nn.init.orthogonal_(self.spots.weight)

    def read(self, many: Sequence[Item]) -> tuple[torch.Tensor, torch.Tensor]:
        """[answer, number] where each lies, and [answer, kind] log odds of its naming none."""
        parts = _padded([item.parts for item in many])
        there = (parts != 0)[..., None].float()
        whole = (self.encoder.units(parts) * there).sum(1) / there.sum(1)
        return functional.normalize(self.spots(whole), dim=-1), self.none(whole)

    def against(self, at: torch.Tensor, none: torch.Tensor, checks: Sequence[tuple[int, int]]) -> torch.Tensor:
        """[answer, result and kind] log odds, each answer against the results that begin at a row."""
        most = max(many for _, many in checks)
        which = torch.tensor([[start + min(place, many - 1) for place in range(most)] for start, many in checks])
        there = torch.tensor([[place < many for place in range(most)] for _, many in checks])
        near = (functional.normalize(self.places(which), dim=-1) * at[:, None]).sum(-1) * self.firm.exp()
        return torch.cat([near.masked_fill(~there, NOT_THERE), none], 1)


def _padded(many: Sequence[list[int]]) -> torch.Tensor:
    found = np.zeros((len(many), max(map(len, many))), np.int64)
    for place, parts in enumerate(many):
        found[place, :len(parts)] = parts
    return torch.from_numpy(found)


def truths_of(many: Sequence[Item], heard: torch.Tensor) -> torch.Tensor:
    """The column of each truth."""
    most = heard.shape[1] - len(NO_RESULT)
    return torch.tensor([it.truth if it.truth < it.many else most + it.truth - it.many for it in many])


@torch.no_grad()
def begin_at(model: Model, reader: Reader, places: Rows) -> None:
    """Each result begins where the pack's own words for it lie."""
    model.eval()
    found = torch.zeros_like(model.places.weight)
    for row, phrases in enumerate(places.own):
        mine = [Item(parts_of(reader, phrase), 0, 0, 0) for phrase in phrases[:6]]
        found[row] = model.read(mine)[0].sum(0)
    model.places.weight.copy_(functional.normalize(found, dim=-1))


class Lessons(NamedTuple):
    """What is learned from, what is kept apart, and for each family where the results of its checks begin."""

    items: Sequence[Item]
    apart: Sequence[Item]
    checks: Mapping[int, Sequence[tuple[int, int]]]
    """First row of a check -> all checks of its family."""


def lessons_of(reader: Reader, packs: Mapping[str, Pack]) -> tuple[Lessons, Rows]:
    """All of it."""
    many = [row for name in COMPARED_WITH for row in rows(name)]
    places = rows_of(packs, many)
    items = list(items_of(reader, places, many))
    for start, results in places.starts.values():
        items += [Item(parts_of(reader, phrase), start, len(results), place)
                  for place in range(len(results)) for phrase in places.own[start + place]]
    of_family: dict[str, list[tuple[int, int]]] = {}
    for (family, _), (start, results) in places.starts.items():
        of_family.setdefault(family, []).append((start, len(results)))
    checks = {start: of_family[family] for (family, _), (start, _) in places.starts.items()}
    return Lessons(items, list(items_of(reader, places, rows("answers_crew_apart"))), checks), places


def with_the_rest(lessons: Lessons, reader: Reader, places: Rows) -> Lessons:
    """With what neither the teacher has learned nor the comparisons are made with."""
    many = [row for name in (*WEIGHED_BY, "answers_turns") for row in rows(name) if row.get("intent") != "danger"]
    rest = [item._replace(taught=False) for item in items_of(reader, places, many)]
    return lessons._replace(items=[*lessons.items, *rest])


def learn(model: Model, lessons: Lessons, rate: float, teacher: Model | None = None, many_rounds: int = ROUNDS) -> None:
    """Learn all lessons so many times; from a teacher's word, too, if there is one."""
    chance = random.Random(0)
    body = list(model.encoder.parameters())
    own = [each for name, each in model.named_parameters() if not name.startswith("encoder.")]
    improve = torch.optim.AdamW([{"params": body, "top": rate}, {"params": own, "top": OWN_RATE}], weight_decay=0.01)
    steps, step = many_rounds * (len(lessons.items) // BATCH + 1), 0
    for done in range(many_rounds):
        model.train()
        for batch in _batches(lessons.items, chance):
            for group in improve.param_groups:
                group["lr"] = group["top"] * min(1.0, step / WARM) * max(0.02, 1 - step / steps)
            step += 1
            loss = _loss(model, batch, lessons, teacher, chance)
            improve.zero_grad()
            loss.backward()
            nn.utils.clip_grad_norm_(model.parameters(), 1.0)
            improve.step()
        print(f"round {done + 1} of {many_rounds}:", end=" ")
        tell(model, lessons.apart)


def _loss(model: Model, batch: Sequence[Item], lessons: Lessons, teacher: Model | None,
          chance: random.Random) -> torch.Tensor:
    at, none = model.read(batch)
    own = [(item.start, item.many) for item in batch]
    heard = model.against(at, none, own)
    told = functional.cross_entropy(heard, truths_of(batch, heard), reduction="none")
    if teacher is None:
        return told.mean()
    with torch.no_grad():
        word = teacher.against(*teacher.read(batch), own)
    taught = torch.tensor([float(item.taught) for item in batch])
    apart = functional.kl_div((heard / WARMTH).log_softmax(1), (word / WARMTH).log_softmax(1), log_target=True,
                              reduction="none").sum(1) * WARMTH ** 2
    others = [chance.choice(lessons.checks[item.start]) for item in batch]
    strays = functional.cross_entropy(
        astray := model.against(at, none, others), torch.full((len(batch),), astray.shape[1] - 1), reduction="none")
    counted = torch.tensor([float(other[0] != item.start) for other, item in zip(others, batch, strict=True)])
    by_label = told * torch.where(taught > 0, LABELS, 1.0)
    return (by_label + apart * taught + STRAY * strays.clamp(max=MOST_STRAY) * counted).mean()


def _batches(items: Sequence[Item], chance: random.Random) -> list[Sequence[Item]]:
    """All items, those of like length together."""
    mixed = chance.sample(items, len(items))
    found: list[Sequence[Item]] = []
    for at in range(0, len(mixed), BATCH * 20):
        alike = sorted(mixed[at:at + BATCH * 20], key=lambda item: len(item.parts))
        found += [alike[place:place + BATCH] for place in range(0, len(alike), BATCH)]
    chance.shuffle(found)
    return found


@torch.no_grad()
def tell(model: Model, many: Sequence[Item]) -> None:
    """Print how many are right, and how many are taken and right from .8 on."""
    model.eval()
    found = []
    for at in range(0, len(many), 128):
        batch = many[at:at + 128]
        heard = model.against(*model.read(batch), [(item.start, item.many) for item in batch]).softmax(1)
        best = heard.argmax(1)
        found += list(zip((best == truths_of(batch, heard)).tolist(), heard.max(1).values.tolist(),
                          (best < heard.shape[1] - len(NO_RESULT)).tolist(), strict=True))
    right, sure, named = (np.array(column) for column in zip(*found, strict=True))
    print(f"{len(found)} answers apart, right {right.mean():.3f}; from .8: right {(right & (sure >= 0.8)).mean():.3f}, "
          f"a wrong result {(~right & named & (sure >= 0.8)).mean():.3f}", flush=True)


def taught(teacher: Model) -> Model:
    """A pupil that begins with some of the teacher's layers and all else of it."""
    pupil = copy.deepcopy(teacher)
    pupil.encoder.layers = nn.ModuleList([pupil.encoder.layers[place] for place in KEPT_LAYERS])
    return pupil


def write(model: Model, reader: Reader, places: Rows) -> None:
    """Put it where the program reads it."""
    kept = _pieces_kept(reader)
    listed = reader.tokenizer.get_vocab()
    names = sorted(listed, key=lambda name: listed[name])
    (FOLDER / "reader_pieces.txt").write_text("\n".join(names[row] for row in kept), "utf-8")
    words, word_steps = _stepped(model.encoder.word.weight[kept], 1)
    np.save(FOLDER / "reader_words.npy", words)
    stored: dict[str, Any] = {"word_steps": word_steps, "places": _plain(model.encoder.place[:MOST]),
                              "first": _norm(model.encoder.norm)}
    flat = []
    for number, layer in enumerate(model.encoder.layers):
        stored |= {f"mixed{number}": _norm(layer.norm1), f"norm{number}": _norm(layer.norm2)}
        attention = layer.self_attn
        of = dict(zip(PARTS, ((attention.in_proj_weight, attention.in_proj_bias),
                              (attention.out_proj.weight, attention.out_proj.bias),
                              (layer.linear1.weight, layer.linear1.bias),
                              (layer.linear2.weight, layer.linear2.bias)), strict=True))
        for part, (weight, base) in of.items():
            matrix, steps = _stepped(weight.T, 0)
            flat.append(matrix.ravel())
            stored |= {f"{part}{number}_steps": steps, f"{part}{number}_base": _plain(base)}
    assert len(model.encoder.layers) == LAYERS
    for name, weight, its_base in (("spots", model.spots.weight, torch.zeros(NUMBERS)),
                                   ("none", model.none.weight, model.none.bias)):
        stored[name], stored[f"{name}_steps"] = _stepped(weight.T, 0)
        stored[f"{name}_base"] = _plain(its_base)
    np.save(FOLDER / "reader.npy", np.concatenate(flat))
    np.savez_compressed(FOLDER / "reader.npz", **stored)
    write_places(model, places)


def write_places(model: Model, places: Rows) -> None:
    """Where the results lie, under every family that has the check."""
    each, steps = _stepped(functional.normalize(model.places.weight, dim=-1), 1)
    lines = []
    for (family, check), stands in sorted({**{spot: spot[0] for spot in places.starts}, **places.alike}.items()):
        if (stands, check) in places.starts:
            start, results = places.starts[stands, check]
            lines.append(" ".join((family, check, str(start), *results)))
    path = FOLDER / "reader_results.npz"
    powers = {"among": EVEN, "between": EVEN}
    if path.exists():
        with np.load(path) as stored:
            powers = {name: stored[name] for name in powers}
    np.savez_compressed(path, checks="\n".join(lines), rows=each, steps=steps,
                        firm=np.float32(math.exp(model.firm.item())), **powers)


def _pieces_kept(reader: Reader) -> list[int]:
    """Rows of the teacher's list that the program has: the commonest, letters, and all of any labelled text."""
    listed = reader.tokenizer.get_vocab()
    letters = {row for name, row in listed.items() if len(name.removeprefix("##")) == 1}
    named = {listed[name] for name in ("[PAD]", UNKNOWN, FIRST, LAST)}
    common = {row for name, row in listed.items() if row < PIECES and not name.startswith("[unused")}
    met = {row for path in sorted(LABELLED.glob("*.jsonl")) if not path.stem.startswith("frozen")
           for line in rows(path.stem) if "text" in line for row in reader.tokenizer.encode(line["text"]).ids}
    return sorted(letters | named | common | met)


def _plain(tensor: torch.Tensor) -> np.ndarray[Any, np.dtype[np.float32]]:
    return np.ascontiguousarray(tensor.detach().numpy(), dtype=np.float32)


def _norm(layer: nn.LayerNorm) -> np.ndarray[Any, np.dtype[np.float32]]:
    return np.stack([_plain(layer.weight), _plain(layer.bias)])


def _stepped(tensor: torch.Tensor, axis: int) -> tuple[np.ndarray[Any, np.dtype[np.int8]], Any]:
    """A matrix in whole steps, and the step of each column, or of each row with `axis` 1."""
    numbers = _plain(tensor)
    steps = np.maximum(np.abs(numbers).max(axis=axis), 1e-9) / 127
    return np.rint(numbers / (steps[:, None] if axis else steps)).astype(np.int8), steps.astype(np.float32)


def main() -> None:
    """See above."""
    folder = Path(sys.argv[sys.argv.index("--teacher") + 1])
    torch.manual_seed(0)
    reader = Reader(folder)
    lessons, places = lessons_of(reader, load().knowledge.packs)
    teacher = Model(folder, places)
    begin_at(teacher, reader, places)
    learn(teacher, lessons, RATE)
    pupil = taught(teacher.eval())
    learn(pupil, lessons, TAUGHT_RATE, teacher)
    if "--last" in sys.argv:
        learn(pupil, with_the_rest(lessons, reader, places), TAUGHT_RATE, teacher, LAST_ROUNDS)
    if "--write" in sys.argv:
        write(pupil, reader, places)


if __name__ == "__main__":
    main()
