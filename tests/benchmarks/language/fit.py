"""Derives the constants of bot/language/calibration.py again: `python -m tests.benchmarks.language.fit [--write]`.

Logistic regression on the open labelled messages, never on the second set; five folds show what it is worth on
messages that it was not fitted on.
"""

from __future__ import annotations

import re
import sys
import textwrap
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from sklearn.linear_model import LogisticRegression

import bot.language.calibration as curve
from bot.language import build_index
from bot.language.family import machine_of
from bot.language.index import Index
from bot.language.matching import Match, matches
from bot.language.talk import talk_in
from bot.language.understand import parse, weighed
from knowledge.loader import load
from tests.language.labelled_set import rows

FOLDS = 5
SETS = ("technicians", "public")


@dataclass
class Sample:
    """Inputs and truth of one kind of meaning; `fold` keeps all meanings of a message together."""

    inputs: list[tuple[float, ...]]
    truth: list[bool]
    fold: list[int]


def samples(index: Index, labelled: list[dict[str, Any]]) -> dict[str, Sample]:
    """The best match of every meaning in every message, with whether it was meant."""
    found = {"complaint": Sample([], [], []), "denied": Sample([], [], [])}
    for place, row in enumerate(labelled):
        for match, inputs in _best(index, row):
            kind, _, name = match.meaning.partition(":")
            side = "complaints" if kind == "complaint" else "denied"
            meant = name in row["expect"][side]
            if meant or name not in row.get("also_ok", {}).get(side, ()):
                found[kind].inputs.append(inputs)
                found[kind].truth.append(meant)
                found[kind].fold.append(place % FOLDS)
    return found


def _best(index: Index, row: dict[str, Any]) -> list[tuple[Match, tuple[float, ...]]]:
    parsed = parse(index, row["text"])
    machine = machine_of(index, parsed.units, parsed.clauses)
    talk = talk_in([w for w in parsed.words if w[0].isalnum()])
    if row["expect"]["handoff_only"] or talk.instruct:
        return []
    family = row["family"] or row["expect"]["family"]
    if family not in index.tables:
        if machine.foreign and not machine.named:
            return []
        shares = weighed(machine.shares(), {f: matches(index, t, parsed.clauses) for f, t in index.tables.items()})
        family = max(shares, key=lambda f: shares[f])
    lost = not (row["family"] or machine.named)
    best: dict[str, tuple[float, Match, tuple[float, ...]]] = {}
    for match in matches(index, index.tables[family], parsed.clauses):
        if match.plain:
            chance = curve.complaint_probability(match, len(parsed.clauses), talk.scope, lost)
            if match.meaning not in best or chance > best[match.meaning][0]:
                best[match.meaning] = chance, match, curve.inputs(match, len(parsed.clauses), talk.scope, lost)
    return [(match, inputs) for _, match, inputs in best.values()]


def fitted(inputs: np.ndarray, truth: np.ndarray) -> LogisticRegression:
    """The curve: little regularised, so that the constants are what the messages say."""
    return LogisticRegression(C=10, max_iter=1000).fit(inputs, truth)


def main() -> None:
    """Print the constants and their k-fold worth; `--write` puts them into the module."""
    index = build_index(load().knowledge)
    labelled = [row for name in SETS for row in rows(name)]
    text = Path(curve.__file__).read_text("utf-8")
    for kind, sample in samples(index, labelled).items():
        inputs, truth, fold = np.array(sample.inputs), np.array(sample.truth), np.array(sample.fold)
        held_out = np.zeros(len(truth))
        for k in range(FOLDS):
            model = fitted(inputs[fold != k], truth[fold != k])
            held_out[fold == k] = model.predict_proba(inputs[fold == k])[:, 1]
        model = fitted(inputs, truth)
        constants = ", ".join(f"{c:.2f}" for c in (model.intercept_[0], *model.coef_[0]))
        print(f"{kind}: {len(truth)} meanings, {FOLDS}-fold accuracy {np.mean((held_out > 0.5) == truth):.3f}, "
              f"Brier {np.mean((held_out - truth) ** 2):.3f}\n  {constants}")
        lines = "\n        ".join(textwrap.wrap(constants, 90))
        text = re.sub(rf'"{kind}": \([^)]*\)', f'"{kind}": (\n        {lines})', text)
    if "--write" in sys.argv:
        Path(curve.__file__).write_text(text, "utf-8")


if __name__ == "__main__":
    main()
