"""Learns what typed answers to checks are weighed by: `python -m tests.benchmarks.language.answers [--write]`.

What one group of writers typed (`COMPARED_WITH`) is what answers are compared with, and where answers lie by what they
mean is learned from it (`meanings.py`); how much each comparison counts is learned from other writers' (`WEIGHED_BY`),
who had not seen it. Prints what five folds over checks are worth. With --write where answers lie is learned anew from
all of them, and goes into the program with the weights and with all these answers as examples. Never the frozen ones.
Extra `train`, some seven minutes. With --traits nothing is learned: what is stored of the texts is read anew, as it
must be after a change of words in `data/` (half a minute).
"""

from __future__ import annotations

import math
import sys
import zlib
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from random import Random
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix
from sklearn.linear_model import LogisticRegression

from bot import language
from bot.language import build_index
from bot.language.answers import likeness
from bot.language.answers.by_the_way import chance_of, traits_of_telling
from bot.language.answers.known import STEP, Known, known, known_of, write_known
from bot.language.answers.likeness import Floats, Learned, among, between, chances, choices_from, own_words
from bot.language.answers.meant import LAYERS, Meant, answer_traits, meant, spot_from
from bot.language.answers.said_for import SaidFor
from bot.language.answers.scored import scored
from bot.language.answers.told_apart import lines_of
from bot.language.answers.typed import NO_RESULT, lines_of_checks
from bot.language.index import Index
from knowledge.loader import load
from tests.benchmarks.language.meanings import Asked, Texts, learn
from tests.language.labelled_set import COMPARED_WITH, OF_ALL_KINDS, WEIGHED_BY, rows

FOLDS: Final = 5
SELDOM: Final = 3
STRAY: Final = 0.4
"""How much an answer to another check counts, beside one to the check itself: seldom does one come at a time."""
FOLDER: Final = Path(language.__file__).parent / "data"
Row = Mapping[str, Any]


@dataclass(frozen=True)
class Case:
    """One answer, compared with all results of its check."""

    fold: int
    result: str
    results: tuple[str, ...]
    table: Floats
    inputs: Floats
    """Of naming a result at all."""
    weight: float


def kind_of(row: Row) -> str:
    """A result's id, or one of NO_RESULT."""
    return str(row["result"]) if row["result"] is not None else "other"


def counted(index: Index, many: Sequence[Row], of_all_kinds: Sequence[Row],
            lie: tuple[Meant, Known]) -> Learned:
    """How seldom traits are said, and which speak for naming no result; the other weights are still naught.

    `lie`: where answers lie, and those known. `of_all_kinds`: those whose writers were asked for answers that name no
    result, too, as often as they come."""
    said = [answer_traits(index, row["text"]) for row in many]
    own = {phrase for pack in index.knowledge.packs.values() for check in pack.checks.values()
           for result in check.results for phrase in own_words(check, result)}
    said_so = [answer_traits(index, phrase) for phrase in sorted(own)]
    counts = Counter(trait for traits in [*said, *said_so] for trait in traits)
    whole = len(said) + len(said_so)
    names = sorted(trait for trait, n in counts.items() if n >= 2)
    places = {name: place for place, name in enumerate(names)}
    seldom = np.array([math.log((whole + 10) / (counts[name] + 2)) for name in names])
    mixed = [answer_traits(index, row["text"]) for row in of_all_kinds]
    spots = [(row, places[t], 1 / math.sqrt(len(traits))) for row, traits in enumerate(mixed) for t in traits
             if t in places and counts[t] >= SELDOM]
    at, columns, values = zip(*spots, strict=True)
    matrix = csr_matrix((values, (at, columns)), shape=(len(mixed), len(names)))
    kinds, base = np.zeros((len(names), len(NO_RESULT))), np.zeros(len(NO_RESULT))
    for place, kind in enumerate(NO_RESULT):
        model = LogisticRegression(C=20.0, solver="liblinear", random_state=0).fit(
            matrix, [kind_of(row) == kind for row in of_all_kinds])
        kinds[:, place], base[place] = model.coef_[0], model.intercept_[0]
    return Learned(places, seldom, math.log((whole + 10) / 2), kinds, base, np.zeros(0), np.zeros((0, 0)), np.zeros(0),
                   *lie)


def compared(texts: Texts, held: Learned, examples: Sequence[Row], asked: Sequence[Row]) -> Iterator[Case]:
    """Each answer against its own check, and against another one, where it names no result."""
    index = texts.index
    known: dict[tuple[str, str], dict[str, list[str]]] = {}
    for row in examples:
        for family in row["families"]:
            known.setdefault((family, row["check"]), {}).setdefault(kind_of(row), []).append(row["text"])
    made: dict[tuple[str, str], SaidFor] = {}
    rng = Random(0)
    for row in asked:
        family = row["families"][0]
        others = sorted(index.knowledge.packs[family].checks)
        spots = [(row["check"], kind_of(row))]
        if kind_of(row) not in NO_RESULT:
            spots.append((rng.choice(others), "other"))
        for check, result in spots:
            spot = family, check
            if spot not in made:
                made[spot] = choices_from(index, held, index.knowledge.packs[family].checks[check], known.get(spot, {}))
            said = texts.said(held, row["text"])
            old = {g.id: g.p for g in scored(index, family, check, row["text"])}
            table = among(held, made[spot], said, old)
            yield Case(zlib.crc32(row["check"].encode()) % FOLDS, result, made[spot].results, table,
                       between(held, said, table), 1.0 if check == row["check"] else STRAY)


def weighed(held: Learned, cases: Sequence[Case]) -> Learned:
    """The weights of the comparisons."""
    naming = [c for c in cases if c.result not in NO_RESULT]
    model = LogisticRegression(C=3.0, max_iter=5000).fit(
        np.vstack([c.table for c in naming]), [r == c.result for c in naming for r in c.results])
    kinds = [NO_RESULT.index(c.result) if c.result in NO_RESULT else len(NO_RESULT) for c in cases]
    outer = LogisticRegression(C=3.0, max_iter=5000).fit(
        np.array([c.inputs for c in cases]), kinds, sample_weight=[c.weight for c in cases])
    factors = np.hstack([outer.coef_, outer.intercept_[:, None]])
    return replace(held, among=model.coef_[0], between=factors[:-1] - factors[-1])


def judged(held: Learned, case: Case) -> dict[str, float]:
    """Chance of each result and of each kind that names none."""
    shares, none = chances(held, case.table, case.inputs)
    return dict(zip((*case.results, *NO_RESULT), (*shares, *none), strict=True))


def tell(answers: Sequence[tuple[str, dict[str, float]]]) -> None:
    """Print how often the likeliest is right, by how sure it is."""
    best = [(max(told, key=lambda r: told[r]), told, truth) for truth, told in answers]
    print(f"{len(best)} answers, likeliest right {np.mean([b == t for b, _, t in best]):.3f}")
    for least in (0.0, 0.5, 0.6, 0.7, 0.8, 0.9):
        named = [(b == t, told[b]) for b, told, t in best if b not in NO_RESULT and told[b] >= least]
        truly = sum(t not in NO_RESULT for _, _, t in best)
        print(f"  from {least:.1f}: a result is taken {len(named) / max(1, truly or len(best)):.3f}, right of those "
              f"{np.mean([r for r, _ in named]):.3f}, says {np.mean([p for _, p in named]):.3f}")


def asked_checks(index: Index, examples: Sequence[Row]) -> dict[tuple[str, str], Asked]:
    """All checks, with what is said for their results."""
    found = {(family, check): Asked({name: list(dict.fromkeys(own_words(entry, name))) for name in entry.results},
                                    {name: [] for name in entry.results}, [])
             for family, pack in index.knowledge.packs.items() for check, entry in pack.checks.items()}
    for row in examples:
        for family in row["families"]:
            asked = found.get((family, row["check"]))
            if asked is None:
                continue
            if kind_of(row) in asked.typed:
                asked.typed[kind_of(row)].append(row["text"])
            elif kind_of(row) in NO_RESULT:
                asked.none.append((row["text"], NO_RESULT.index(kind_of(row))))
    return found


def lying(texts: Texts, examples: Sequence[Row]) -> tuple[Meant, Known]:
    """Where answers lie, learned from those examples, and where these and the packs' own phrases do."""
    checks = asked_checks(texts.index, examples)
    held = learn(texts, checks)
    said = sorted({text for asked in checks.values() for many in (asked.own, asked.typed) for one in many.values()
                   for text in one})
    places = np.array([spot_from(held, texts.words[text].astype(np.float32), texts.traits[text]).at for text in said])
    return held, known_of(said, np.rint(places / STEP).astype(np.int8), [texts.traits[text] for text in said])


def by_the_way(index: Index, held: Learned) -> tuple[Floats, NDArray[np.int64], NDArray[np.str_]]:
    """What tells results that messages give by the way, [N, 6]; the fold of each; the verdict on it."""
    judged_rows = [row for row in rows("answers_by_the_way")
                   if row["result"] in index.knowledge.packs[row["families"][0]].checks[row["check"]].results]
    table = []
    for row in judged_rows:
        table.append(traits_of_telling(index, held, row["families"][0], row["check"], row["result"],
                                       lines_of(index, row["families"][0], row["text"])))
    return (np.array(table), np.array([zlib.crc32(row["check"].encode()) % FOLDS for row in judged_rows]),
            np.array([row["told"] for row in judged_rows]))


def with_asides(index: Index, held: Learned) -> Learned:
    """The weights of what is told by the way; prints what they are worth by folds over checks."""
    table, folds, verdicts = by_the_way(index, held)
    told, denied = verdicts == "told", verdicts == "not told"
    chances_of = np.zeros(len(told))
    for fold in range(FOLDS):
        mine = replace(held, aside=_logistic(table[folds != fold], told[folds != fold]))
        chances_of[folds == fold] = [chance_of(mine, row) for row in table[folds == fold]]
    print(f"told by the way: {len(told)}, told {told.mean():.3f}")
    for least in (0.5, 0.55, 0.6, 0.7, 0.8):
        taken = chances_of >= least
        print(f"  from {least:.2f}: {taken.sum()} taken, told of those {told[taken].mean():.3f},"
              f" not told {denied[taken].mean():.3f}, of all told {told[taken].sum() / told.sum():.3f}")
    return replace(held, aside=_logistic(table, told))


def _logistic(table: Floats, told: NDArray[np.bool_]) -> Floats:
    """Weights of the columns as they are, and of 1."""
    middle, spread = table.mean(axis=0), table.std(axis=0)
    model = LogisticRegression(C=0.3, max_iter=2000).fit((table - middle) / spread, told)
    weights = model.coef_[0] / spread
    return np.append(weights, model.intercept_[0] - weights @ middle)


def write_examples(examples: Sequence[Row]) -> None:
    """Put the answers that others are compared with where the program reads them."""
    lines = {"\t".join((" ".join(row["families"]), row["check"], kind_of(row), " ".join(row["text"].split())))
             for row in examples if kind_of(row) not in NO_RESULT}
    (FOLDER / "answers.tsv").write_text("\n".join(sorted(lines)) + "\n", "utf-8")


def write_weights(held: Learned) -> None:
    """Put the weights where the program reads them."""
    np.savez_compressed(FOLDER / "answers.npz", traits="\n".join(held.places), seldom=held.seldom.astype(np.float16),
                        rest=held.rest, kinds=held.kinds.astype(np.float16), base=held.base, among=held.among,
                        between=held.between, aside=held.aside)


def write_places(at: Meant, texts: Known) -> None:
    """Put where answers lie where the program reads it."""
    np.savez_compressed(FOLDER / "answers_meant.npz", traits="\n".join(sorted(at.rows, key=lambda t: at.rows[t])),
                        firm=at.firm, **{name: getattr(at, name).astype(np.float16) for name in LAYERS})
    write_known(FOLDER, texts)


def read_anew(texts: Texts, examples: Sequence[Row]) -> Known:
    """What is stored, with the traits of its texts as they are read now."""
    own = {text for asked in asked_checks(texts.index, examples).values() for those in (asked.own, asked.typed)
           for many in those.values() for text in many}
    said = sorted(text for text, there in zip(own, known().find(list(own))[1], strict=True) if there)
    places = np.rint(known().find(said)[0] / STEP).astype(np.int8)
    return known_of(said, places, [answer_traits(texts.index, text) for text in said])


def main() -> None:
    """Print what was learned; `--write` puts it into the program."""
    many = [row for name in COMPARED_WITH for row in rows(name)]
    others = [row for name in WEIGHED_BY for row in rows(name)]
    index = build_index(load().knowledge)
    texts = Texts(index)
    if "--traits" in sys.argv:
        write_known(FOLDER, read_anew(texts, [*many, *others]))
        return
    held = counted(index, many, [row for name in OF_ALL_KINDS for row in rows(name)], lying(texts, many))
    cases = list(compared(texts, held, many, others))
    told = []
    for fold in range(FOLDS):
        mine = weighed(held, [c for c in cases if c.fold != fold])
        told += [(c, judged(mine, c)) for c in cases if c.fold == fold]
    for title, kept in (("to the check", [x for x in told if x[0].weight == 1.0]),
                        ("to another check", [x for x in told if x[0].weight < 1.0])):
        print(title)
        tell([(case.result, found) for case, found in kept])
    held = weighed(held, cases)
    if "--write" in sys.argv:
        write_examples([*many, *others])
        write_places(*lying(texts, [*many, *others]))
        write_weights(held)  # what is told by the way is weighed by what is heard as an answer: all is read anew
        for stored in (lines_of_checks, meant, known, likeness.learned):
            stored.cache_clear()
        write_weights(with_asides(build_index(load().knowledge), likeness.learned()))


if __name__ == "__main__":
    main()
