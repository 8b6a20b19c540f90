"""What a fresh clone promises: the two lines of the README, the pins, the licence, every command explained."""

from __future__ import annotations

import re
import subprocess
import tomllib
from pathlib import Path

import pytest

from adapters.cli import COMMANDS

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
PIN = re.compile(r"[A-Za-z0-9._-]+==[^\s;@]+")


def lines_of(text: str) -> list[str]:
    """The indented command lines of the README that set up an environment."""
    return [line.strip() for line in text.splitlines() if line.startswith("    python3 -m venv")]


def test_ci_runs_the_readmes_own_lines() -> None:
    """Two of them, and the script runs both as they stand."""
    script = (ROOT / ".ci" / "run").read_text()
    use, test = lines_of((ROOT / "README.md").read_text())
    assert f"use='{use}'" in script
    assert "test='" + test.replace("'.[test]'", "'\"'.[test]'\"'") + "'" in script


def test_the_pins_are_plain_and_cover_what_is_asked_for() -> None:
    """Name and version only; every library of the program and of the tests has one."""
    pins = (ROOT / "requirements.lock").read_text().split()
    assert all(PIN.fullmatch(pin) for pin in pins)
    names = {pin.split("==")[0].lower().replace("_", "-") for pin in pins}
    asked = [*PROJECT["dependencies"], *PROJECT["optional-dependencies"]["test"]]
    wanted = {re.split(r"[\s\[<>=!~;]", one)[0].lower().replace("_", "-") for one in asked}
    assert wanted <= names and "chargehand" not in names


@pytest.mark.parametrize("file", ["LICENSE", "CHANGELOG.md", "README.md", "requirements.lock", ".ci/run",
                                  ".pre-commit-config.yaml"])
def test_what_belongs_to_a_project_is_there(file: str) -> None:
    """And is not empty."""
    assert (ROOT / file).stat().st_size > 100


def test_ci_is_sound_shell() -> None:
    """`bash -n` reads it without complaint, and it may be run."""
    subprocess.run(["bash", "-n", str(ROOT / ".ci" / "run")], check=True)
    assert (ROOT / ".ci" / "run").stat().st_mode & 0o111


def test_every_command_is_in_the_readme() -> None:
    """Whoever adds a command adds its line."""
    readme = (ROOT / "README.md").read_text()
    assert [name for name in COMMANDS if f"`chargehand {name}" not in readme] == []
