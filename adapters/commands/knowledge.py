"""`chargehand knowledge check | list | schema | trace`."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from adapters.commands import knowledge_check, knowledge_trace
from adapters.commands.layered import BROKEN, FOLDER, laid, usable

if TYPE_CHECKING:
    from knowledge.schema import Pack


@click.group()
def knowledge() -> None:
    """Check, list, describe and walk through the knowledge packs."""


knowledge.add_command(knowledge_check.check)
knowledge.add_command(knowledge_trace.trace)


@knowledge.command(name="list")
@click.option("--family", help="Only this family.")
@click.option("--json", "as_json", is_flag=True, help="As JSON, for programs.")
@click.option("--pack", "packs", type=FOLDER, multiple=True, help="A folder to lay on top, as in check.")
def list_packs(family: str | None, as_json: bool, packs: tuple[Path, ...]) -> int:
    """Families with their complaints, faults, and checks with their results."""
    loaded = laid(packs)
    known = loaded.knowledge.packs
    if family is not None:
        usable(loaded, family)
    chosen = {name: pack for name, pack in known.items() if family in (None, name)}
    if as_json:
        click.echo(json.dumps({name: _outline(pack) for name, pack in chosen.items()}, ensure_ascii=False, indent=1))
    else:
        for pack in chosen.values():
            _print_pack(pack)
    for name in sorted(loaded.trees.keys() - known.keys() - {"common"}):
        click.echo(f"{name}{BROKEN}", err=True)
    return 0


@knowledge.command()
def schema() -> None:
    """JSON Schema of a pack's file, for editors."""
    from knowledge.authors import file_schema  # noqa: PLC0415

    click.echo(json.dumps(file_schema(), ensure_ascii=False, indent=1))


def _outline(pack: Pack) -> dict[str, Any]:
    return {
        "name": pack.family.name,
        "variants": {axis: list(variant.values) for axis, variant in pack.family.variants.items()},
        "complaints": {key: complaint.label for key, complaint in pack.complaints.items()},
        "faults": {key: {"name": fault.name, "repair": pack.repair_of(key)[0]} for key, fault in pack.faults.items()},
        "checks": {key: {"name": check.name, "kind": check.kind, "power": check.power, "minutes": check.minutes,
                         "quantity": check.reading.quantity if check.reading else None,
                         "results": {rid: result.label for rid, result in check.results.items()}}
                   for key, check in pack.checks.items()},
    }


def _print_pack(pack: Pack) -> None:
    click.secho(f"{pack.family.id}: {pack.family.name}", bold=True)
    for axis, variant in pack.family.variants.items():
        click.echo(f"  {axis}: {', '.join(variant.values)}")
    for title, rows in (
        ("complaints", [(key, complaint.label) for key, complaint in pack.complaints.items()]),
        ("faults", [(key, fault.name) for key, fault in pack.faults.items()]),
        ("checks", [(key, f"{check.name}: {', '.join(check.results)}") for key, check in pack.checks.items()]),
    ):
        click.secho(f"  {title} ({len(rows)})", bold=True)
        width = max((len(key) for key, _ in rows), default=0)
        for key, text in rows:
            click.echo(f"    {key:<{width}}  {text}")
    click.echo()
