"""`chargehand diagnose`: belief and next action for given evidence, with no talk."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, BinaryIO

import click

from adapters.commands.jsonl import LINES, BadLineError, answer_lines
from adapters.commands.packs import model


@click.command()
@click.option("--jsonl", "source", type=LINES, metavar="FILE", required=True, help="One query a line; - is stdin.")
def diagnose(source: BinaryIO) -> None:
    """Belief over the faults and the next action, for the evidence in each line."""
    answer_lines(source, _answer)


def _answer(query: dict[str, Any]) -> Mapping[str, Any]:
    from bot.diagnosis.diagnose import BadQueryError, diagnose, family_of  # noqa: PLC0415

    try:
        return diagnose(model(family_of(query)), query)
    except BadQueryError as error:
        raise BadLineError(str(error)) from error
