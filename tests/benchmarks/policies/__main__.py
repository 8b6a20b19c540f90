"""Our own packs under different policies, each through the typed talk, paired by seed.

    python -m tests.benchmarks.policies [--jobs N] [--noise X] [--family F] [--policy P] [--visits FILE]

The same machines and techs meet every policy. `--noise 1` is the combined corruption: rows shifted for good, one in
twenty wrong, frequencies off, one tech in ten careless.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence
from dataclasses import asdict
from typing import Final

import numpy as np

from bot.conversation.release import compile_release
from bot.diagnosis.thresholds import HANDOFF_MINUTES
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
    for policy in options.policy or ADVISERS:
        mine = found.setdefault(policy, [])
        for family in options.family or knowledge.packs:
            for visit in visits(release, family, options.jobs, options.seed, options.noise, adviser=ADVISERS[policy]):
                mine.append(visit)
                if options.visits:
                    line = {"policy": policy, "family": family, **asdict(visit), "seconds": sum(visit.seconds)}
                    print(json.dumps(line), file=options.visits, flush=True)
            print(f"{policy}, {family}: {len(mine)} visits", file=sys.stderr)
    print(table(found))
    return 0


HEAD: Final = ("policy", "visits", "minutes a visit", "minutes to a proven fix",
               f"a visit with {HANDOFF_MINUTES:.0f} a hand-off",
               "fixed by the junior", "handed off", "wrong repairs a visit", "wrong parts a visit", "checks a visit")


def table(found: dict[str, list[Visit]]) -> str:
    """A row each policy, with standard errors."""
    rows = [HEAD, tuple("---" for _ in HEAD)]
    for policy, those in found.items():
        fixed = [v.minutes for v in those if v.fixed]
        handed = [v.handed_off is not None for v in those]
        cost = [v.minutes + HANDOFF_MINUTES * (v.handed_off is not None) for v in those]
        rows.append((policy, str(len(those)), _mean([v.minutes for v in those]), _mean(fixed), _mean(cost),
                     f"{np.mean([v.fixed for v in those]):.3f}", f"{np.mean(handed):.3f}",
                     _mean([v.wrong_repairs for v in those], 3), _mean([v.wrong_parts for v in those], 3),
                     f"{np.mean([len(v.checks) for v in those]):.1f}"))
    return "\n".join("| " + " | ".join(row) + " |" for row in rows)


def _mean(values: Sequence[float], digits: int = 1) -> str:
    if not values:
        return "-"
    error = np.std(values) / np.sqrt(len(values))
    return f"{np.mean(values):.{digits}f} ± {error:.{digits}f}"


if __name__ == "__main__":
    raise SystemExit(main())
