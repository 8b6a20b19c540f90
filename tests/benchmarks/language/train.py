"""Learns the weights and curves of understanding anew:
`python -m tests.benchmarks.language.train --teacher FOLDER --write`.

The teacher (`teacher.py`) learns the open labelled messages, and the phrases of the packs with less weight; the two
small networks of the program (`networks.py`) learn from the same, from what the teacher says of them, and of made-up
messages; then the last curve is fitted on messages that were kept back from all of it. Never on the frozen set. The
same messages give the same weights. Needs the extra `train` and some hours; without `--teacher` the networks learn
from the labels alone, without `--write` the program stays as it is.
"""

from __future__ import annotations

import argparse
import re
import textwrap
import zlib
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from sklearn.linear_model import LogisticRegression

import bot.language.learned.calibration as curve
from bot.language import build_index
from bot.language.complaints.patterns import phrase_mark
from bot.language.index import Index
from bot.language.learned.weighing import Setting, aside_inputs, inputs
from bot.language.learned.weights import COMMON, Group, read
from bot.language.words.forms import stem
from knowledge.loader import load
from tests.benchmarks.language import teacher
from tests.benchmarks.language.examples import Example, from_messages, from_phrases, from_text
from tests.benchmarks.language.lessons import Floats, Lesson, Numbers, made_up
from tests.benchmarks.language.networks import net, order

KEPT_BACK = 12
"""One message of so many is learned from by nothing but the last curve."""
MADE = 1.5
"""Made-up messages for each real one."""
FOLDS = 3
_WORD = re.compile(r"[^\W\d_][\w']*")
FILE = Path(curve.__file__).parent / "data" / "weights.npz"
MATRICES = FILE.with_suffix(".npy")


@dataclass(frozen=True)
class Taught:
    """What the teacher says, 0 to 1 and in the order of `Numbers.meanings`, of each example, and of made-up ones."""

    of_examples: Floats
    made: Sequence[Example]
    of_made: Floats


def is_kept_back(text: str) -> bool:
    """Whether nothing but the last curve learns from a message: one of KEPT_BACK, by its text."""
    return zlib.crc32(text.encode()) % KEPT_BACK == 0


def taught(index: Index, numbers: Numbers, examples: Sequence[Example], folder: Path) -> Taught:
    """What a teacher that has learned the examples says of them, and of messages made up from them."""
    reader = teacher.Reader(folder)
    model = teacher.learned(folder, list(tasks(numbers, examples, reader)), len(numbers.meanings))
    return asked(index, numbers, examples, reader, model)


def tasks(numbers: Numbers, examples: Sequence[Example], reader: teacher.Reader) -> Iterator[teacher.Task]:
    """The examples for the teacher: what is said of the family with its name before the text, what is said of machines
    at large without, and that only where the family is not known or for one message in three."""
    common = numbers.mine(COMMON)
    for place, example in enumerate(examples):
        says, counts = numbers.truth(example)
        known = example.family in numbers.index.tables
        if known:
            yield teacher.Task(reader(example.text, example.family), says, counts * ~common)
        if example.whole and (not known or place % 3 == 0):
            yield teacher.Task(reader(example.text), says, counts * common)


def asked(index: Index, numbers: Numbers, examples: Sequence[Example], reader: teacher.Reader, model: teacher.Teacher,
          ) -> Taught:
    """The examples, and messages made up from them, told to a teacher. Of machines at large labels alone tell."""
    whole = [place for place, e in enumerate(examples) if e.whole and e.family]
    said = np.zeros((len(examples), len(numbers.meanings)), np.float32)
    said[whole] = teacher.says(model, [reader(examples[place].text, examples[place].family) for place in whole])
    made = [from_text(index, family, text) for family, text in made_up(examples, int(MADE * len(whole)))]
    return Taught(said, made, teacher.says(model, [reader(e.text, e.family) for e in made]))


def written(numbers: Numbers, examples: Sequence[Example]) -> list[str]:
    """Each word of `numbers` as it is mostly written."""
    forms: dict[str, Counter[str]] = {}
    for example in examples:
        for word in _WORD.findall(example.text.lower()):
            forms.setdefault(stem(word), Counter())[word] += 1
    return [forms[word].most_common(1)[0][0] if word in forms else word for word in numbers.words]


def lessons(numbers: Numbers, examples: Sequence[Example], told: Taught | None) -> list[Lesson]:
    """What the networks learn from."""
    if told is None:
        return [numbers.labelled(e) for e in examples if e.said]
    return [numbers.labelled(e, says) for e, says in zip(examples, told.of_examples, strict=True) if e.said] + [
        numbers.made_up(e, says) for e, says in zip(told.made, told.of_made, strict=True) if e.said]


def learned(numbers: Numbers, given: Sequence[Lesson], known: Floats | None = None) -> dict[str, Group]:
    """Family -> weights. `known`: what each word means anywhere, where there is a teacher."""
    bag, in_order = net(numbers, given), order(numbers, given, known)
    return {family: Group(family, tuple(mine), bag, in_order) for family, mine in numbers.of_family.items()}


def folded(index: Index, messages: Sequence[Example], phrases: Sequence[Example]) -> list[dict[str, Group]]:
    """The weights of each fold, learned from the labels of the others alone: a teacher would have seen them."""
    found = []
    for fold in range(FOLDS):
        examples = [*(e for place, e in enumerate(messages) if place % FOLDS != fold), *phrases]
        numbers = Numbers(index, examples)
        found.append(learned(numbers, lessons(numbers, examples, None)))
    return found


def fitted(messages: Sequence[Example], folds: Sequence[dict[str, Group]]) -> dict[str, tuple[float, ...]]:
    """The constants of the last curves, by messages that the weights had not seen: of each fold those that stand at its
    place. `folds` may be one, for messages that were kept back."""
    given: dict[str, list[Sequence[float]]] = {"complaint": [], "denied": [], "aside": []}
    truth: dict[str, list[bool]] = {kind: [] for kind in given}
    for place, example in enumerate(messages):
        if example.heard:
            for kind, values, says in unseen(example, folds[place % len(folds)]):
                given[kind].append(values)
                truth[kind].append(says)
    return {kind: _constants(mine, truth[kind]) for kind, mine in given.items()}


def _constants(given: list[Sequence[float]], truth: list[bool]) -> tuple[float, ...]:
    model = LogisticRegression(C=10, max_iter=2000).fit(np.array(given), truth)
    return (float(model.intercept_[0]), *map(float, model.coef_[0]))


def unseen(example: Example, groups: dict[str, Group]) -> Iterator[tuple[str, Sequence[float], bool]]:
    """Kind, inputs and truth of the last curves for one message under given weights."""
    common, message = groups[COMMON], read(groups, example.traits, example.said)
    setting = Setting(example.clauses, example.scope,
                      float(common.heard(message)[common.meanings.index("scope")]), example.lost)
    families = [example.family] if example.family in groups else [f for f in groups if f != COMMON]
    found = [(groups[f], groups[f].heard(message)) for f in families]
    if not example.handed_over:
        yield "aside", aside_inputs(found, setting, len(example.traits.names)), example.aside
    if example.family in groups:
        group, heard = found[0]
        given = inputs(group, heard, setting)
        for meaning, values in zip(group.meanings, given, strict=True):
            truth = example.truth(meaning)
            if truth is not None:
                yield meaning.partition(":")[0], values, truth


def write(groups: dict[str, Group], phrases: Iterable[int], constants: dict[str, tuple[float, ...]]) -> None:
    """Put weights, marks of the phrases they were learned from, and constants where the program reads them."""
    store(groups, phrases)
    module = Path(curve.__file__)
    before, mark, after = module.read_text("utf-8").partition("WEIGHED: Final")
    for kind, values in constants.items():
        lines = "\n        ".join(textwrap.wrap(", ".join(f"{c:.3f}" for c in values), 90))
        after = re.sub(rf'"{kind}": \([^)]*\)', f'"{kind}": (\n        {lines})', after, count=1)
    module.write_text(before + mark + after, "utf-8")


def marks(numbers: Numbers, examples: Sequence[Example]) -> Iterator[int]:
    """Those by which the program knows the phrases again that were learned from."""
    for example in examples:
        known = numbers.of_family.get(example.family, ())
        if not example.whole:
            yield from (phrase_mark(example.family, m, example.text) for m in example.meanings if m in known)


def store(groups: dict[str, Group], phrases: Iterable[int]) -> None:
    """All matrices one after the other in MATRICES, what tells them apart in FILE."""
    bag, seen = groups[COMMON].net, groups[COMMON].order
    layers = {"net": bag.inner, "net.outer": bag.outer, "order.word": seen.word, "order.concept": seen.concept,
              "order.mark": seen.mark, **{f"order.beside{n}": its for n, its in enumerate(seen.beside)},
              "order.asks": seen.across.asks, "order.gives": seen.across.gives, "order.inner": seen.across.inner,
              "order.outer": seen.across.outer, "order.whole": seen.whole, "order.says": seen.says,
              "order.heeds": seen.heeds}
    stored: dict[str, object] = {
        "groups": " ".join(groups), "layers": " ".join(layers), "traits": "\n".join(bag.rows).encode(),
        "net.families": " ".join(bag.families), "net.of_family": np.array(list(bag.families.values())),
        "net.meanings": " ".join(bag.meanings), "order.meanings": " ".join(seen.meanings),
        "order.apart": seen.across.apart,
        "order.families": " ".join(seen.families), "order.of_family": np.array(list(seen.families.values()))}
    stored["phrases"] = np.array(sorted(phrases), dtype=np.uint32)
    stored |= {f"order.{kind}": "\n".join(getattr(seen, kind)).encode() for kind in ("words", "concepts", "marks")}
    stored |= {f"{name}.meanings": " ".join(group.meanings) for name, group in groups.items()}
    for name, its in layers.items():
        stored |= {f"{name}.shape": np.array(its.matrix.shape), f"{name}.steps": its.steps, f"{name}.base": its.base}
    np.savez_compressed(FILE, **stored)  # type: ignore[arg-type]
    np.save(MATRICES, np.concatenate([its.matrix.ravel() for its in layers.values()]))


def main() -> None:
    """Print what was learned; `--write` puts it into the program."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--write", action="store_true")
    options.add_argument("--teacher", type=Path, help="folder of the pretrained model")
    wanted = options.parse_args()
    index = build_index(load().knowledge, {})
    messages = from_messages(index)
    kept, examples = ([e for e in messages if is_kept_back(e.text)],
                      [*(e for e in messages if not is_kept_back(e.text)), *from_phrases(index)])
    print(f"{len(messages)} messages, of these {len(kept)} kept back, {len(examples)} to learn from with the phrases")
    numbers = Numbers(index, examples)
    told = taught(index, numbers, examples, wanted.teacher) if wanted.teacher else None
    known = teacher.meant(wanted.teacher, written(numbers, examples)) if wanted.teacher else None
    groups = learned(numbers, lessons(numbers, examples, told), known)
    constants = fitted(kept, [groups])
    for kind, values in constants.items():
        print(kind, " ".join(f"{v:.2f}" for v in values))
    if wanted.write:
        write(groups, marks(numbers, examples), constants)
        print(f"written: {(FILE.stat().st_size + MATRICES.stat().st_size) / 1e6:.2f} MB")


if __name__ == "__main__":
    main()
