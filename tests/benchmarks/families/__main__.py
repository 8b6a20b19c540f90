"""`python -m tests.benchmarks.families`: see the package's docstring."""

from __future__ import annotations

import argparse
import json
import sys
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Final, TextIO

from bot.authoring.remarks import kept
from bot.conversation.release import Release, compile_release
from bot.simulation.machine import World
from bot.simulation.report import figures
from bot.simulation.visits import Visit, visits
from knowledge.loader import load
from knowledge.schema import Pack
from tests.benchmarks.families.truthful import truthful

COLUMNS: Final[dict[str, str]] = {
    "fixed_at_first_finding": "fixed first", "fixed": "fixed", "finding_right": "finding right",
    "wrong_repairs_a_job": "wrong repairs", "wrong_parts_a_job": "wrong parts",
    "minutes_to_fix": "min to fix", "minutes_a_job": "min a job",
    "handed_off": "handed off", "brier": "Brier", "calibration_error": "cal. error", "messages_a_job": "messages",
    "opening_understood": "opening", "message_p50_ms": "p50 ms", "message_p99_ms": "p99 ms",
}
"""Figure -> heading."""


def main() -> int:
    """Run, and print a table in markdown."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.families")
    parser.add_argument("--jobs", type=int, default=100, help="visits a family")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--noise", type=float, default=0.0)
    parser.add_argument("--truthful", action="store_true", help="the packs hold the truth about those machines")
    parser.add_argument("--family", action="append", help="only this one; may be given again")
    parser.add_argument("--visits", type=argparse.FileType("w"), help="a line of JSON for every visit")
    parser.add_argument("--out", type=Path, help="write the table there too")
    options = parser.parse_args()
    knowledge = load().knowledge
    release = compile_release("figures", knowledge)
    chosen = options.family or list(knowledge.packs)
    found: dict[str, Mapping[str, object]] = {}
    unused: dict[str, tuple[list[str], list[str]]] = {}
    for family in chosen:
        made = list(_kept(_told(release, family, options), family, options.visits))
        found[family] = figures(made)
        asked = Counter(check for visit in made for check in visit.checks)
        unused[family] = never_asked(knowledge.packs[family], asked)
    text = table(found) + "\n" + never(unused)
    print(text)
    if options.out is not None:
        options.out.write_text(text, encoding="utf-8")
    return 0


def table(found: Mapping[str, Mapping[str, object]]) -> str:
    """The figures, a row each family."""
    rows = [["family", "visits", *COLUMNS.values()]]
    for family, row in found.items():
        rows.append([family, str(row["jobs"]), *(_shown(key, row[key]) for key in COLUMNS)])
    lines = ["| " + " | ".join(row) + " |" for row in rows]
    return "\n".join([lines[0], "|---" * len(rows[0]) + "|", *lines[1:]]) + "\n"


def never_asked(pack: Pack, asked: Mapping[str, int]) -> tuple[list[str], list[str]]:
    """Checks that no visit came to: those whose note does not say why they stay, and those whose note does."""
    checks = [check for check in pack.checks if not asked.get(check)]
    explained = [check for check in checks if kept(pack, ("checks", check), "unused")]
    return [check for check in checks if check not in explained], explained


def never(unused: Mapping[str, tuple[Sequence[str], Sequence[str]]]) -> str:
    """Which checks no visit came to."""
    return "\n".join(f"{family}: never asked, unexplained {len(silent)}: {', '.join(silent) or '-'};"
                     f" explained in their notes {len(explained)}"
                     for family, (silent, explained) in unused.items()) + "\n"


def _shown(key: str, value: object) -> str:
    if value is None:
        return "-"
    number = float(value)  # type: ignore[arg-type]
    if key.endswith("_ms") or key.startswith("minutes"):
        return f"{number:.0f}"
    return f"{number:.3f}" if key in {"brier", "calibration_error"} else f"{number:.2f}"


def _told(release: Release, family: str, options: argparse.Namespace) -> Iterator[Visit]:
    world = World(release.knowledge.packs[family], options.noise, options.seed)
    if options.truthful:
        packs = {family: truthful(world)}
        release = compile_release("truthful", release.knowledge.model_copy(update={"packs": packs}))
    made = visits(release, family, options.jobs, options.seed, options.noise, world=world)
    for number, visit in enumerate(made, 1):
        if sys.stderr.isatty() or number % 25 == 0:
            print(f"\r{family} {number}/{options.jobs}", end="" if sys.stderr.isatty() else "\n", file=sys.stderr)
        yield visit


def _kept(made: Iterator[Visit], family: str, file: TextIO | None) -> Iterator[Visit]:
    for number, visit in enumerate(made):
        if file is not None:
            print(json.dumps({"family": family, "number": number, **asdict(visit)}), file=file, flush=True)
        yield visit


if __name__ == "__main__":
    raise SystemExit(main())
