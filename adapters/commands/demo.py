"""`chargehand demo`: a data folder with three months of a small invented firm."""

from __future__ import annotations

import asyncio
import sys
from contextlib import nullcontext
from pathlib import Path

import click

from adapters.commands.logged import logged


@click.command(name="demo")
@click.option("--data", required=True, type=click.Path(file_okay=False, path_type=Path), metavar="DIR",
              help="The folder to fill; it must be new or empty.")
@click.option("--visits", default=90, show_default=True, type=click.IntRange(1, 700), help="How many visits.")
@click.option("--seed", default=1, show_default=True, type=int, help="The same seed gives the same visits.")
def demo(data: Path, visits: int, seed: int) -> None:
    """Fill DIR with three months of an invented firm, by simulated visits through the whole program.

    Then `chargehand pages --data DIR` shows them, and `chargehand try --data DIR` goes on from there. Ninety visits
    take a few minutes.
    """
    from adapters.demo.fill import fill  # noqa: PLC0415
    from bot.store.errors import StoreError  # noqa: PLC0415

    if data.exists() and any(data.iterdir()):
        raise click.ClickException(f"{data} is not empty: name a new folder")
    watched = sys.stderr.isatty()
    bar = click.progressbar(length=visits, label="visits", file=sys.stderr) if watched else nullcontext(None)
    with bar as progress:
        def shown(done: int) -> None:
            if progress is not None:
                progress.update(1)

        try:
            with logged(data):
                done = asyncio.run(fill(data, visits=visits, seed=seed, shown=shown))
        except StoreError as error:
            raise click.ClickException(str(error)) from error
    click.echo(f"{done} visits in {data}. See them: chargehand pages --data {data}")
