"""JSON Lines for the commands that other programs call: one object a line in, one a line out, in the same order."""

from __future__ import annotations

import json
import sys
from collections import Counter
from collections.abc import Callable, Mapping
from typing import Any, BinaryIO

import click

LINES = click.File("rb")
"""The option type of a source: a file, or - for standard input."""


class BadLineError(ValueError):
    """What an answerer raises for an object that it cannot answer; the text says what to write instead."""


def answer_lines(source: BinaryIO, answer: Callable[[dict[str, Any]], Mapping[str, Any]]) -> None:
    """Read objects from `source` and print `answer` of each. Blank lines are skipped.

    Raises click.ClickException at the first line that is no object or that `answer` refuses with BadLineError; the
    answers of the lines before it are out by then.
    """
    for number, line in enumerate(source, start=1):
        if not line.strip():
            continue
        try:
            reply = answer(_object(line))
        except BadLineError as error:
            name = "standard input" if source.name == "<stdin>" else source.name
            raise click.ClickException(f"{name}, line {number}: {error}") from error
        text = json.dumps(reply, ensure_ascii=False, allow_nan=False)
        sys.stdout.buffer.write(text.encode("utf-8", "backslashreplace") + b"\n")
        sys.stdout.buffer.flush()


def _object(line: bytes) -> dict[str, Any]:
    try:
        value = json.loads(line.decode("utf-8-sig"), object_pairs_hook=_once)
    except BadLineError:
        raise
    except UnicodeDecodeError as error:
        raise BadLineError("not UTF-8") from error
    except json.JSONDecodeError as error:
        raise BadLineError(f"not JSON: {error.msg}, at character {error.pos + 1}") from error
    except (ValueError, RecursionError) as error:
        raise BadLineError(f"not JSON: {error}" if isinstance(error, ValueError) else "nested too deeply") from error
    if not isinstance(value, dict):
        raise BadLineError("write one JSON object a line, in braces: `--help` names its keys")
    return value


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """An object with each key once: of two answers to one check none is dropped in silence."""
    made = dict(pairs)
    if len(made) < len(pairs):
        twice = next(key for key, count in Counter(key for key, _ in pairs).items() if count > 1)
        raise BadLineError(f"'{twice}' stands twice in one object: leave one")
    return made
