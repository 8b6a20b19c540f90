"""`chargehand simulate`: many visits by simulated techs through the whole core, and what they came to."""

from __future__ import annotations

import json
import math
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from adapters.commands.jsonl import BadLineError
from adapters.commands.layered import FOLDER
from adapters.commands.packs import knowledge_of, known_family

if TYPE_CHECKING:
    from bot.simulation.visits import Visit


class Bounded(click.FloatRange):
    """A number within bounds, both included: `nan` lies in no range."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """The number. Fails for anything else."""
        number: float = super().convert(value, param, ctx)
        if math.isnan(number):
            self.fail(f"{value} is not in the range {self._describe_range()}.", param, ctx)
        return number


@click.command()
@click.option("--family", required=True, metavar="F", help="Appliance family, e.g. dryer.")
@click.option("--jobs", default=100, show_default=True, type=click.IntRange(1), help="How many visits.")
@click.option("--seed", default=1, show_default=True, type=int, help="The same seed gives the same visits.")
@click.option("--noise", default=0.0, show_default=True, type=Bounded(0.0, 5.0), metavar="X",
              help="How far the simulated machines stray from the pack (standard deviation of log-likelihoods).")
@click.option("--outside", type=Bounded(0.0, 1.0), metavar="SHARE",
              help="Share of machines whose fault is not in the book. Without: what the pack says.")
@click.option("--pack", "folders", type=FOLDER, multiple=True, metavar="DIR",
              help="A folder of knowledge to lay on top, as in `knowledge check`. May be given again.")
@click.option("--json", "as_json", is_flag=True, help="One JSON object instead of a table.")
def simulate(family: str, jobs: int, seed: int, noise: float, outside: float | None, folders: tuple[Path, ...],
             as_json: bool) -> None:
    """Simulated visits through the whole core, typed as technicians type."""
    from bot.conversation.release import compile_release  # noqa: PLC0415
    from bot.simulation.phrases import in_bank  # noqa: PLC0415
    from bot.simulation.report import figures  # noqa: PLC0415
    from bot.simulation.visits import visits  # noqa: PLC0415

    known = knowledge_of(folders)
    try:
        known_family(family, folders)
    except BadLineError as error:
        raise click.ClickException(str(error)) from error
    if not in_bank(family):
        raise click.ClickException(f"nobody has written down yet how people speak of a {family}: no visits of one")
    release = compile_release("simulation", known.model_copy(update={"packs": {family: known.packs[family]}}))
    found = figures(list(_shown(visits(release, family, jobs, seed, noise, outside=outside), jobs)))
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
    if value is None:
        return "none"
    if isinstance(value, float):
        return f"{value:.3f}"
    if isinstance(value, dict):
        return ", ".join(f"{k} {v}" for k, v in value.items()) or "none"
    return str(value)
