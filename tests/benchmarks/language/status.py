"""Learns what lines say of where a job stands: `python -m tests.benchmarks.language.status [--write]`.

Learned from lines by people who saw what the bot had just said and what was to be said back (`answers_status.jsonl`),
and from the answers to the questions that every visit has (`answers_talk.jsonl`). Prints what three folds over families
are worth: writer, machine and scenes are others then. With --frozen it scores the lines kept apart, by the weights as
they are. Extra `train`, two minutes.
"""

from __future__ import annotations

import random
import sys
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final, NamedTuple

import numpy as np
import torch
from numpy.typing import NDArray
from torch import nn
from torch.nn import functional

from bot import language
from bot.language.status.status import Status, rows_of, said_at
from bot.language.words.text import tokens_of
from tests.language.labelled_set import COMPARED_WITH, rows

FOLDER: Final = Path(language.__file__).parent / "data"
ROWS: Final = 1 << 15
ROUNDS, BATCH, RATE = 25, 256, 0.05
SMALL: Final = 3e-6
"""What the squares of all weights cost, beside the mean loss of a line: of 1e-3 to 3e-6 the best by folds."""
NEVER: Final = -30.0
ANSWERS: Final = 3000
"""So many of the typed answers to checks are enough to know them by."""
NO_ANSWER: Final = frozenset({None, "cannot", "unsure"})
OF_TURNS: Final = {"cannot": Status.CANNOT, "no_tool": Status.NO_TOOL, "unsure": Status.UNSURE, "wait": Status.WAIT,
                   "other": Status.ELSE}
"""What the lines at a check say that were asked for as such; the others answer it."""
UNLIKE: Final = frozenset({"danger"})
"""Lines that are dealt with before anything is asked of them."""
FOLDS: Final = (("dryer", "range"), ("dishwasher", "refrigerator"), ("front_load_washer", "top_load_washer"))
OTHERS: Final = "-"
"""The family of lines that were written for none; they are in every fold's lessons."""
OF_TALK: Final = {
    ("finding", "got_part"): Status.PART_HERE, ("finding", "order"): Status.ORDER, ("finding", "do_it"): Status.DO_IT,
    ("finding", "doubt"): Status.DOUBT, ("finding", "declined"): Status.DECLINED, ("consent", "yes"): Status.AGREED,
    ("consent", "no"): Status.DECLINED, ("consent", "later"): Status.LATER, ("consent", "covered"): Status.COVERED,
    ("waiting", "arrived"): Status.PART_HERE, ("waiting", "not_yet"): Status.NOT_COME,
    ("waiting", "leave"): Status.DECLINED, ("repair", "done"): Status.DONE, ("repair", "works"): Status.WORKS,
    ("repair", "not_yet"): Status.WAIT, ("proof", "holds"): Status.WORKS, ("proof", "same"): Status.SAME,
    ("proof", "other"): Status.OTHER, ("proof", "not_yet"): Status.UNTESTED, ("closing", "all_done"): Status.ALL_DONE,
    ("closing", "not_yet"): Status.WAIT}
"""What the answers to the questions of every visit say."""


class Line(NamedTuple):
    """One labelled line."""

    family: str
    at: str
    text: str
    says: str


@dataclass(frozen=True)
class Kinds:
    """The points and the statuses, in the order of the weights, and which of them can be meant: 0, else NEVER."""

    points: Sequence[str]
    statuses: Sequence[str]
    open: torch.Tensor


class Model(nn.Module):
    """What each gram weighs for each status, and what stands at each point before any word."""

    def __init__(self, kinds: Kinds) -> None:
        super().__init__()
        self.grams = nn.EmbeddingBag(ROWS, len(kinds.statuses), mode="sum")
        nn.init.zeros_(self.grams.weight)
        self.base = nn.Parameter(torch.zeros(len(kinds.points), len(kinds.statuses)))
        self.open = kinds.open

    def forward(self, lines: Sequence[tuple[list[int], list[float]]], points: torch.Tensor) -> torch.Tensor:
        """[line, status] log odds."""
        of = torch.tensor([row for line in lines for row in line[0]], dtype=torch.long)
        counts = torch.tensor([count for line in lines for count in line[1]])
        starts = torch.tensor(np.cumsum([0, *(len(line[0]) for line in lines[:-1])]))
        heard: torch.Tensor = self.grams(of, starts, per_sample_weights=counts)
        return heard + (self.base + self.open)[points]


def lines() -> list[Line]:
    """All open lines."""
    own = [Line(row["family"], row["at"], row["text"], row["says"]) for row in rows("answers_status")]
    talk = [Line(OTHERS, row["check"], row["text"], str(OF_TALK[row["check"], row["result"]]))
            for row in rows("answers_talk") if (row["check"], row["result"]) in OF_TALK]
    return [*own, *talk, *answers()]


def answers() -> list[Line]:
    """What people typed to checks: answers, that it cannot be made or told, that it takes a moment."""
    typed = [row for name in (*COMPARED_WITH, "answers_crew_apart") for row in rows(name)]
    told = [Line(OTHERS, "check", row["text"], Status.ANSWER) for row in typed if row["result"] not in NO_ANSWER]
    none = [Line(OTHERS, "check", row["text"], row["result"]) for row in typed
            if row["result"] in {Status.CANNOT, Status.UNSURE}]
    turns = [Line(row["families"][0], "check", row["text"], OF_TURNS.get(row["intent"], Status.ANSWER))
             for row in rows("answers_turns") if row["intent"] not in UNLIKE]
    return [*random.Random(0).sample(told, ANSWERS), *none, *turns]


def kinds_of(many: Iterable[Line]) -> Kinds:
    """What is said where."""
    pairs = {(line.at, line.says) for line in many}
    points, statuses = sorted({at for at, _ in pairs}), sorted({says for _, says in pairs})
    may_be = [[0.0 if (at, says) in pairs else NEVER for says in statuses] for at in points]
    return Kinds(points, statuses, torch.tensor(may_be))


def counted(text: str) -> tuple[list[int], list[float]]:
    """The rows of a text and how much each counts."""
    groups = rows_of(text, ROWS)
    return ([row for group in groups for row in group], [len(group) ** -0.5 for group in groups for _ in group])


def learn(many: Sequence[Line], kinds: Kinds) -> Model:
    """The weights that tell these lines best, for a small sum of their squares."""
    torch.manual_seed(0)
    model, chance = Model(kinds), random.Random(0)
    improve = torch.optim.Adam(model.parameters(), lr=RATE)
    read = [counted(line.text) for line in many]
    points = torch.tensor([kinds.points.index(line.at) for line in many])
    says = torch.tensor([kinds.statuses.index(line.says) for line in many])
    for done in range(ROUNDS):
        order = chance.sample(range(len(many)), len(many))
        for group in improve.param_groups:
            group["lr"] = RATE * (1 - done / ROUNDS)
        for at in range(0, len(order), BATCH):
            mine = order[at:at + BATCH]
            loss = functional.cross_entropy(model([read[place] for place in mine], points[mine]), says[mine])
            improve.zero_grad()
            (loss + SMALL * model.grams.weight.square().sum()).backward()
            improve.step()
    return model


@torch.no_grad()
def chances(model: Model, kinds: Kinds, many: Sequence[Line]) -> NDArray[np.float32]:
    """[line, status] how likely it is that a line says it."""
    points = torch.tensor([kinds.points.index(line.at) for line in many])
    found: NDArray[np.float32] = model([counted(line.text) for line in many], points).softmax(1).numpy()
    return found


def tell(name: str, heard: Sequence[tuple[float, bool]]) -> None:
    """Print how many are right, and of those that are at least so sure how many there are and how many are right."""
    print(f"{name}: {len(heard)} lines, right {np.mean([right for _, right in heard]):.3f}")
    for least in (0.5, 0.55, 0.6, 0.7, 0.8, 0.9, 0.95):
        sure = [right for p, right in heard if p >= least]
        print(f"  from {least:.2f}: {len(sure) / len(heard):.3f} of them, right {np.mean(sure):.3f}")


def by_folds(many: Sequence[Line], kinds: Kinds) -> list[tuple[float, bool]]:
    """Each line of a family by what was learned without its family and its writers."""
    found: list[tuple[float, bool]] = []
    for fold in FOLDS:
        model = learn([line for line in many if line.family not in fold], kinds)
        mine = [line for line in many if line.family in fold]
        for line, row in zip(mine, chances(model, kinds, mine), strict=True):
            best = int(row.argmax())
            found.append((float(row[best]), kinds.statuses[best] == line.says))
    return found


def write(model: Model, kinds: Kinds, many: Sequence[Line]) -> None:
    """Store the weights for the program, as whole numbers."""
    met = Counter(word for line in many for word in {token.word for token in tokens_of(line.text)})
    grams = model.grams.weight.detach().numpy()
    steps = np.abs(grams).max(axis=0) / 127
    base = (model.base.detach() + kinds.open).numpy()
    np.savez_compressed(
        FOLDER / "status.npz", matrix=np.round(grams / steps).astype(np.int8), steps=steps.astype(np.float32),
        base=base.astype(np.float32), points=" ".join(kinds.points), statuses=" ".join(kinds.statuses),
        words=" ".join(sorted(word for word, times in met.items() if times > 1 and word[0].isalpha())))


def main() -> None:
    """See above."""
    if "--frozen" in sys.argv:
        kept = [Line(row["family"], row["at"], row["text"], row["says"]) for row in rows("frozen_answers_status")]
        said = [said_at(line.at, line.text) for line in kept]
        tell("kept apart", [(it.p, it.status == line.says) for it, line in zip(said, kept, strict=True)])
        return
    many = lines()
    kinds = kinds_of(many)
    tell("by folds over families", by_folds(many, kinds))
    if "--write" in sys.argv:
        write(learn(many, kinds), kinds, many)


if __name__ == "__main__":
    main()
