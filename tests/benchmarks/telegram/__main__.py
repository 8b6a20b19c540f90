"""`python -m tests.benchmarks.telegram`: 200 techs, 20 messages each, 5 % of all calls fail; and with crashes."""

from __future__ import annotations

import asyncio
import logging
import sys
from dataclasses import asdict
from pathlib import Path
from tempfile import TemporaryDirectory

import click

from tests.benchmarks.telegram.soak import Load, soak


@click.command()
@click.option("--techs", default=200, show_default=True)
@click.option("--messages", default=20, show_default=True)
@click.option("--rate", default=0.05, show_default=True, help="Share of calls that fail.")
@click.option("--crashes", default=0, show_default=True)
@click.option("--pause", default=2.0, show_default=True, help="Mean seconds between two messages of a tech.")
@click.option("--polls-fail/--polls-hold", default=True, show_default=True, help="Whether polls are among them.")
@click.option("--seed", default=1, show_default=True)
def main(techs: int, messages: int, rate: float, crashes: int, pause: float, polls_fail: bool, seed: int) -> None:
    """Print the verdict; exit 1 if anything was lost, doubled or out of order."""
    logging.disable(logging.CRITICAL)
    with TemporaryDirectory() as folder:
        load = Load(techs, messages, rate, seed, pause, crashes, polls_fail)
        verdict = asyncio.run(soak(Path(folder), load))
    for name, value in asdict(verdict).items():
        click.echo(f"{name:14} {value}")
    sys.exit(0 if verdict.good else 1)


if __name__ == "__main__":
    main()
