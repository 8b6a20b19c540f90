"""The command as a whole: help, exit codes, and never a traceback."""

from __future__ import annotations

import re
import subprocess
import sys
from importlib.metadata import version
from pathlib import Path

import pytest

from adapters.cli import COMMANDS
from tests.adapters.command import COMMAND, chargehand, refused

SUBCOMMANDS = [["knowledge", "check"], ["knowledge", "list"], ["knowledge", "schema"], ["people", "invite"],
               ["people", "list"], ["people", "remove"], ["people", "signoff"]]


@pytest.mark.parametrize("words", [[], *([name] for name in COMMANDS), *SUBCOMMANDS], ids=" ".join)
def test_every_command_explains_itself(words: list[str]) -> None:
    """`--help` exits 0 and says something, as does the bare command for a group."""
    done = chargehand(*words, "--help")
    assert done.returncode == 0 and done.stdout.startswith("Usage: chargehand") and done.stderr == ""


@pytest.mark.parametrize("words", [[], ["knowledge"], ["people"]], ids=" ".join)
def test_a_bare_group_shows_its_help(words: list[str]) -> None:
    """On standard output, as nothing is wrong."""
    done = chargehand(*words)
    assert done.returncode == 0 and "Commands:" in done.stdout and done.stderr == ""


@pytest.mark.parametrize("words", [["fly"], ["--fly"], ["try", "--as", "boss"], ["try", "--wait", "-1"],
                                   ["try", "--seed", "x"], ["knowledge", "fly"], ["people", "signoff", "x", "fly"],
                                   ["people", "invite"], ["diagnose"], ["read"], ["try", "extra"]], ids=" ".join)
def test_bad_usage_is_one_line_and_exit_2(words: list[str]) -> None:
    """The line ends with where to read more."""
    assert refused(chargehand(*words)).endswith("--help.")


@pytest.mark.parametrize("words", [["try", "extra"], ["read"], ["fly"]], ids=" ".join)
def test_what_was_wrong_and_where_to_read_more_are_two_sentences(words: list[str]) -> None:
    """A full stop stands between them, and only one."""
    said = refused(chargehand(*words))
    assert re.search(r"[^.]\. See chargehand[ a-z]* --help\.$", said), said


def test_the_version_is_the_distributions() -> None:
    """`--version`."""
    assert version("chargehand") in chargehand("--version").stdout


def test_help_loads_none_of_the_heavy_parts() -> None:
    """What a command does not use is not imported for it."""
    heavy = {"numpy", "pydantic", "rich", "prompt_toolkit", "telegram", "nio", "PIL"}
    code = f"import sys; from adapters.cli import main; main(['--help']); print(sorted({heavy} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"


def test_the_chat_loads_no_other_platform(tmp_path: Path) -> None:
    """A terminal needs neither Telegram's nor Matrix's library."""
    code = "import sys, adapters.terminal.plain; print(sorted({'telegram', 'nio', 'aiohttp'} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=tmp_path)
    assert done.stdout.strip() == "[]"


def test_a_reader_that_goes_away_is_no_error() -> None:
    """`chargehand knowledge schema | head -1` ends without a word."""
    done = subprocess.run(f"'{COMMAND}' knowledge schema | head -1", shell=True, capture_output=True, text=True,
                          check=False)
    assert done.stderr == "" and done.stdout == "{\n"


def test_an_old_terminal_shows_what_it_can() -> None:
    """Where there is no ohm sign it is escaped; the run goes on."""
    done = chargehand("knowledge", "list", env={"PYTHONIOENCODING": "ascii"})
    assert done.returncode == 0 and "Traceback" not in done.stderr


def test_a_no_changes_nothing_and_says_so(tmp_path: Path) -> None:
    """It is an answer, and no interruption."""
    chargehand("try", "--data", str(tmp_path), given="toploader wont spin, at 14 hazel lane\n")
    done = chargehand("erase", "--data", str(tmp_path), "--customer", "14 Hazel Lane", given="n\n")
    assert done.returncode == 0 and "Nothing was changed." in done.stderr and done.stdout == ""
    assert "Removed 1 visits" in chargehand(
        "erase", "--data", str(tmp_path), "--customer", "14 Hazel Lane", given="y\n").stdout
