"""Running `chargehand` as a user does: the installed command, in a process of its own."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

COMMAND = Path(sys.executable).with_name("chargehand")


def chargehand(*arguments: str, given: str | bytes = "", cwd: Path | None = None,
               env: Mapping[str, str] | None = None) -> subprocess.CompletedProcess[str]:
    """The finished run, with its output as text. `given` is its standard input."""
    done = subprocess.run([COMMAND, *arguments], input=given.encode() if isinstance(given, str) else given,
                          capture_output=True, cwd=cwd, env={**os.environ, **(env or {})}, timeout=120, check=False)
    return subprocess.CompletedProcess(done.args, done.returncode, done.stdout.decode(), done.stderr.decode())


def refused(done: subprocess.CompletedProcess[str]) -> str:
    """The one line that a bad call or bad input gets; fails if it is anything else."""
    assert done.returncode == 2, done
    lines = done.stderr.splitlines()
    assert len(lines) == 1 and lines[0].startswith("chargehand: "), done.stderr
    assert "Traceback" not in done.stderr
    return lines[0].removeprefix("chargehand: ")


def rows(done: subprocess.CompletedProcess[str]) -> list[Any]:
    """The objects that a run printed, one a line."""
    assert done.returncode == 0, done.stderr
    return [json.loads(line) for line in done.stdout.splitlines()]
