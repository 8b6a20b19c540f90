"""Learns which number of an answer is its reading: `python -m tests.benchmarks.language.chosen [--write]`.

Learned from typed answers to checks with a meter: what gives the result that the answer was labelled with may be meant.
Prints what it is worth on writers kept apart; with --write the weights are learned from all of them and stored. Extra
`train`, two minutes.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, Final, NamedTuple

import numpy as np
import torch
from torch import nn

from bot import language
from bot.diagnosis.evidence import Seen
from bot.diagnosis.readings import judge
from bot.language.answers.bands import asked_for, open_result
from bot.language.meaning import Asked
from bot.language.readings.amounts import Amount
from bot.language.readings.chosen import KINDS, rows_of, traits_of
from bot.language.readings.quantities import BASE, measures, to_si, unit_named
from bot.language.readings.read import offered
from knowledge.loader import load
from knowledge.schema import Check, Pack
from tests.language.labelled_set import COMPARED_WITH, WEIGHED_BY, rows

FOLDER: Final = Path(language.__file__).parent / "data"
ROWS: Final = 1 << 15
ROUNDS, BATCH, RATE = 20, 128, 0.05
SMALL: Final = 3e-6
"""What the squares of all weights cost, beside the mean loss of an answer."""
NOT_THERE: Final = -1e4


class Line(NamedTuple):
    """An answer: the rows of what may be meant, each with what its trait counts, and which of these it is."""

    choices: Sequence[tuple[list[int], list[float]]]
    meant: Sequence[bool]
    numbers: int


def lines(packs: dict[str, Pack], names: Sequence[str]) -> Iterator[Line]:
    """The answers of those files to checks that are read off a meter."""
    for name in names:
        for row in rows(name):
            check = packs[row["families"][0]].checks.get(row["check"])
            if check is not None and check.reading is not None and any(r.band for r in check.results.values()):
                line = _line(check, row)
                if line is not None:
                    yield line


def _line(check: Check, row: dict[str, Any]) -> Line | None:
    assert check.reading is not None
    asked = asked_for(check.reading)
    items, amounts = offered(asked, row["text"])
    meant = _meant(check, asked, amounts, row)
    if not meant:
        return None
    traits = traits_of(asked, tuple(item.text for item in items), tuple(amounts), check.ask)
    groups = [rows_of(each, ROWS) for each in traits]
    choices = [([row for group in each for row in group], [len(group) ** -0.5 for group in each for _ in group])
               for each in groups]
    return Line(choices, [which in meant for which in (*range(len(amounts)), *KINDS)], len(amounts))


def _meant(check: Check, asked: Asked, amounts: Sequence[Amount], row: dict[str, Any]) -> set[int | str]:
    """What may be meant: numbers by their place, and names of KINDS; none where nothing is known of that."""
    want = row["result"]
    if want not in check.results or check.results[want].band is None:
        return {"words"}

    def gives(value: float) -> bool:
        return judge(check, Seen(row["check"], value=value), {}).result == want

    found: set[int | str] = {place for place, amount in enumerate(amounts)
                             if any(map(gives, _values(asked, amount, amounts)))}
    numbers = bool(found)
    if open_result(check) == want:
        found.add("open")
    elif not numbers:
        found.add("words")
    if asked != "celsius" and gives(0.0):
        found.add("zero")
    given = check.likelihoods["normal"]
    well = max(check.results, key=lambda result: float(given[result]) if isinstance(given.get(result), float) else 0.0)
    read_otherwise = check.reading is not None and check.reading.relative and bool(amounts) and not numbers
    metered = any(amount.unit is not None and amount.unit.measures == measures(asked) for amount in amounts)
    return set() if read_otherwise and (metered or want == well) else found  # '31 so thats ok' of one of other watts


def _values(asked: Asked, amount: Amount, amounts: Sequence[Amount]) -> Iterator[float]:
    """What a number may be worth in SI: with a unit that another number has, or on either scale of warmth."""
    if amount.unit is not None:
        if amount.unit.measures == measures(asked):
            yield to_si(amount.value, amount.unit.name)
        return
    yield to_si(amount.value, unit_named(BASE[asked]).name)
    if asked == "celsius":
        yield to_si(amount.value, "fahrenheit")
    yield from (to_si(amount.value, a.unit.name) for a in amounts
                if a.unit is not None and a.unit.measures == measures(asked))


def learn(many: Sequence[Line]) -> nn.EmbeddingBag:
    """The weights under which these answers are likeliest, for a small sum of their squares."""
    torch.manual_seed(0)
    model, chance = nn.EmbeddingBag(ROWS, 1, mode="sum"), random.Random(0)
    nn.init.zeros_(model.weight)
    improve = torch.optim.Adam(model.parameters(), lr=RATE)
    for done in range(ROUNDS):
        order = chance.sample(range(len(many)), len(many))
        for group in improve.param_groups:
            group["lr"] = RATE * (1 - done / ROUNDS)
        for at in range(0, len(order), BATCH):
            odds, meant = scored(model, [many[place] for place in order[at:at + BATCH]])
            loss = (torch.logsumexp(odds, 1) - torch.logsumexp(odds.masked_fill(~meant, NOT_THERE), 1)).mean()
            improve.zero_grad()
            (loss + SMALL * model.weight.square().sum()).backward()
            improve.step()
    return model


def scored(model: nn.EmbeddingBag, batch: Sequence[Line]) -> tuple[torch.Tensor, torch.Tensor]:
    """[answer, choice] log odds, and which of them are meant."""
    each = [choice for line in batch for choice in line.choices]
    starts = np.cumsum([0, *(len(of) for of, _ in each[:-1])])
    heard = model(torch.tensor([row for of, _ in each for row in of]), torch.tensor(starts),
                  per_sample_weights=torch.tensor([count for _, counts in each for count in counts])).squeeze(1)
    shape = len(batch), max(len(line.choices) for line in batch)
    odds, meant = torch.full(shape, NOT_THERE), torch.zeros(shape, dtype=torch.bool)
    at = (torch.tensor([place for place, line in enumerate(batch) for _ in line.choices]),
          torch.tensor([place for line in batch for place in range(len(line.choices))]))
    odds[at] = heard
    meant[at] = torch.tensor([its for line in batch for its in line.meant])
    return odds, meant


@torch.no_grad()
def tell(model: nn.EmbeddingBag, many: Sequence[Line]) -> None:
    """Print how many are right, and of those that are at least so sure how many there are and how many are right."""
    odds, meant = scored(model, many)
    p, best = odds.softmax(1).max(1)
    right = meant[torch.arange(len(many)), best].numpy()
    print(f"{len(many)} answers with a number, right {right.mean():.3f}")
    for least in (0.5, 0.6, 0.7, 0.8, 0.9, 0.95):
        sure = p.numpy() >= least
        print(f"  from {least:.2f}: {sure.mean():.3f} of them, right {right[sure].mean():.3f}")


def write(model: nn.EmbeddingBag) -> None:
    """Store the weights for the program, as whole numbers."""
    weights = model.weight.detach().numpy()[:, 0]
    step = float(np.abs(weights).max()) / 127
    np.savez_compressed(FOLDER / "chosen.npz", rows=np.rint(weights / step).astype(np.int8), step=np.float32(step))


def main() -> None:
    """See above."""
    packs = dict(load().knowledge.packs)
    own, apart = list(lines(packs, COMPARED_WITH)), list(lines(packs, WEIGHED_BY))
    tell(learn(own), [line for line in apart if line.numbers])
    if "--write" in sys.argv:
        write(learn([*own, *apart]))


if __name__ == "__main__":
    main()
