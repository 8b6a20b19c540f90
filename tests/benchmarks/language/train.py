"""Learns the weights and curves of understanding anew: `python -m tests.benchmarks.language.train [--write]`.

One logistic regression a meaning, over the open labelled messages and (with less weight) the phrases of the packs, and
two small networks for all meanings together (`order.py` has the one that sees the words in order); then the last curve,
on scores that weights gave to messages which they had not seen. Never on the frozen set. The same messages give the
same weights. Needs the extra `train`.
"""

from __future__ import annotations

import re
import sys
import textwrap
import warnings
from collections import Counter
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from pathlib import Path

import numpy as np
from scipy.sparse import csr_matrix
from sklearn.exceptions import ConvergenceWarning
from sklearn.linear_model import LogisticRegression
from sklearn.neural_network import MLPClassifier

import bot.language.calibration as curve
from bot.language import build_index
from bot.language.index import Index
from bot.language.order import Order
from bot.language.weighing import Setting, aside_inputs, inputs, phrase_chances
from bot.language.weights import COMMON, Group, Net, Rows, read
from knowledge.loader import load
from tests.benchmarks.language.examples import Example, from_messages, from_phrases
from tests.benchmarks.language.order import layer, meanings_of, order

FOLDS = 3
STRENGTH = 40.0
"""Inverse of the regularisation, chosen by folds among 3, 10, 20, 30."""
PHRASE_WEIGHT = 0.3
SELDOM = 2
"""Traits of fewer messages and phrases are left out."""
PAIR = "&"
"""Traits that are pairs of others: the network finds its own."""
UNITS, ROUNDS, LOUDER, FAMILY_WEIGHT = 256, 8, 1.5, 0.5
"""Hidden units and rounds through the messages; how much louder traits are, and how loud the family. By one fold."""
FILE = Path(curve.__file__).parent / "data" / "weights.npz"
MATRICES = FILE.with_suffix(".npy")


class Columns:
    """Traits as columns: one that all families share and one of each family's own."""

    def __init__(self, examples: Sequence[Example]) -> None:
        seen = Counter(name for e in examples for name in e.traits.names)
        self.places: dict[str, int] = {}
        for e in examples:
            for name in e.traits.names:
                if seen[name] >= SELDOM:
                    for key in (name, f"{e.family}/{name}"):
                        self.places.setdefault(key, len(self.places))

    def matrix(self, examples: Sequence[Example]) -> csr_matrix:
        """[example, column]."""
        spots = [(row, self.places[key], e.traits.weight) for row, e in enumerate(examples) for name in e.traits.names
                 for key in (name, f"{e.family}/{name}") if key in self.places]
        rows, columns, values = zip(*spots, strict=True)
        return csr_matrix((values, (rows, columns)), shape=(len(examples), len(self.places)))


def learned(index: Index, examples: Sequence[Example]) -> dict[str, Group]:
    """Family -> weights."""
    columns = Columns(examples)
    found = columns.matrix(examples)
    models: dict[str, LogisticRegression] = {}
    for meaning in sorted({m for f in [COMMON, *index.tables] for m in meanings_of(index, f)}):
        kept = [(row, truth) for row, e in enumerate(examples) if (truth := e.says(index, meaning)) is not None]
        rows, truth = [row for row, _ in kept], [t for _, t in kept]
        if sum(truth) >= 2:
            weight = [1.0 if examples[row].whole else PHRASE_WEIGHT for row in rows]
            models[meaning] = LogisticRegression(C=STRENGTH, solver="liblinear", max_iter=300, random_state=0).fit(
                found[rows], truth, sample_weight=weight)
    net, in_order = network(index, examples), order(index, examples)
    return {family: _group(index, family, columns, models, None if family == COMMON else net, in_order)
            for family in [COMMON, *index.tables]}


def network(index: Index, examples: Sequence[Example]) -> Net:
    """One network over single traits and the family; what is forgiven in a message counts as not said."""
    families = list(index.tables)
    told = [e for e in examples if e.family in index.tables]
    seen = Counter(name for e in told for name in e.traits.names if PAIR not in name)
    rows = {name: place for place, name in enumerate(n for n, times in seen.items() if times >= SELDOM)}
    meanings = sorted({m for family in families for m in meanings_of(index, family)})
    places = {meaning: place for place, meaning in enumerate(meanings)}
    spots = [(at, rows[name], e.traits.weight) for at, e in enumerate(told) for name in e.traits.names if name in rows]
    spots += [(at, len(rows) + families.index(e.family), FAMILY_WEIGHT) for at, e in enumerate(told)]
    at, columns, values = zip(*spots, strict=True)
    truth = np.zeros((len(told), len(meanings)), dtype=np.int64)
    for row, e in enumerate(told):
        for kind, names in (("complaint", e.present), ("denied", e.absent)):
            truth[row, [places[m] for name in names if (m := f"{kind}:{name}") in places]] = 1
    model = MLPClassifier((UNITS,), alpha=1e-3, batch_size=64, learning_rate_init=3e-3, max_iter=ROUNDS, random_state=0)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", ConvergenceWarning)
        model.fit(csr_matrix((values, (at, columns)), shape=(len(told), len(rows) + len(families))) * LOUDER, truth)
    (inner, outer), (inner_base, outer_base) = model.coefs_, model.intercepts_
    of_family = inner[len(rows):] * LOUDER * FAMILY_WEIGHT
    return Net(tuple(meanings), Rows.of(rows), layer(inner[:len(rows)] * LOUDER, inner_base),
               {f: of_family[place].astype(np.float32) for place, f in enumerate(families)}, layer(outer, outer_base))


def _group(index: Index, family: str, columns: Columns, models: dict[str, LogisticRegression],
           net: Net | None, in_order: Order) -> Group:
    """One family's own and shared columns in one matrix of small steps."""
    meanings = tuple(m for m in meanings_of(index, family) if m in models)
    names = [key for key in columns.places if "/" not in key]
    whole = np.zeros((len(names), len(meanings)))
    for at, meaning in enumerate(meanings):
        factors = models[meaning].coef_[0]
        whole[:, at] = [factors[columns.places[n]] + (
            factors[columns.places[own]] if (own := f"{family}/{n}") in columns.places else 0.0) for n in names]
    found = layer(whole, np.array([models[m].intercept_[0] for m in meanings]))
    used = np.flatnonzero((np.abs(found.matrix) >= 3).any(axis=1))
    return Group(family, meanings, Rows.of(names[row] for row in used),
                 replace(found, matrix=found.matrix[used]), net, in_order)


def folded(index: Index, messages: Sequence[Example], phrases: Sequence[Example]) -> list[dict[str, Group]]:
    """The weights of each fold, learned from the others; after them those learned from all."""
    parts = [[e for place, e in enumerate(messages) if place % FOLDS != k] for k in range(FOLDS)]
    with ProcessPoolExecutor(initializer=_start, initargs=(index,)) as pool:
        return list(pool.map(_learned, ([*part, *phrases] for part in [*parts, messages])))


_INDEX: list[Index] = []


def _start(index: Index) -> None:
    _INDEX.append(index)


def _learned(examples: Sequence[Example]) -> dict[str, Group]:
    return learned(_INDEX[0], examples)


def fitted(messages: Sequence[Example], folds: Sequence[dict[str, Group]]) -> dict[str, tuple[float, ...]]:
    """The constants of the last curves, by messages that the weights had not seen."""
    given: dict[str, list[Sequence[float]]] = {"complaint": [], "denied": [], "aside": []}
    truth: dict[str, list[bool]] = {kind: [] for kind in given}
    for place, example in enumerate(messages):
        if example.heard:
            for kind, values, says in unseen(example, folds[place % FOLDS]):
                given[kind].append(values)
                truth[kind].append(says)
    return {kind: _constants(mine, truth[kind]) for kind, mine in given.items()}


def _constants(given: list[Sequence[float]], truth: list[bool]) -> tuple[float, ...]:
    model = LogisticRegression(C=10, max_iter=2000).fit(np.array(given), truth)
    return (float(model.intercept_[0]), *map(float, model.coef_[0]))


def unseen(example: Example, groups: dict[str, Group]) -> Iterator[tuple[str, Sequence[float], bool]]:
    """Kind, inputs and truth of the last curves for one message under given weights."""
    common, words = groups[COMMON], read(groups, example.said)
    setting = Setting(example.clauses, example.scope,
                      float(common.heard(example.traits, words)[common.meanings.index("scope")]), example.lost)
    families = [example.family] if example.family in groups else [f for f in groups if f != COMMON]
    learned = [(groups[f], groups[f].heard(example.traits, words)) for f in families]
    if not example.handed_over:
        yield "aside", aside_inputs(learned, example.matches, setting, len(example.traits.names)), example.aside
    if example.family in groups:
        group, heard = learned[0]
        given = inputs(group, heard, phrase_chances(example.matches, setting), setting)
        for meaning, values in zip(group.meanings, given, strict=True):
            truth = example.truth(meaning)
            if truth is not None:
                yield meaning.partition(":")[0], values, truth


def write(groups: dict[str, Group], constants: dict[str, tuple[float, ...]]) -> None:
    """Put weights and constants where the program reads them."""
    store(groups)
    module = Path(curve.__file__)
    before, mark, after = module.read_text("utf-8").partition("WEIGHED: Final")
    for kind, values in constants.items():
        lines = "\n        ".join(textwrap.wrap(", ".join(f"{c:.3f}" for c in values), 90))
        after = re.sub(rf'"{kind}": \([^)]*\)', f'"{kind}": (\n        {lines})', after, count=1)
    module.write_text(before + mark + after, "utf-8")


def store(groups: dict[str, Group]) -> None:
    """All matrices one after the other in MATRICES, what tells them apart in FILE."""
    net, seen = next((g.net, g.order) for g in groups.values() if g.net is not None)
    layers = {name: group.layer for name, group in groups.items()} | {
        "net": net.inner, "net.outer": net.outer, "order.word": seen.word, "order.concept": seen.concept,
        "order.mark": seen.mark, **{f"order.beside{n}": its for n, its in enumerate(seen.beside)},
        "order.says": seen.says, "order.heeds": seen.heeds}
    rows = {name: group.rows for name, group in groups.items()} | {"net": net.rows}
    traits = list(dict.fromkeys(trait for its in rows.values() for trait in its))
    stored: dict[str, object] = {
        "groups": " ".join(groups), "layers": " ".join(layers), "traits": "\n".join(traits).encode(),
        "net.families": " ".join(net.families), "net.of_family": np.array(list(net.families.values())),
        "net.meanings": " ".join(net.meanings), "order.meanings": " ".join(seen.meanings),
        "order.families": " ".join(seen.families), "order.of_family": np.array(list(seen.families.values()))}
    stored |= {f"order.{kind}": "\n".join(getattr(seen, kind)).encode() for kind in ("words", "concepts", "marks")}
    stored |= {f"{name}.meanings": " ".join(group.meanings) for name, group in groups.items()}
    stored |= {f"{name}.rows": np.array([its.get(trait, -1) for trait in traits], dtype=np.int32)
               for name, its in rows.items()}
    for name, its in layers.items():
        stored |= {f"{name}.shape": np.array(its.matrix.shape), f"{name}.steps": its.steps, f"{name}.base": its.base}
    np.savez_compressed(FILE, **stored)  # type: ignore[arg-type]
    np.save(MATRICES, np.concatenate([its.matrix.ravel() for its in layers.values()]))


def main() -> None:
    """Print what was learned; `--write` puts it into the program."""
    index = build_index(load().knowledge, {})
    messages, phrases = from_messages(index), from_phrases(index)
    print(f"{len(messages)} messages, {len(phrases)} phrases")
    *folds, groups = folded(index, messages, phrases)
    constants = fitted(messages, folds)
    for kind, values in constants.items():
        print(kind, " ".join(f"{v:.2f}" for v in values))
    for name, group in groups.items():
        print(f"{name}: {len(group.rows)} traits, {len(group.meanings)} meanings")
    if "--write" in sys.argv:
        write(groups, constants)
        print(f"written: {(FILE.stat().st_size + MATRICES.stat().st_size) / 1e6:.2f} MB")


if __name__ == "__main__":
    main()
