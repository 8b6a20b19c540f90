"""`chargehand simulate`: many visits by simulated techs through the whole core, and what they came to."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable
from typing import TYPE_CHECKING

import click

from adapters.commands.packs import packs

if TYPE_CHECKING:
    from bot.simulation.visits import Visit


@click.command()
@click.option("--family", required=True, metavar="F", help="Appliance family, e.g. dryer.")
@click.option("--jobs", default=100, show_default=True, type=click.IntRange(1), help="How many visits.")
@click.option("--seed", default=1, show_default=True, type=int, help="The same seed gives the same visits.")
@click.option("--noise", default=0.0, show_default=True, type=click.FloatRange(0.0), metavar="X",
              help="How far the simulated machines stray from the pack (standard deviation of log-likelihoods).")
@click.option("--json", "as_json", is_flag=True, help="One JSON object instead of a table.")
def simulate(family: str, jobs: int, seed: int, noise: float, as_json: bool) -> None:
    """Simulated visits through the whole core, typed as technicians type."""
    from bot.conversation.release import compile_release  # noqa: PLC0415
    from bot.simulation.report import figures  # noqa: PLC0415
    from bot.simulation.visits import visits  # noqa: PLC0415

    known = packs()
    if family not in known.packs:
        raise click.BadParameter(f"no usable pack '{family}': `chargehand knowledge list` names them")
    release = compile_release("simulation", known.model_copy(update={"packs": {family: known.packs[family]}}))
    found = figures(list(_shown(visits(release, family, jobs, seed, noise), jobs)))
    whole = {"family": family, "seed": seed, "noise": noise, **found}
    if as_json:
        click.echo(json.dumps(whole))
    else:
        for key, value in whole.items():
            click.echo(f"{key.replace('_', ' '):24} {_said(value)}")


def _shown(visits: Iterable[Visit], jobs: int) -> Iterable[Visit]:
    """The visits, with a progress bar on standard error if somebody watches."""
    if not sys.stderr.isatty():
        yield from visits
        return
    from rich.console import Console  # noqa: PLC0415
    from rich.progress import track  # noqa: PLC0415

    yield from track(visits, description="visits", total=jobs, console=Console(stderr=True))


def _said(value: object) -> str:
    if isinstance(value, float):
        return f"{value:.3f}"
    if isinstance(value, dict):
        return ", ".join(f"{k} {v}" for k, v in value.items()) or "none"
    return str(value)
