"""`chargehand understand`: what a message says, for a person or for a program."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, BinaryIO

import click

from adapters.commands.jsonl import LINES, BadLineError, answer_lines
from adapters.commands.packs import index, known_family


@click.command()
@click.argument("words", nargs=-1, metavar="TEXT")
@click.option("--family", metavar="F", help="The appliance that is known already.")
@click.option("--jsonl", "source", type=LINES, metavar="FILE",
              help="One message a line, as JSON with `text` and `family` (or null); - is stdin.")
def understand(words: tuple[str, ...], family: str | None, source: BinaryIO | None) -> None:
    """Print what was understood of TEXT, and which words led to it."""
    if source is not None:
        if words or family is not None:
            raise click.UsageError("with --jsonl, text and family stand in the lines.")
        answer_lines(source, _answer)
        return
    text = " ".join(words)
    if not text.strip():
        raise click.UsageError("Missing argument 'TEXT': write what the message says.")
    from bot.language.contract import explain_text  # noqa: PLC0415
    from bot.language.understand import understand  # noqa: PLC0415

    try:
        known = known_family(family) if family is not None else None
    except BadLineError as error:
        raise click.ClickException(str(error)) from error
    click.echo(explain_text(understand(index(), text, known), text))


def _answer(line: dict[str, Any]) -> Mapping[str, Any]:
    from bot.language.contract import understand_json  # noqa: PLC0415

    try:
        if isinstance(line.get("family"), str):
            known_family(line["family"])
        return understand_json(index(), line)
    except BadLineError:
        raise
    except ValueError as error:
        raise BadLineError(str(error)) from error
