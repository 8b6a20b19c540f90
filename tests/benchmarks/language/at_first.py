"""Learns what first messages tell of parts: `python -m tests.benchmarks.language.at_first [--write]`.

Learned from first messages in which people marked what had been found (`answers_at_first.jsonl`). Prints what ten folds
over the messages are worth, by the chance from which on a result is taken. Extra `train`, a minute.
"""

from __future__ import annotations

import sys
import zlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from sklearn.linear_model import LogisticRegression

from bot.language import build_index
from bot.language.answers.found_first import Found, Weights, chances_of, chosen, in_pairs, may_be_found
from bot.language.index import Index
from bot.language.understand import understand
from knowledge.loader import load
from tests.benchmarks.language.answers import FOLDER
from tests.language.labelled_set import rows

FOLDS: Final = 10
RIDGE: Final = 0.003
"""Inverse strength; of .001, .003 and .01 the middle one is best by folds."""


@dataclass(frozen=True)
class Message:
    """A first message: what is told, as pairs that are right for each, and what may be found in it."""

    fold: int
    text: str
    told: Sequence[frozenset[tuple[str, str]]]
    may_be: Sequence[Found]

    def right(self, found: Found) -> bool:
        """Whether it is told."""
        return any((found.check, found.result) in pairs for pairs in self.told)


def messages(index: Index) -> Iterator[Message]:
    """The marked messages."""
    for row in rows("answers_at_first"):
        told = [frozenset({(one["check"], one["result"]), *map(tuple, one.get("also", ()))}) for one in row["told"]]
        meaning = understand(index, row["text"], row["family"])
        yield Message(zlib.crc32(row["text"].encode()) % FOLDS, row["text"], told,
                      list(may_be_found(index, row["family"], row["text"], meaning)))


def learn(many: Sequence[Message]) -> Weights:
    """By ridge regression of the log odds."""
    table = np.array([found.traits for message in many for found in message.may_be])
    right = np.array([message.right(found) for message in many for found in message.may_be])
    held = Weights(table.mean(axis=0), table.std(axis=0) + 1e-9, np.zeros(0), 0.0)
    model = LogisticRegression(C=RIDGE, max_iter=3000).fit(in_pairs(held, table), right)
    return held._replace(each=model.coef_[0], rest=float(model.intercept_[0]))


def of(weights: Sequence[Weights], message: Message) -> list[tuple[float, Found]]:
    """What is taken of a message by what was learned from the others."""
    return chosen(chances_of(weights[message.fold], message.may_be), message.may_be)


def tell(many: Sequence[Message], weights: Sequence[Weights]) -> None:
    """Print what is taken, fold by fold by weights that were learned from the others."""
    known: Any = [message for message in many if message.told]
    print(f"{len(many)} messages, {sum(len(m.told) for m in many)} facts; that any stretch finds:",
          f"{np.mean([any((f.check, f.result) in pairs for f in m.may_be) for m in known for pairs in m.told]):.3f}")
    for least in (0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9):
        taken = [(m, found) for m in many for _, found in of(weights, m) if _ >= least]
        right = [m.right(found) for m, found in taken]
        facts = [any((f.check, f.result) in pairs for _, f in of(weights, m) if _ >= least)
                 for m in known for pairs in m.told]
        without = [m for m, _ in taken if not m.told]
        print(f"  from {least:.1f}: {len(taken)} taken, right {np.mean(right):.3f}; of all told {np.mean(facts):.3f}"
              f"; in {len(without)} of {sum(not m.told for m in many)} messages that tell none")


def main() -> None:
    """Print what was learned; `--write` puts it into the program, `--wrong` prints what is taken wrongly."""
    index = build_index(load().knowledge)
    many = list(messages(index))
    weights = [learn([m for m in many if m.fold != fold]) for fold in range(FOLDS)]
    tell(many, weights)
    if "--wrong" in sys.argv:
        for message in many:
            for p, found in of(weights, message):
                if p >= 0.5 and not message.right(found):
                    print(f"{p:.2f} {found.check}={found.result} | {message.text} | {list(map(sorted, message.told))}")
    if "--write" in sys.argv:
        np.savez_compressed(FOLDER / "answers_first.npz", **learn(many)._asdict())


if __name__ == "__main__":
    main()
