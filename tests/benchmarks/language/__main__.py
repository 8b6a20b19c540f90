"""Scores understanding: `python -m tests.benchmarks.language [--frozen | --folds] [--plot FILE] [--tokenizer FILE]`.

Figures on those open labelled messages that nothing but the last curve was learned from; with --frozen, on the frozen
set that nothing at all was learned from; with --folds, on all open messages, each judged by weights learned from two
thirds of the others. Ours and four usual ways side by side, times on one core, a reliability plot.
"""

from __future__ import annotations

import argparse
import gc
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from rapidfuzz import fuzz
from rapidfuzz.process import extractOne

import bot.language.learned.calibration as curve
from bot.language import build_index, read_json, understand
from bot.language.answers.answer import answer
from bot.language.answers.likeness import own_words
from bot.language.index import Index
from knowledge.loader import load
from tests.benchmarks.language.baselines import (
    Nearest,
    by_full_text,
    by_letter_runs,
    by_letters,
    by_vectors,
    phrases_of,
    sentence_embedding,
)
from tests.benchmarks.language.examples import from_messages, from_phrases
from tests.benchmarks.language.scoring import Said, Tally, equal_bins, judge, reading_right
from tests.benchmarks.language.train import FOLDS, fitted, folded, is_kept_back
from tests.language.labelled_set import FROZEN, FROZEN_ANSWERS, FROZEN_READINGS, OPEN, OPEN_READINGS, rows

EVERY = 60
"""The cuts of the other ways are found on one in so many of the open messages."""
SHOWN = ("first complaint", "all complaints", "set F1", "denied F1", "family", "false accepts")


def ours(index: Index) -> Callable[[dict[str, Any]], Said]:
    """Our own understanding as a method to judge."""

    def method(row: dict[str, Any]) -> Said:
        meaning = understand(index, row["text"], row["family"])
        listed = tuple((g.id, g.p) for g in meaning.complaints)
        return Said(listed, meaning.denied, meaning.family, meaning.hazard, meaning.handoff_only, dict(meaning.variant),
                    tuple((g.id, g.p) for g in meaning.weighed) or listed)

    return method


def nearest_phrase(nearest: Nearest, threshold: float) -> Callable[[dict[str, Any]], Said]:
    """The meaning of the nearest phrase, when it is near enough."""

    def method(row: dict[str, Any]) -> Said:
        family, meaning, score = nearest(row["text"], row["family"])
        kind, _, name = meaning.partition(":")
        if score < threshold or not name:
            return Said(family=row["family"])
        return Said(((name, min(score, 1.0)),) if kind == "complaint" else (), (name,) if kind == "denied" else (),
                    row["family"] or family)

    return method


def best_threshold(nearest: Nearest, labelled: list[dict[str, Any]]) -> float:
    """The cut at which a baseline gets most messages entirely right, found on the open messages."""
    answers = {row["text"]: nearest(row["text"], row["family"]) for row in labelled}

    def known(text: str, family: str | None) -> tuple[str, str, float]:
        return answers[text]

    cuts = [i / 20 for i in range(20)]
    return max(cuts, key=lambda cut: judge(labelled, nearest_phrase(known, cut)).all_right)


def timed(method: Callable[[dict[str, Any]], Said], labelled: list[dict[str, Any]]) -> tuple[Tally, list[float]]:
    """The tally, and milliseconds of processor time a message."""
    tally, spent = Tally(), []
    for row in labelled:
        start = time.process_time()
        said = method(row)
        spent.append((time.process_time() - start) * 1e3)
        tally.add(row, said)
    return tally, sorted(spent)


def side_by_side(index: Index, method: Callable[[dict[str, Any]], Said], labelled: list[dict[str, Any]],
                 open_rows: list[dict[str, Any]], tokenizer: Path) -> Tally:
    """Print one line a method; gives back our own tally."""
    phrases = phrases_of(index.knowledge)
    methods: dict[str, Nearest] = {"rapidfuzz WRatio": by_letters(phrases), "FTS5 BM25": by_full_text(phrases),
                                   "char n-gram TF-IDF": by_letter_runs(phrases)}
    embed = sentence_embedding(tokenizer)
    if embed is None:
        print("sentence embedding: not installed, left out (see --tokenizer)")
    else:
        methods["sentence embedding"] = by_vectors(phrases, embed)
    print(f"{'':20}" + "".join(f"{name:>17}" for name in SHOWN) + f"{'median ms':>12}{'p99 ms':>9}")
    tally, spent = timed(method, labelled)
    _line("ours", tally, spent)
    for name, nearest in methods.items():
        other, times = timed(nearest_phrase(nearest, best_threshold(nearest, open_rows)), labelled)
        _line(name, other, times)
    return tally


def _line(name: str, tally: Tally, spent: list[float]) -> None:
    figures = tally.figures()
    print(f"{name:20}" + "".join(f"{figures[key]:17.3f}" for key in SHOWN)
          + f"{spent[len(spent) // 2]:12.2f}{spent[int(len(spent) * 0.99)]:9.2f}")


def by_folds(index: Index) -> Callable[[dict[str, Any]], Said]:
    """Our own understanding, each open message judged by weights and curves that have not seen it."""
    messages = from_messages(index)
    folds = folded(index, messages, from_phrases(index))
    curve.WEIGHED.update(fitted(messages, folds))
    methods = [ours(replace(index, learned=learned)) for learned in folds]
    place = {(row["text"], row["family"]): at % FOLDS
             for at, row in enumerate(row for name in OPEN for row in rows(name))}
    return lambda row: methods[place[row["text"], row["family"]]](row)


def typed_answers(index: Index, name: str) -> None:
    """What typed answers to checks come to, against the nearest of the pack's own phrases by letters."""
    labelled = rows(name)
    found = {"ours": Counter[str](), "nearest by letters": Counter[str]()}
    for row in labelled:
        family, check, truth = row["families"][0], row["check"], row["result"]
        heard = answer(index, family, check, row["text"])
        asked_again = heard.result is None and heard.none is None
        found["ours"][_judged(heard.result or heard.none, truth, again=asked_again)] += 1
        entry = index.knowledge.packs[family].checks[check]
        phrases = {phrase: result for result in entry.results for phrase in own_words(entry, result)}
        nearest = extractOne(row["text"].lower(), list(phrases), scorer=fuzz.WRatio)
        found["nearest by letters"][_judged(phrases[nearest[0]], truth, again=False)] += 1
    for way, counts in found.items():
        shares = ", ".join(f"{kind} {n / len(labelled):.3f}" for kind, n in counts.most_common())
        print(f"{name}, {way}: {shares}")


def _judged(said: str | None, truth: str | None, *, again: bool) -> str:
    if again:
        return "left alone, rightly" if truth is None else "asked again"
    return "right" if said == truth else "wrong"


def _asked(row: dict[str, Any]) -> dict[str, Any]:
    return {key: row[key] for key in ("asked", "text", "check", "given") if key in row}


def plot_reliability(tally: Tally, file: Path) -> None:
    """How often complaints given a probability were meant."""
    import matplotlib  # noqa: PLC0415  only for the plot

    matplotlib.use("Agg")
    from matplotlib import pyplot  # noqa: PLC0415

    bins = equal_bins(tally.pairs, 15)
    said = [sum(p for p, _ in b) / len(b) for b in bins]
    true = [sum(h for _, h in b) / len(b) for b in bins]
    pyplot.figure(figsize=(5, 5))
    pyplot.plot([0, 1], [0, 1], color="grey", linewidth=1)
    pyplot.plot(said, true, marker="o")
    pyplot.xlabel("probability given")
    pyplot.ylabel("share that was meant")
    pyplot.title(f"complaints, {len(tally.pairs)} weighed")
    pyplot.tight_layout()
    pyplot.savefig(file)


def main() -> None:
    """Run everything and print it."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--frozen", action="store_true", help="score the frozen set: once, at the end")
    asked.add_argument("--folds", action="store_true", help="learn anew for each third of the open messages")
    asked.add_argument("--plot", type=Path, default=Path("reliability.png"))
    asked.add_argument("--tokenizer", type=Path, default=Path("tokenizer.json"), help="of the sentence embedding")
    options = asked.parse_args()
    knowledge = load().knowledge
    start = time.process_time()
    index = build_index(knowledge)
    gc.freeze()  # as the commands do: what was built once is not searched for garbage at every message
    print(f"index: {time.process_time() - start:.2f} s of processor time, families: {', '.join(index.tables)}")
    open_rows = [row for name in OPEN for row in rows(name)][::EVERY]
    method = by_folds(index) if options.folds else ours(index)
    sets = {FROZEN: rows(FROZEN)} if options.frozen else {
        name: [row for row in rows(name) if options.folds or is_kept_back(row["text"])] for name in OPEN}
    tally = side_by_side(index, method, [row for its in sets.values() for row in its], open_rows, options.tokenizer)
    for name, its in sets.items():
        figures = judge(its, method).figures()
        print(f"{name}: " + ", ".join(f"{k} {v:.3f}" for k, v in figures.items()))
    for name in (FROZEN_READINGS,) if options.frozen else OPEN_READINGS:
        right = sum(reading_right(r, read_json(_asked(r), index)) for r in rows(name))
        print(f"{name}: {right} of {len(rows(name))} right ({right / len(rows(name)):.3f})")
    if options.frozen:
        for name in FROZEN_ANSWERS:
            typed_answers(index, name)
    plot_reliability(tally, options.plot)
    print(f"reliability plot: {options.plot}")


if __name__ == "__main__":
    main()
