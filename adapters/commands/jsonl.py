"""JSON Lines for the commands that other programs call: one object a line in, one a line out, in the same order."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from typing import Any, BinaryIO

import click


class BadLine(ValueError):
    """What an answerer raises for an object that it cannot answer; the text says what to write instead."""


def answer_lines(source: str, answer: Callable[[dict[str, Any]], Mapping[str, Any]]) -> None:
    """Read objects from the file `source` ('-': standard input) and print `answer` of each. Blank lines are skipped.

    Raises click.ClickException at the first line that is no object or that `answer` refuses with BadLine; the
    answers of the lines before it are out by then.
    """
    with _opened(source) as lines:
        for number, line in enumerate(lines, start=1):
            if not line.strip():
                continue
            try:
                reply = answer(_object(line))
            except BadLine as error:
                raise click.ClickException(f"{_name(source)} line {number}: {error}") from error
            text = json.dumps(reply, ensure_ascii=False, allow_nan=False)
            sys.stdout.buffer.write(text.encode("utf-8", "backslashreplace") + b"\n")
            sys.stdout.buffer.flush()


@contextmanager
def _opened(source: str) -> Iterator[BinaryIO]:
    if source == "-":
        yield sys.stdin.buffer
        return
    try:
        file = open(source, "rb")  # noqa: PTH123  a context manager follows
    except OSError as error:
        raise click.ClickException(f"cannot read {source}: {error.strerror}") from error
    with file:
        yield file


def _name(source: str) -> str:
    return "standard input," if source == "-" else f"{source},"


def _object(line: bytes) -> dict[str, Any]:
    try:
        value = json.loads(line.decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        raise BadLine("not UTF-8") from error
    except (ValueError, RecursionError) as error:
        raise BadLine(f"not JSON: {error}" if isinstance(error, ValueError) else "nested too deeply") from error
    if not isinstance(value, dict):
        raise BadLine("write one JSON object a line, such as {\"text\": \"...\"}")
    return value
