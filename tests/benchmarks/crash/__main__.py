"""`python -m tests.benchmarks.crash`: see the package's docstring."""

from __future__ import annotations

import argparse
import json
import sys
import tempfile
import time
from dataclasses import asdict
from pathlib import Path

from tests.benchmarks.crash.killer import rampage
from tests.benchmarks.crash.life import Scene
from tests.benchmarks.crash.verdict import judge


def main() -> int:
    """Kill, look, report; exit 1 if a promise was broken or a section never hit."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.crash")
    parser.add_argument("--kills", type=int, default=60)
    parser.add_argument("--core", choices=("small", "real"), default="small")
    parser.add_argument("--chats", type=int, default=6)
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        scene = Scene(Path(folder), options.core, options.chats, options.processes)
        begun = time.monotonic()
        tally = rampage(scene, options.kills, options.seed, _progress(options.kills))
        verdict = judge(scene, tally.kills)
    print(json.dumps({"kills": tally.kills, "killed_in": dict(tally.inside), **asdict(verdict),
                      "seconds": round(time.monotonic() - begun, 1)}, indent=2))
    return 1 if verdict.broken or tally.missed() else 0


def _progress(kills: int):  # type: ignore[no-untyped-def]
    def tell(done: int) -> None:
        if sys.stderr.isatty() or done % 50 == 0:
            print(f"\r{done}/{kills} kills", end="" if sys.stderr.isatty() else "\n", file=sys.stderr)

    return tell


if __name__ == "__main__":
    raise SystemExit(main())
