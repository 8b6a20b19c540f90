"""`chargehand try` at a real (pseudo) terminal, typed at as a person does."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pexpect
import pytest

from tests.adapters.command import COMMAND

FIRST = "top loader, belt drive, washes ok but wont spin"
UP, CTRL_C = "\x1b[A", "\x03"
ESCAPES = re.compile(r"\x1b(\[[0-9;?]*[A-Za-z]|[=>])")


@contextmanager
def sitting(*options: str, columns: int = 90) -> Iterator[pexpect.spawn]:
    """A terminal with the chat in it, its prompt there. Fails if it does not end with 0."""
    environment = {**os.environ, "TERM": "xterm-256color", "PROMPT_TOOLKIT_NO_CPR": "1"}
    for name in ("NO_COLOR", "COLUMNS", "LINES"):
        environment.pop(name, None)
    chat = pexpect.spawn(str(COMMAND), ["try", *options], env=environment, encoding="utf-8", timeout=60,
                         dimensions=(40, columns))
    chat.expect("Ctrl-D ends")
    chat.expect("you ")
    try:
        yield chat
    finally:
        if chat.isalive():
            leave(chat, pexpect.EOF)
        chat.close()
    assert chat.exitstatus == 0
    assert "Traceback" not in (chat.before or "")


def leave(chat: pexpect.spawn, last: str | type[pexpect.EOF]) -> None:
    """Ctrl-D until the last words come; it counts at an empty prompt only: one that falls into a redraw is lost."""
    for _ in range(6):
        chat.sendeof()
        if chat.expect([last, pexpect.TIMEOUT], timeout=10) == 0:
            return


def shown(chat: pexpect.spawn) -> list[str]:
    """The lines before what was waited for last, without colours."""
    return [line.rstrip() for line in ESCAPES.sub("", chat.before).replace("\r", "\n").split("\n") if line.strip()]


def test_a_talk_by_hand() -> None:
    """The message is answered in the gutter, choices have their numbers, a number answers."""
    with sitting() as chat:
        chat.sendline(FIRST)
        chat.expect("bot ")
        chat.expect_exact("1)")
        chat.expect_exact("2)")
        chat.sendline("1")
        chat.expect("bot ")
        leave(chat, "Nothing of this is kept.")
        assert chat.after == "Nothing of this is kept."


def test_lines_wrap_to_the_terminal() -> None:
    """No line is longer than a narrow window, and none breaks within a word."""
    with sitting(columns=50) as chat:
        chat.sendline(FIRST)
        chat.expect("bot ")
        chat.expect(r"\n\r?\n")
        lines = shown(chat)
        assert len(lines) >= 3 and max(map(len, lines)) <= 50


def test_colours_are_on(tmp_path: Path) -> None:
    """Words to type stand out."""
    with sitting() as chat:
        chat.sendline(FIRST)
        chat.expect("bot ")
        chat.sendline("sheet")
        chat.expect("bot ")
        assert "\x1b[" in chat.before


def test_the_next_sitting_goes_on(tmp_path: Path) -> None:
    """The open question is shown, marked; what was typed comes back with the arrow key."""
    with sitting("--data", str(tmp_path)) as chat:
        chat.sendline(FIRST)
        chat.expect("bot ")
        chat.expect("you ")
        kept = f"Kept in {re.escape(str(tmp_path))[:20]}"
        leave(chat, kept)
        assert isinstance(chat.after, str) and re.fullmatch(kept, chat.after)
    with sitting("--data", str(tmp_path)) as chat:
        chat.expect("still open")
        chat.expect_exact("1)")
        chat.send(UP)
        chat.expect("belt drive")
        chat.send(CTRL_C)
        chat.sendline("1")
        chat.expect("bot ")
    assert (tmp_path / "typed-junior").stat().st_mode & 0o077 == 0 or tmp_path.stat().st_mode & 0o077 == 0


def test_what_is_typed_before_all_is_loaded_is_not_lost() -> None:
    """Two lines at once, right at the first prompt: both are answered, in order."""
    with sitting() as chat:
        chat.send(f"{FIRST}\nwhere\n")
        chat.expect("Top-load washer")
        chat.expect("I lean to|Nothing stands out|Where|bot ")


def test_ctrl_c_clears_the_line_and_ends_on_an_empty_one() -> None:
    """Politely, with 0."""
    with sitting() as chat:
        chat.send("wont sp")
        chat.expect("wont sp")
        chat.send(CTRL_C)
        chat.expect("you ")
        chat.send(CTRL_C)
        chat.expect("Nothing of this is kept.")
        chat.expect(pexpect.EOF)


def test_an_empty_line_is_nothing() -> None:
    """Enter by itself sends nothing, and `edit` with nothing to change is told."""
    with sitting() as chat:
        chat.sendline("")
        chat.sendline("edit wont drain")
        chat.expect("there is no message to change yet")
        chat.sendline("top loader wont spin")
        chat.expect("no spin")
        chat.sendline("edit top loader wont drain")
        chat.expect("drain")


@pytest.mark.parametrize("options", [["--name", "Marta", "--as", "junior"]])
def test_a_seat_that_cannot_be_taken_is_one_line(options: list[str]) -> None:
    """The prompt goes away, the reason stays; exit 2."""
    environment = {**os.environ, "TERM": "xterm-256color", "PROMPT_TOOLKIT_NO_CPR": "1"}
    chat = pexpect.spawn(str(COMMAND), ["try", *options], env=environment, encoding="utf-8", timeout=60)
    chat.expect("chargehand: Marta is a senior here: write --as senior")
    chat.expect(pexpect.EOF)
    chat.close()
    assert chat.exitstatus == 2
