"""`chargehand diagnose`: belief and next action for given evidence, with no talk."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from pathlib import Path
from typing import Any, BinaryIO

import click

from adapters.commands.jsonl import LINES, BadLineError, answer_lines
from adapters.commands.layered import FOLDER
from adapters.commands.packs import knowledge_of, model


@click.command()
@click.option("--jsonl", "source", type=LINES, metavar="FILE", required=True, help="One query a line; - is stdin.")
@click.option("--pack", "folders", type=FOLDER, multiple=True, metavar="DIR",
              help="A folder of knowledge to lay on top, as in `knowledge check`. May be given again.")
def diagnose(source: BinaryIO, folders: tuple[Path, ...]) -> None:
    """Belief over the faults and the next action, for the evidence in each line.

    A line is an object with `family`, and as far as they are known `variant`, `complaints`, `denied`, `results` (a
    check's result id, or {"value": number} in SI units), `repaired`, `cannot`, `given` (watts, volts, ambient_c,
    leads_ohm, meter) and `signoffs`; `history` stands in place of `results` and `repaired` where the order matters.
    With `"explain": true` the answer tells as well which evidence `moved` the odds of which fault, and how far.
    `chargehand knowledge list` names the ids.
    """
    answer_lines(source, partial(_answer, folders))


def _answer(folders: tuple[Path, ...], query: dict[str, Any]) -> Mapping[str, Any]:
    from bot.diagnosis.diagnose import BadQueryError, diagnose, family_of  # noqa: PLC0415

    try:
        return diagnose(model(family_of(query), folders), query, knowledge_of(folders).common.tools)
    except BadQueryError as error:
        raise BadLineError(str(error)) from error
