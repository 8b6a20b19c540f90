"""`chargehand knowledge check`: what is wrong with the packs, and with `--deep` what is weak in them."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from adapters.commands.layered import FILE, FOLDER, laid, usable

if TYPE_CHECKING:
    from bot.authoring.remarks import Remark
    from bot.authoring.review import Review
    from knowledge.loader import Loaded
    from knowledge.schema import Pack
    from knowledge.source import Finding, Spot


@click.command()
@click.option("--catalogue", type=FILE, help="A coverage contract: all its complaints and faults must exist.")
@click.option("--pack", "packs", type=FOLDER, multiple=True,
              help="A folder of packs, or of one family, to lay on top. May be given again.")
@click.option("--deep", is_flag=True, help="Look for weak spots by language and diagnosis too: a minute a family.")
@click.option("--family", "families", multiple=True, help="Look for weak spots in this one only. May be given again.")
@click.option("--explained", is_flag=True, help="Show also what a note explains by `Kept (<kind>): ...`.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object, for programs.")
def check(catalogue: Path | None, packs: tuple[Path, ...], deep: bool, families: tuple[str, ...], explained: bool,
          as_json: bool) -> int:
    """Validate all packs. Prints `file:line: message`; exits 1 if any finding is an error."""
    from bot.authoring.review import review  # noqa: PLC0415
    from knowledge.catalogue import check_catalogue, check_handoff  # noqa: PLC0415

    loaded = laid(packs)
    for family in families:
        usable(loaded, family)
    findings = list(loaded.findings)
    if catalogue is not None:
        findings += check_catalogue(catalogue, loaded.knowledge.packs, loaded.trees)
        findings += check_handoff(catalogue, loaded.knowledge.common.handoff_only)
    with _progress(deep) as told:
        found = review(loaded, deep=deep, families=families, told=told)
    shown = [*found.open, *(found.explained if explained else ())]
    if as_json:
        click.echo(json.dumps(_as_json(loaded, findings, found, shown), ensure_ascii=False, indent=1))
    else:
        for finding in [*findings, *(remark.finding(loaded.trees[remark.family]) for remark in shown)]:
            click.echo(_line(finding))
    errors = sum(finding.error for finding in findings)
    warnings = len(findings) - errors + len(found.open)
    click.echo(f"{_counted(list(loaded.knowledge.packs.values()))}; {_number(errors, 'error')}, "
               f"{_number(warnings, 'warning')}" + (f", {len(found.explained)} more explained in notes"
                                                   if found.explained else ""), err=True)
    return 1 if errors else 0


def _as_json(loaded: Loaded, findings: Sequence[Finding], found: Review, shown: Sequence[Remark]) -> dict[str, Any]:
    rows = [{**_at(f.spot), "level": "error" if f.error else "warning", "kind": "structure", "message": f.message,
             "proposal": None} for f in findings]
    open_ones = set(found.open)
    rows += [{**_at(loaded.trees[r.family].spot(r.place)), "level": "warning" if r in open_ones else "explained",
              "kind": r.kind, "family": r.family, "entry": ".".join(map(str, r.place)), "message": r.message,
              "proposal": r.proposal} for r in shown]
    return {"findings": rows, "explained": len(found.explained)}


@contextmanager
def _progress(deep: bool) -> Iterator[Callable[[str, str], None]]:
    """A line on standard error that says what is being looked at, if somebody watches."""
    if not (deep and sys.stderr.isatty()):
        yield lambda _family, _what: None
        return
    from rich.console import Console  # noqa: PLC0415

    with Console(stderr=True).status("looking") as status:
        yield lambda family, what: status.update(f"{family}: {what}")


def _line(finding: Finding) -> str:
    """The finding with its file as seen from here, when it lies below."""
    at = _at(finding.spot)
    return f"{at['file']}:{at['line']}: {'' if finding.error else 'warning: '}{finding.message}"


def _at(spot: Spot) -> dict[str, Any]:
    here = Path.cwd()
    file = spot.file.relative_to(here) if spot.file.is_relative_to(here) else spot.file
    return {"file": str(file), "line": spot.line}


def _counted(packs: Sequence[Pack]) -> str:
    parts = [_number(sum(len(getattr(pack, section)) for pack in packs), section.removesuffix("s"))
             for section in ("complaints", "faults", "checks")]
    families = "1 family" if len(packs) == 1 else f"{len(packs)} families"
    return f"{families}, {', '.join(parts)}"


def _number(count: int, noun: str) -> str:
    return f"{count} {noun}{'' if count == 1 else 's'}"
