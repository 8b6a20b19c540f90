"""`chargehand read`: the reading or short answer in a message."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, BinaryIO

import click

from adapters.commands.jsonl import LINES, BadLineError, answer_lines
from adapters.commands.packs import index


@click.command()
@click.option("--jsonl", "source", type=LINES, metavar="FILE", required=True, help="One answer a line; - is stdin.")
def read(source: BinaryIO) -> None:
    """The value, range or special word in each line's answer to what was asked.

    A line is an object with `asked` (ohm, volt_ac, celsius, minutes, yes_no, ...) and `text`, and where it is known
    `check` and `given`.
    """
    answer_lines(source, _answer)


def _answer(line: dict[str, Any]) -> Mapping[str, Any]:
    from bot.language.contract import read_json  # noqa: PLC0415

    try:
        return read_json(line, index() if line.get("check") is not None else None)
    except ValueError as error:
        raise BadLineError(str(error)) from error
