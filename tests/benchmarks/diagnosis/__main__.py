"""One command for all figures of the diagnosis engine.

    python -m tests.benchmarks.diagnosis [small] [middle] [large] [regret] [exactness] [calibration] [misfit]
        [stated] [outside] [--quick] [--plots FOLDER]

Without a part named, all of them. Single thread: numpy's own threads are switched off, so that times hold for one core.
"""

from __future__ import annotations

import bot  # noqa: F401  # isort: skip  (before numpy: it switches the linear algebra threads off)

import argparse
import time
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import numpy as np

from bot.conversation.release import compile_release
from bot.diagnosis.problem import Problem
from bot.diagnosis.thresholds import MISFIT_LEVELS
from bot.simulation.visits import visits
from knowledge.loader import load
from tests.benchmarks.diagnosis import calibration, exactness, large, small, talked
from tests.benchmarks.diagnosis.instances import LARGE, TEST, Size
from tests.benchmarks.diagnosis.policies import MYOPIC, POLICIES, looking, while_of_value
from tests.benchmarks.diagnosis.visits import CORRUPTED, NOMINAL, OTHERWISE, Outcome


def run_small(quick: bool, plots: Path | None) -> None:
    """Every policy against the exact optimum, four regimes."""
    print(f"exact solvers differ by at most {small.checked_by_brute_force(8 if quick else 40):.1e} (relative)")
    found = small.ratios(12 if quick else 300)
    if plots:
        from tests.benchmarks.diagnosis.plots import cost_ratios  # noqa: PLC0415

        cost_ratios(found, plots)


def run_middle(quick: bool, plots: Path | None) -> None:
    """Ours and myopic against the exact optimum at middle size."""
    names = ("myopic ECR", "ours")
    print(small.table("middle size", small.middle(2 if quick else 60, {n: POLICIES[n] for n in names})))


def run_large(quick: bool, plots: Path | None) -> None:
    """Full size against myopic value of information: with a complaint told, as on a visit, and with nothing told."""
    policies = {"myopic ECR": looking(MYOPIC), "gain a minute": while_of_value, "ours": POLICIES["ours"]}
    for name, size in LARGE.items():
        for told in (True, False):
            costs = large.paired(size, policies, 4 if quick else 100, 5 if quick else 20, TEST, told=told)
            for policy, (cost, ratio, error) in large.against(costs, "myopic ECR").items():
                print(f"{name} {'a complaint told' if told else 'nothing told'} {policy:<14} cost {cost:7.2f}"
                      f"  of myopic {ratio:.4f} ± {error:.4f}", flush=True)
        visits = [large.visit(*_drawn(size, i), policies["ours"]) for i in range(4 if quick else 60)]
        median, p95, most = large.timings(visits)
        print(f"{name} ours: ms a decision {median:.1f} median, {p95:.1f} p95, {most:.1f} max", flush=True)


def _drawn(size: Size, i: int) -> tuple[Problem, int, np.ndarray]:
    return large.drawn(size, "normal", TEST + 10_000 + i)


def run_regret(quick: bool, plots: Path | None) -> None:
    """Full size against a search that is given ten seconds a step."""
    for name, size in LARGE.items():
        losses, costs, seconds = [], [], []
        apart = 0
        for i in range(2 if quick else 40):
            p, truth, luck = _drawn(size, i)
            visited = large.visit(p, truth, luck, POLICIES["ours"])
            loss = large.regret(p, visited)
            losses.append((loss.judged, loss.own))
            costs.append(visited.cost)
            seconds += loss.seconds
            apart += loss.apart
            error = np.std(losses, axis=0) / np.sqrt(len(losses)) / np.mean(costs)
            share = np.sum(losses, axis=0) / np.sum(costs)
            print(f"{name} regret against {np.mean(seconds):.1f} s a step, {i + 1} visits, {len(seconds)} steps,"
                  f" {apart} chosen differently: {share[0]:.4f} ± {error[0]:.4f} by a judge,"
                  f" {share[1]:.4f} ± {error[1]:.4f} by its own values", flush=True)


def run_exactness(quick: bool, plots: Path | None) -> None:
    """The posterior against general libraries."""
    found = exactness.compare(50 if quick else 1000)
    if not found:
        print("exactness: neither pyagrum nor pgmpy is installed, nothing to compare with")
    for name, (worst, inference, whole, count) in found.items():
        print(f"{name}: largest difference {worst:.1e} in {count} cases; its inference takes"
              f" {inference:.0f} times ours, {whole:.1f} times our whole call")


def run_calibration(quick: bool, plots: Path | None) -> None:
    """Calibration of the finding and detection of faults that are not in the book, on our own packs."""
    packs = load().knowledge.packs
    count = 60 if quick else 3000
    curves: dict[str, tuple[np.ndarray, np.ndarray]] = {}
    for name, corruption in (("nominal", NOMINAL), ("corrupted", CORRUPTED)):
        known = calibration.outcomes(packs, corruption, count, 7_000)
        unknown = calibration.outcomes(packs, corruption, count // 3, 8_000, outside=1.0)
        said, right = curves[name] = calibration.findings(known)
        low, high = calibration.interval(said, right, calibration.calibration_error)
        over = said > 0.9
        print(f"{name}: calibration error {calibration.calibration_error(said, right):.4f} [{low:.4f}, {high:.4f}]"
              f" (by luck alone {calibration.chance_error(said):.4f}), Brier {np.mean((said - right) ** 2):.4f},"
              f" right {right.mean():.3f}; over 90 %: right {right[over].mean() if over.any() else float('nan'):.3f}"
              f" of {over.mean():.2f}")
        _detection(name, known, unknown)
    if plots:
        from tests.benchmarks.diagnosis.plots import detection_curve, reliability  # noqa: PLC0415

        reliability(curves, plots)
        detection_curve({k: np.array([f(o) for o in known]) for k, f in STATISTICS.items()},
                        {k: np.array([f(o) for o in unknown]) for k, f in STATISTICS.items()}, plots)


STATISTICS: dict[str, Callable[[Outcome], float]] = {
    "surprise": lambda o: o.surprise, "unknown": lambda o: o.p_unknown, "misfit": lambda o: o.misfit}


def _detection(name: str, known: list[Outcome], unknown: list[Outcome]) -> None:
    known = [o for o in known if o.known]
    rates = {k: calibration.detection(known, unknown, f) for k, f in STATISTICS.items()}
    alarms = np.mean([o.misfit > 0.95 for o in known])
    caught = np.mean([o.misfit > 0.95 for o in unknown])
    handed = np.mean([o.do == "handoff" for o in unknown])
    print(f"{name}: unknown faults noticed at 5 % false alarms: "
          + ", ".join(f"{k} {v:.3f}" for k, v in rates.items())
          + f"; at the stored threshold {caught:.3f} with {alarms:.3f} false alarms; handed off {handed:.3f}")


def run_misfit(quick: bool, plots: Path | None) -> None:
    """Derives MISFIT_NATS of bot/diagnosis/thresholds.py anew, from visits of known faults with the alarms off."""
    release = compile_release("misfit", load().knowledge)
    found = talked.walked(release, 20 if quick else 100, 21_000, alarms=False)
    for row in talked.quantiles(found, MISFIT_LEVELS):
        print("    (" + ", ".join(f"{q:.2f}" for q in row) + "),")


def run_stated(quick: bool, plots: Path | None) -> None:
    """What STATED of bot/diagnosis/thresholds.py is derived from: how often a belief proved right, in typed visits with
    true packs and in visits of the tuning corruption, by bins, and from each belief on."""
    release = compile_release("stated", load().knowledge)
    typed = [visit for family in release.knowledge.packs
             for visit in visits(release, family, 10 if quick else 150, 5001) if visit.first_finding is not None]
    worlds = {
        "packs true, typed": (np.array([v.first_believed for v in typed]),
                              np.array([v.first_right for v in typed], dtype=float)),
        "tuning corruption": calibration.beliefs(
            calibration.outcomes(release.knowledge.packs, OTHERWISE, 60 if quick else 1500, 66_000))}
    for name, (belief, right) in worlds.items():
        for low, high in pairwise(BELIEFS):
            there, on = (belief >= low) & (belief < high), belief >= low
            if there.any():
                print(f"{name}, belief {low} to {high}: {there.sum()} findings, right {right[there].mean():.3f};"
                      f" from there on {right[on].mean():.3f} of {on.sum()}")


BELIEFS = (0.0, 0.5, 0.6, 0.7, 0.75, 0.8, 0.84, 0.87, 0.9, 0.925, 0.95, 0.955, 0.97, 0.99, 1.01)


def run_outside(quick: bool, plots: Path | None) -> None:
    """Faults that are not in the book, through the typed talk: noticed before a part went in vain, and by the end."""
    release = compile_release("outside", load().knowledge)
    jobs = 10 if quick else 50
    for noise in (0.0, 1.0):
        known = talked.walked(release, jobs, 41_000, noise)
        print(f"noise {noise:.0f}, in the book: " + talked.doubts(known))
        for kind in ("left_out", "strange"):
            those = talked.walked(release, jobs, 42_000, noise, outside=1.0, kind=kind)
            print(f"noise {noise:.0f}, {kind.replace('_', ' ')}: {talked.doubts(those)}")
            for when, statistics in (("before the first repair", talked.STATISTICS), ("by the end", talked.AT_THE_END)):
                rates = {name: talked.detection(known, those, f) for name, f in statistics.items()}
                print(f"  at 5 % false alarms {when}: "
                      + ", ".join(f"{name} {rate:.3f}" for name, rate in rates.items()), flush=True)


PARTS = {"small": run_small, "middle": run_middle, "large": run_large, "regret": run_regret,
         "exactness": run_exactness, "calibration": run_calibration, "misfit": run_misfit, "stated": run_stated,
         "outside": run_outside}


def main() -> None:
    """Runs the parts that were named."""
    parser = argparse.ArgumentParser(description="Figures of the diagnosis engine.")
    parser.add_argument("parts", nargs="*", choices=[*PARTS, []], help="which figures; all of them by default")
    parser.add_argument("--quick", action="store_true", help="a tenth of the cases or fewer: to see that it runs")
    parser.add_argument("--plots", type=Path, metavar="FOLDER", help="write plots there")
    asked = parser.parse_args()
    for part in asked.parts or PARTS:
        start = time.monotonic()
        print(f"\n== {part}")
        PARTS[part](asked.quick, asked.plots)
        print(f"({time.monotonic() - start:.0f} s)")


if __name__ == "__main__":
    main()
