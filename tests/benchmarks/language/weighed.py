"""How much reading an answer whole counts: `python -m tests.benchmarks.language.weighed [--write]`.

Learned from lines at a check that neither it nor the comparisons have learned from (`answers_turns.jsonl`, before the
pupil's last rounds), and from the same lines as answers to some other check, which they are not: the powers of both
chances under which what was said is likeliest. Prints what that is worth by folds over families. Five minutes.
"""

from __future__ import annotations

import random
import sys
from pathlib import Path
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize

from bot import language
from bot.language import build_index
from bot.language.answers.likeness import by_comparison
from bot.language.answers.read_whole import LEAST, read_whole, together
from bot.language.answers.scored import scored
from bot.language.answers.typed import NO_RESULT
from bot.language.index import Index
from knowledge.loader import load
from tests.benchmarks.language.status import FOLDS
from tests.language.labelled_set import rows

FOLDER: Final = Path(language.__file__).parent / "data"
ANSWERS: Final = frozenset({"plain", "not_but", "chatter", "word"})
ASKED: Final = ANSWERS | {"two", "cannot", "unsure", "other", "wait"}
STRAY: Final = 0.3
"""How much an answer to another check counts beside one to the check itself."""


class Line(NamedTuple):
    """One answer: logs of the chances by comparison and by reading, [2, result and kind], and which it is."""

    family: str
    heard: NDArray[np.float64]
    truth: int
    results: int


def lines() -> tuple[list[Line], list[Line]]:
    """All that both can say something of; and lines that answer something, put to another check."""
    index, chance = build_index(load().knowledge), random.Random(1)
    own, astray = [], []
    for row in rows("answers_turns"):
        family, checks = row["families"][0], index.knowledge.packs[row["families"][0]].checks
        if row["intent"] not in ASKED or row["check"] not in checks:
            continue
        own += _line(index, family, row["check"], row["text"], row["result"] or "other")
        if row["intent"] in ANSWERS:
            other = chance.choice([check for check in checks if check != row["check"]])
            astray += _line(index, family, other, row["text"], "other")
    return own, astray


def _line(index: Index, family: str, check: str, text: str, truth: str) -> list[Line]:
    old = {guess.id: guess.p for guess in scored(index, family, check, text)}
    results, *compared = by_comparison(index, family, check, text, old)
    read = read_whole(index, (family, check), results, text)
    if read is None or not any(compared[0]):
        return []
    heard = np.log(np.maximum([np.concatenate(compared), np.concatenate(read)], LEAST))
    return [Line(family, heard, [*results, *NO_RESULT].index(truth), len(results))]


def odds_of(line: Line, powers: NDArray[np.float64]) -> NDArray[np.float64]:
    """Log odds by both."""
    return together(powers[:2], powers[2:], line.heard)


def fitted(own: list[Line], astray: list[Line]) -> NDArray[np.float64]:
    """The four powers."""
    def cost(powers: NDArray[np.float64]) -> float:
        of_own, of_astray = (np.mean([np.logaddexp.reduce(odds := odds_of(line, powers)) - odds[line.truth]
                                      for line in many]) for many in (own, astray))
        return float(of_own + STRAY * of_astray)
    found: NDArray[np.float64] = minimize(cost, np.full(4, 0.4), method="Nelder-Mead").x
    return found


def tell(name: str, said: list[tuple[Line, NDArray[np.float64]]]) -> None:
    """Print how many are right, and how it is from .7, .75 and .8 on."""
    chances = [np.exp(odds - np.logaddexp.reduce(odds)) for _, odds in said]
    best = np.array([each.argmax() for each in chances])
    sure = np.array([each.max() for each in chances])
    truths, results = (np.array([getattr(line, its) for line, _ in said]) for its in ("truth", "results"))
    right, taken, its = best == truths, best < results, truths < results
    print(f"{name}: {len(said)}, right {right.mean():.3f}")
    for least in (0.7, 0.75, 0.8):
        clear = sure >= least
        if its.any():
            print(f"  from {least:.2f}: of those that name a result right {(right & clear)[its].mean():.3f}, "
                  f"wrong {(~right & taken & clear)[its].mean():.3f}")
        print(f"  from {least:.2f}: of the others a result is taken {(taken & clear)[~its].mean():.3f}")


def main() -> None:
    """See above."""
    own, astray = lines()
    both: dict[str, list[tuple[Line, NDArray[np.float64]]]] = {"to the check": [], "to another check": []}
    for fold in FOLDS:
        powers = fitted(*([line for line in many if line.family not in fold] for many in (own, astray)))
        for name, many in zip(both, (own, astray), strict=True):
            both[name] += [(line, odds_of(line, powers)) for line in many if line.family in fold]
    for name, many in zip(both, (own, astray), strict=True):
        tell(f"{name}, by comparison", [(line, line.heard[0]) for line in many])
        tell(f"{name}, by reading", [(line, line.heard[1]) for line in many])
        tell(f"{name}, by both", both[name])
    powers = fitted(own, astray)
    print(f"powers among results {powers[:2].round(3)}, of naming one {powers[2:].round(3)}")
    if "--write" in sys.argv:
        path = FOLDER / "reader_results.npz"
        with np.load(path) as stored:
            kept = dict(stored)
        np.savez_compressed(path, **{**kept, "among": powers[:2].astype(np.float32),
                                     "between": powers[2:].astype(np.float32)})


if __name__ == "__main__":
    main()
