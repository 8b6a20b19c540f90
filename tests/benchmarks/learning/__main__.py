"""`python -m tests.benchmarks.learning`: see the package's docstring."""

from __future__ import annotations

import argparse
import pickle
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np

from bot.diagnosis.compiled import Model, compile_pack
from bot.followup.cases import Case, case_of
from bot.followup.counting import fading
from bot.followup.gate import Score, score_rows, score_shares
from bot.followup.learning import book_of, counted, learn, share_worth, shares
from knowledge.learned import Learned, LearnedFamily, lay_over
from knowledge.loader import load
from knowledge.schema import Common, Knowledge, Pack
from tests.benchmarks.diagnosis.calibration import calibration_error, chance_error
from tests.benchmarks.learning.firm import Firm, Policy, Went, plain, planned, visit

BEGIN = datetime(2030, 1, 1, tzinfo=UTC)
FRESH = 1_000_000
"""Numbers of the fresh machines begin here: none of them was learned from."""
APPLIED = 100
"""Cases after which the owner applies what was learned, each time: the cap holds for each release."""
TEST = 900
"""Seeds of the test firms begin here; those of development at 0."""
VALUES: dict[str, Callable[[Went], float]] = {
    "minutes to a proven fix": lambda w: w.minutes, "handed to a senior": lambda w: w.handed_off,
    "first proposal right": lambda w: w.right}


@dataclass(frozen=True)
class Measured:
    """One firm: what was learned, and its fresh visits by the pack and by what was learned."""

    family: str
    cases: int
    made: int
    worth: float
    shares: Score
    rows: Score
    live: LearnedFamily
    releases: int
    went: dict[str, tuple[tuple[Went, Went], ...]]
    """Policy -> fresh visits, each by the pack and by what was learned."""


def main() -> int:
    """Collect, learn, measure, print."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.learning")
    parser.add_argument("--family", action="append", help="only this one; may be given again")
    parser.add_argument("--cases", type=int, default=300, help="confirmed visits that are learned from, a family")
    parser.add_argument("--planned", type=int, default=120, help="fresh visits by the product's planner, a firm")
    parser.add_argument("--plain", type=int, default=600, help="fresh visits by the plain policy, a firm")
    parser.add_argument("--firms", type=int, default=1, help="firms, a family")
    parser.add_argument("--mix", type=float, default=0.8, help="standard deviation of the shares' log-odds shifts")
    parser.add_argument("--rows", type=float, default=0.0, help="the same of the checks' rows")
    parser.add_argument("--keep", type=Path, metavar="FOLDER", help="keep the firms; those there are not made again")
    parser.add_argument("--development", action="store_true", help="firms to try things on")
    options = parser.parse_args()
    packs = load().knowledge.packs
    found = []
    for family in options.family or list(packs):
        for number in range(options.firms):
            seed = (0 if options.development else TEST) + number
            firm = Firm(packs[family], seed, options.mix, options.rows)
            fresh: dict[Policy, int] = {planned: options.planned, plain: options.plain}
            found.append(kept(options.keep, firm, lambda firm=firm, fresh=fresh: measure(firm, options.cases, fresh)))
            print(one(found[-1]), flush=True)
    for policy in (planned, plain):
        print(together(found, policy.__name__))
    return 0


def kept(folder: Path | None, firm: Firm, make: Callable[[], Measured]) -> Measured:
    """The firm's figures, from the folder if they are there."""
    if folder is None:
        return make()
    file = folder / f"{firm.pack.family.id}-{firm.seed}.pickle"
    if not file.exists():
        folder.mkdir(parents=True, exist_ok=True)
        file.write_bytes(pickle.dumps(make()))
    found: Measured = pickle.loads(file.read_bytes())
    return found


def measure(firm: Firm, count: int, fresh: dict[Policy, int]) -> Measured:
    """Collect cases with the pack, learn, and make the fresh visits by both."""
    pack = firm.pack
    model = compile_pack(pack)
    cases, made = collect(firm, model, count)
    for number in (30, 100, 300):
        if number <= len(cases):
            print(f"  {pack.family.id} {number} cases, divergence from the truth: {divergences(firm, cases[:number])}")
    amount = share_worth(book_of(pack), counted(book_of(pack), cases, fading(cases)))
    now, live, releases = pack, LearnedFamily(), 0
    for number in range(APPLIED, len(cases) + 1, APPLIED):
        by_shares, by_rows = score_shares(pack, cases[:number]), score_rows(pack, cases[:number])
        if by_shares.open or by_rows.open:
            live = learn(pack, now, cases[:number], with_shares=by_shares.open, with_rows=by_rows.open)
            now, releases = laid(pack, live), releases + 1
    learned = compile_pack(now)
    went = {policy.__name__: tuple((visit(model, firm.machine(n), policy), visit(learned, firm.machine(n), policy))
                                   for n in range(FRESH, FRESH + many)) for policy, many in fresh.items()}
    return Measured(pack.family.id, len(cases), made, amount, by_shares, by_rows, live, releases, went)


def collect(firm: Firm, model: Model, count: int) -> tuple[tuple[Case, ...], int]:
    """Visits until `count` are confirmed; and how many were made."""
    cases: list[Case] = []
    number = 0
    while len(cases) < count:
        went = visit(model, firm.machine(number), plain)
        if went.label is not None:
            case = case_of(f"{number:06}", BEGIN + timedelta(hours=number), went.label, went.told, model)
            cases += [case] if case is not None else []
        number += 1
    return tuple(cases), number


def laid(pack: Pack, live: LearnedFamily) -> Pack:
    """The pack with what was learned on top."""
    family = pack.family.id
    known = Knowledge(packs={family: pack}, common=Common())
    return lay_over(known, Learned(families={family: live})).packs[family]


def divergences(firm: Firm, cases: Sequence[Case]) -> dict[str, float]:
    """Kullback-Leibler divergence, in nats, of the true shares of what a repair can prove from each estimate."""
    book = book_of(firm.pack)
    counts = counted(book, cases, fading(cases))
    free = book.open
    alone = (counts + 0.5)[free]
    pull = shares(book, counts, share_worth(book, counts))[free]
    capped = np.array(list(learn(firm.pack, firm.pack, cases, with_rows=False).shares.values()))[free]
    truth = firm.share[free] / firm.share[free].sum()
    estimates = {"pack": book.share[free], "firm alone": alone, "both": pull, "both, one release": capped}
    return {name: round(float(truth @ np.log(truth / (e / e.sum()))), 3) for name, e in estimates.items()}


def one(m: Measured) -> str:
    """A firm in a few lines."""
    lines = [f"{m.family}: {m.cases} confirmed of {m.made} visits, pack worth {m.worth:.0f} cases; gate: shares "
             f"{_score(m.shares)}, rows {_score(m.rows)}; {m.releases} releases"]
    for policy, pairs in m.went.items():
        if pairs:
            minutes = np.array([b.minutes - a.minutes for a, b in pairs])
            lines.append(f"  {policy}, {len(pairs)} fresh visits: {np.mean([a.minutes for a, _ in pairs]):.1f} minutes "
                         f"by the pack, {minutes.mean():+.2f} ± {_error(minutes):.2f} by what was learned")
    return "\n".join(lines)


def together(found: Sequence[Measured], policy: str) -> str:
    """All firms in a table. Standard errors over visits, and over firms (their means) where there are several."""
    pairs = [pair for m in found for pair in m.went[policy]]
    if not pairs:
        return ""
    pack, learned = [a for a, _ in pairs], [b for _, b in pairs]
    lines = [f"{policy}: {len(found)} firms, {len(pack)} fresh visits each way", "",
             "| | pack | learned | difference |", "|---|---|---|---|"]
    for title, value in VALUES.items():
        before, after = (np.array([float(value(w)) for w in those]) for those in (pack, learned))
        means = np.array([np.mean([value(b) - value(a) for a, b in m.went[policy]]) for m in found])
        firms = f", over firms ± {_error(means):.3f}" if len(found) > 1 else ""
        lines.append(f"| {title} | {before.mean():.3f} | {after.mean():.3f} | {(after - before).mean():+.3f} ± "
                     f"{_error(after - before):.3f}{firms} |")
    lines.append(_calibration(pack, learned))
    lines.append(_log_score(pack, learned))
    return "\n".join(lines) + "\n"


def _calibration(pack: Sequence[Went], learned: Sequence[Went]) -> str:
    """Calibration error of the first finding, resampled by visit so that both see the same visits."""
    def errors(places: np.ndarray) -> tuple[float, float]:
        pair = []
        for those in (pack, learned):
            named = [those[i] for i in places if those[i].named]
            pair.append(calibration_error(np.array([w.confidence for w in named]),
                                          np.array([float(w.right) for w in named])))
        return pair[0], pair[1]

    rng = np.random.default_rng(1)
    before, after = errors(np.arange(len(pack)))
    draws = [errors(rng.integers(0, len(pack), len(pack))) for _ in range(200)]
    spread = float(np.std([b - a for a, b in draws]))
    luck = [chance_error(np.array([w.confidence for w in those if w.named])) for those in (pack, learned)]
    return (f"| calibration error of findings (by luck alone) | {before:.3f} ({luck[0]:.3f}) | {after:.3f} "
            f"({luck[1]:.3f}) | {after - before:+.3f} ± {spread:.3f} |")


def _log_score(pack: Sequence[Went], learned: Sequence[Went]) -> str:
    """Mean log score of the first finding, right or wrong, over visits in which both named a fault."""
    def score(went: Went) -> float:
        p = min(max(went.confidence, 1e-3), 1 - 1e-3)
        return float(np.log(p if went.right else 1 - p))

    both = [(score(a), score(b)) for a, b in zip(pack, learned, strict=True) if a.named and b.named]
    before, after = np.array(both).T
    return (f"| log score of findings, {len(both)} that both named | {before.mean():.3f} | {after.mean():.3f} | "
            f"{(after - before).mean():+.3f} ± {_error(after - before):.3f} |")


def _score(score: Score) -> str:
    return f"{'open' if score.open else 'shut'} ({score.gain:+.3f} ± {score.error:.3f} over {score.visits})"


def _error(values: np.ndarray) -> float:
    return float(np.std(values, ddof=1) / np.sqrt(len(values)))


if __name__ == "__main__":
    raise SystemExit(main())
