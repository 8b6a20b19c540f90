"""Our own packs under different policies, each through the typed talk, paired by seed.

    python -m tests.benchmarks.policies [--jobs N] [--noise X] [--family F] [--policy P] [--visits FILE]

The same machines and techs meet every policy. `--noise 1` is the combined corruption: rows shifted for good, one in
twenty wrong, frequencies off, one tech in ten careless.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Sequence
from dataclasses import asdict
from typing import Final

import numpy as np

from bot.conversation.release import compile_release
from bot.diagnosis.thresholds import HANDOFF_MINUTES
from bot.simulation.report import calibration_error
from bot.simulation.visits import Visit, visits
from knowledge.loader import load
from tests.benchmarks.policies.advisers import ADVISERS


def main() -> int:
    """Runs the policies and prints a table in markdown."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.policies")
    parser.add_argument("--jobs", type=int, default=334, help="visits a family and policy")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--noise", type=float, default=0.0)
    parser.add_argument("--family", action="append", help="only this one; may be given again")
    parser.add_argument("--policy", action="append", choices=list(ADVISERS), help="only this one; may be given again")
    parser.add_argument("--visits", type=argparse.FileType("w"), help="a line of JSON for every visit")
    options = parser.parse_args()
    knowledge = load().knowledge
    release = compile_release("policies", knowledge)
    found: dict[str, list[Visit]] = {}
    families: dict[tuple[str, str], list[Visit]] = {}
    for policy in options.policy or ADVISERS:
        mine = found.setdefault(policy, [])
        for family in options.family or knowledge.packs:
            for visit in visits(release, family, options.jobs, options.seed, options.noise, adviser=ADVISERS[policy]):
                mine.append(visit)
                families.setdefault((policy, family), []).append(visit)
                if options.visits:
                    line = {"policy": policy, "family": family, **asdict(visit), "seconds": sum(visit.seconds)}
                    print(json.dumps(line), file=options.visits, flush=True)
            print(f"{policy}, {family}: {len(mine)} visits", file=sys.stderr)
    print(table(found))
    print(by_family(families))
    print(paired(found))
    print(sureness(found))
    return 0


HEAD: Final = ("policy", "visits", "minutes a visit", "minutes to a proven fix",
               f"a visit with {HANDOFF_MINUTES:.0f} a hand-off", "with prices and the senior's work",
               "fixed by the junior", "handed off", "wrong repairs a visit", "wrong parts a visit", "checks a visit")


def table(found: dict[str, list[Visit]]) -> str:
    """A row each policy, with standard errors."""
    rows = [HEAD, tuple("---" for _ in HEAD)]
    for policy, those in found.items():
        fixed = [v.minutes for v in those if v.fixed]
        handed = [v.handed_off is not None for v in those]
        cost = [_with_handing(v) for v in those]
        rows.append((policy, str(len(those)), _mean([v.minutes for v in those]), _mean(fixed), _mean(cost),
                     _mean([v.cost for v in those]),
                     f"{np.mean([v.fixed for v in those]):.3f}", f"{np.mean(handed):.3f}",
                     _mean([v.wrong_repairs for v in those], 3), _mean([v.wrong_parts for v in those], 3),
                     f"{np.mean([len(v.checks) for v in those]):.1f}"))
    return _lines(rows)


def by_family(found: dict[tuple[str, str], list[Visit]]) -> str:
    """The same a family, with what the first finding said and how often it was right."""
    head = ("policy", "family", "visits", "minutes", "parts in vain", "handed off", "fixed", "checks", "says", "right")
    rows = [head, tuple("---" for _ in head)]
    for (policy, family), those in found.items():
        named = [v for v in those if v.first_finding is not None]
        rows.append((policy, family, str(len(those)), _mean([v.minutes for v in those]),
                     _mean([v.wrong_parts for v in those], 3),
                     f"{np.mean([v.handed_off is not None for v in those]):.3f}",
                     f"{np.mean([v.fixed for v in those]):.3f}", f"{np.mean([len(v.checks) for v in those]):.1f}",
                     f"{np.mean([v.first_p for v in named]):.3f}", f"{np.mean([v.first_right for v in named]):.3f}"))
    return _lines(rows)


def _with_handing(visit: Visit) -> float:
    return visit.minutes + HANDOFF_MINUTES * (visit.handed_off is not None)


MEASURED: Final[dict[str, Callable[[Visit], float]]] = {
    "minutes": lambda v: v.minutes, "parts in vain": lambda v: v.wrong_parts,
    "handed off": lambda v: v.handed_off is not None, "fixed": lambda v: v.fixed,
    f"minutes with {HANDOFF_MINUTES:.0f} a hand-off": _with_handing,
    "with prices and the senior's work": lambda v: v.cost}


def paired(found: dict[str, list[Visit]]) -> str:
    """Ours less each other policy, machine by machine, with standard errors."""
    head = ("ours less", *MEASURED)
    rows = [head, tuple("---" for _ in head)]
    for policy, those in found.items():
        if policy != "ours" and "ours" in found:
            rows.append((policy, *(_mean([of(a) - of(b) for a, b in zip(found["ours"], those, strict=True)], 3)
                                   for of in MEASURED.values())))
    return _lines(rows)


def sureness(found: dict[str, list[Visit]]) -> str:
    """Whether the first finding is right as often as it says: expected calibration error, with what luck alone gives at
    this number, and how often it is right where it says over 90 %."""
    head = ("policy", "findings", "says", "right", "calibration error", "by luck alone", "right over 90 %", "of")
    rows = [head, tuple("---" for _ in head)]
    rng = np.random.default_rng(1)
    for policy, those in found.items():
        said = [(v.first_p, v.first_right) for v in those if v.first_finding is not None]
        luck = np.mean([calibration_error([(p, bool(rng.random() < p)) for p, _ in said]) for _ in range(200)])
        sure = [right for p, right in said if p > 0.9]
        says, came = np.mean([p for p, _ in said]), np.mean([r for _, r in said])
        rows.append((policy, str(len(said)), f"{says:.3f}", f"{came:.3f}", f"{calibration_error(said):.3f}",
                     f"{luck:.3f}", _mean([float(r) for r in sure], 3), str(len(sure))))
    return _lines(rows)


def _lines(rows: Sequence[Sequence[str]]) -> str:
    return "\n".join("| " + " | ".join(row) + " |" for row in rows) + "\n"


def _mean(values: Sequence[float], digits: int = 1) -> str:
    if not values:
        return "-"
    error = np.std(values) / np.sqrt(len(values))
    return f"{np.mean(values):.{digits}f} ± {error:.{digits}f}"


if __name__ == "__main__":
    raise SystemExit(main())
