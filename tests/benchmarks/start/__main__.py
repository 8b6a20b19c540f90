"""Start-up as a user waits for it.

    python -m tests.benchmarks.start [--runs N] [--cold]

first prompt    from starting `chargehand try` at a terminal until the prompt is there
first reply     from there until the first line of the answer to a message typed at once
piped           from starting `chargehand try` with one line on standard input until it has ended
knowledge check, --help
resident        the largest resident memory of the piped run, MB

`--cold` asks the system, before each run, to drop from memory every file of this Python and its packages, and deletes
the kept knowledge: what a start after switching on is like. Pages that another process has mapped stay.
"""

from __future__ import annotations

import argparse
import json
import os
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import pexpect

COMMAND = Path(sys.executable).with_name("chargehand")
FIRST = "toploader belt drive, washes ok but wont spin, belt looks glazed"


def main() -> None:
    """Measure, and print medians and the slowest as JSON."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.start")
    parser.add_argument("--runs", type=int, default=10)
    parser.add_argument("--cold", action="store_true")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as cache:
        environment = {**os.environ, "XDG_CACHE_HOME": cache, "TERM": "xterm-256color", "PROMPT_TOOLKIT_NO_CPR": "1"}
        cool = (lambda: _cool(Path(cache))) if options.cold else (lambda: None)
        if not options.cold:
            _piped(environment)  # so that the knowledge is kept, as after any first start
        prompts, replies = zip(*(_by_hand(environment, cool) for _ in range(options.runs)), strict=True)
        print(json.dumps({
            "cores": os.cpu_count(), "load": round(os.getloadavg()[0], 1), "cold": options.cold, "runs": options.runs,
            "first prompt s": _summary(prompts), "first reply s": _summary(replies),
            "piped s": _timed(options.runs, cool, lambda: _piped(environment)),
            "knowledge check s": _timed(options.runs, cool, lambda: _run(environment, "knowledge", "check")),
            "--help s": _timed(options.runs, cool, lambda: _run(environment, "--help")),
            "resident MB": round(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024),
        }, indent=1))


def _by_hand(environment: dict[str, str], cool: Callable[[], None]) -> tuple[float, float]:
    cool()
    start = time.perf_counter()
    chat = pexpect.spawn(str(COMMAND), ["try"], env=environment, encoding="utf-8", timeout=60, dimensions=(40, 90))
    chat.delaybeforesend = None
    chat.expect("you ")
    prompt = time.perf_counter() - start
    chat.send(f"{FIRST}\r")
    chat.expect("bot ")
    reply = time.perf_counter() - start - prompt
    chat.sendeof()
    chat.expect(pexpect.EOF)
    chat.close()
    return prompt, reply


def _piped(environment: dict[str, str]) -> None:
    _run(environment, "try", given=f"{FIRST}\n")


def _run(environment: dict[str, str], *arguments: str, given: str = "") -> None:
    subprocess.run([COMMAND, *arguments], input=given.encode(), env=environment, capture_output=True, check=True)


def _timed(runs: int, cool: Callable[[], None], do: Callable[[], None]) -> dict[str, float]:
    seconds = []
    for _ in range(runs):
        cool()
        start = time.perf_counter()
        do()
        seconds.append(time.perf_counter() - start)
    return _summary(seconds)


def _summary(seconds: tuple[float, ...] | list[float]) -> dict[str, float]:
    return {"median": round(statistics.median(seconds), 3), "slowest": round(max(seconds), 3)}


def _cool(cache: Path) -> None:
    shutil.rmtree(cache, ignore_errors=True)
    os.sync()  # pages that are not on disk yet cannot be dropped
    project = Path(__file__).parents[3]
    ours = [project / name for name in ("bot", "knowledge", "adapters")]
    for root in (Path(sys.prefix), Path(sys.base_prefix) / "lib", *ours):
        for file in root.rglob("*"):
            if file.is_file():
                handle = os.open(file, os.O_RDONLY)
                os.posix_fadvise(handle, 0, 0, os.POSIX_FADV_DONTNEED)
                os.close(handle)


if __name__ == "__main__":
    main()
