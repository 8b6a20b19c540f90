"""`chargehand knowledge check | list | schema`."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from knowledge.schema import Pack
    from knowledge.source import Finding

BROKEN = ": left out, its pack has errors (see chargehand knowledge check)"
FOLDER = click.Path(exists=True, file_okay=False, path_type=Path)
FILE = click.Path(exists=True, dir_okay=False, path_type=Path)


@click.group()
def knowledge() -> None:
    """Check, list and describe the knowledge packs."""


@knowledge.command()
@click.option("--catalogue", type=FILE, help="A coverage contract: all its complaints and faults must exist.")
@click.option("--pack", "packs", type=FOLDER, multiple=True,
              help="A folder of packs, or of one family, to lay on top. May be given again.")
def check(catalogue: Path | None, packs: tuple[Path, ...]) -> int:
    """Validate all packs. Prints `file:line: message`; exits 1 if any finding is an error."""
    from knowledge.catalogue import check_catalogue, check_handoff  # noqa: PLC0415
    from knowledge.loader import load  # noqa: PLC0415

    _refuse_empty(packs)
    loaded = load(packs)
    findings = list(loaded.findings)
    if catalogue is not None:
        findings += check_catalogue(catalogue, loaded.knowledge.packs, loaded.trees)
        findings += check_handoff(catalogue, loaded.knowledge.common.handoff_only)
    for finding in findings:
        click.echo(_shown(finding))
    errors = sum(finding.error for finding in findings)
    click.echo(f"{_counted(list(loaded.knowledge.packs.values()))}; "
               f"{_number(errors, 'error')}, {_number(len(findings) - errors, 'warning')}", err=True)
    return 1 if errors else 0


@knowledge.command(name="list")
@click.option("--family", help="Only this family.")
@click.option("--json", "as_json", is_flag=True, help="As JSON, for programs.")
@click.option("--pack", "packs", type=FOLDER, multiple=True, help="A folder to lay on top, as in check.")
def list_packs(family: str | None, as_json: bool, packs: tuple[Path, ...]) -> int:
    """Families with their complaints, faults, and checks with their results."""
    from knowledge.loader import load  # noqa: PLC0415

    _refuse_empty(packs)
    loaded = load(packs)
    known = loaded.knowledge.packs
    if family is not None and family not in known:
        from knowledge.source import nearest  # noqa: PLC0415

        hint = BROKEN if family in loaded.trees else nearest(family, known, f": known are {', '.join(known)}")
        raise click.ClickException(f"no family '{family}'{hint}")
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


def _refuse_empty(folders: Sequence[Path]) -> None:
    from knowledge.loader import layer  # noqa: PLC0415

    for folder in folders:
        if not layer(folder):
            raise click.ClickException(f"no packs in {folder}: it holds neither *.yaml nor folders with *.yaml")


def _shown(finding: Finding) -> str:
    """The finding with its file as seen from here, when it lies below."""
    file = finding.spot.file
    here = Path.cwd()
    name = file.relative_to(here) if file.is_relative_to(here) else file
    return f"{name}:{finding.spot.line}: {'' if finding.error else 'warning: '}{finding.message}"


def _counted(packs: Sequence[Pack]) -> str:
    parts = [_number(sum(len(getattr(pack, section)) for pack in packs), section.removesuffix("s"))
             for section in ("complaints", "faults", "checks")]
    families = "1 family" if len(packs) == 1 else f"{len(packs)} families"
    return f"{families}, {', '.join(parts)}"


def _number(count: int, noun: str) -> str:
    return f"{count} {noun}{'' if count == 1 else 's'}"


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
