"""`chargehand knowledge trace`: the likely course of a visit, to be reviewed like a chart on paper."""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import click

from adapters.commands.layered import FOLDER, laid, usable

if TYPE_CHECKING:
    from bot.conversation.firm import Signoff
    from knowledge.schema import Check, Cover, Fault, Pack


@click.command()
@click.option("--family", required=True, metavar="F", help="Appliance family, e.g. dryer.")
@click.option("--complaint", required=True, metavar="C", help="Complaint id: `chargehand knowledge list` names them.")
@click.option("--variant", "variants", multiple=True, metavar="AXIS=VALUE", help="What is known of the machine.")
@click.option("--signoff", "signoffs", multiple=True, type=click.Choice(["live", "gas", "refrigerant", "lifting"]),
              help="What the tech is signed off for. May be given again.")
@click.option("--depth", default=5, show_default=True, type=click.IntRange(1, 20), help="Questions in a row.")
@click.option("--least", default=4.0, show_default=True, type=click.FloatRange(0.1, 100.0), metavar="PERCENT",
              help="Answers that fewer visits come to are named, not followed.")
@click.option("--json", "as_json", is_flag=True, help="The same tree as JSON.")
@click.option("--pack", "packs", type=FOLDER, multiple=True, help="A folder to lay on top, as in check.")
def trace(family: str, complaint: str, variants: tuple[str, ...], signoffs: tuple[Signoff, ...], depth: int,
          least: float, as_json: bool, packs: tuple[Path, ...]) -> None:
    """What is asked, what each likely answer leads to, findings, repairs and hand-offs."""
    from bot.authoring.course import Limits, course, outline  # noqa: PLC0415
    from bot.conversation.release import compile_release  # noqa: PLC0415

    loaded = laid(packs)
    pack = loaded.knowledge.packs[usable(loaded, family)]
    _known("complaint", complaint, pack.complaints)
    told = _variant(pack, variants)
    release = compile_release("trace", loaded.knowledge.model_copy(update={"packs": {family: pack}}))
    first = course(release, family, complaint, told, frozenset(signoffs), Limits(depth, least / 100))
    if as_json:
        click.echo(json.dumps(asdict(first), ensure_ascii=False, indent=1))
        return
    said = "".join(f", {pack.family.variants[axis].values[value].name}" for axis, value in told.items())
    click.secho(f"{pack.family.name}{said}: {pack.complaints[complaint].says}", bold=True)
    names = {**_names(pack.covers), **_names(pack.checks), **_names(pack.faults)}
    for line in outline(first, names):
        click.echo(line)


def _names(entries: Mapping[str, Cover | Check | Fault]) -> dict[str, str]:
    return {key: entry.name for key, entry in entries.items()}


def _variant(pack: Pack, variants: Sequence[str]) -> dict[str, str]:
    told = {}
    for text in variants:
        axis, is_given, value = text.partition("=")
        if not is_given:
            raise click.ClickException(f"write --variant axis=value, such as drive=belt (found '{text}')")
        _known("variant", axis, pack.family.variants)
        _known(f"value of {axis}", value, pack.family.variants[axis].values)
        told[axis] = value
    return told


def _known(what: str, key: str, there: Collection[str]) -> None:
    if key not in there:
        from knowledge.source import nearest  # noqa: PLC0415

        raise click.ClickException(f"no {what} '{key}'{nearest(key, there, ': known are ' + ', '.join(there))}")
