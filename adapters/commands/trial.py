"""`chargehand try`: the main job in this terminal, with no account and no token."""

from __future__ import annotations

import asyncio
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

import click

from adapters.commands.logged import logged

ROLES = click.Choice(["junior", "senior", "owner"])


@click.command(name="try")
@click.option("--data", type=click.Path(file_okay=False, path_type=Path), metavar="DIR",
              help="Keep everything in this folder, and go on from it. Without: a throw-away one.")
@click.option("--as", "role", type=ROLES, help="Whose seat: junior (Rui, the default), senior (Marta), owner (Ines).")
@click.option("--name", help="Take this person's seat instead.")
@click.option("--seed", type=int, help="Make anything random repeatable.")
@click.option("--wait", type=click.FloatRange(min=0), default=0.0, metavar="S",
              help="Piped: stay S seconds longer, for what others cause.")
@click.option("--pack", "packs", type=click.Path(exists=True, file_okay=False, path_type=Path), multiple=True,
              metavar="DIR", help="A folder of knowledge to lay on top, as in `knowledge check`. May be given again.")
def trial(data: Path | None, role: str | None, name: str | None, seed: int | None, wait: float,
          packs: tuple[Path, ...]) -> None:
    """Talk with the bot: type what the machine does, as a junior on a job would.

    Reads plain lines when standard input is no terminal: one line in, the replies out, each line with `bot> `.
    """
    with _folder(data) as folder, logged(folder if data is not None else None):
        try:
            _sit(folder, data is not None, role, name, seed, wait, packs)
        except Exception as error:
            from bot.service.config import ConfigError  # noqa: PLC0415
            from bot.store.errors import StoreError  # noqa: PLC0415

            if isinstance(error, ConfigError | StoreError):
                raise click.ClickException(str(error)) from error
            raise


@contextmanager
def _folder(data: Path | None) -> Iterator[Path]:
    """The data folder, or one that is gone afterwards."""
    if data is not None:
        try:
            data.mkdir(mode=0o700, parents=True, exist_ok=True)
        except OSError as error:
            raise click.ClickException(f"{data} cannot be made: {error.strerror}") from error
        yield data
        return
    with TemporaryDirectory(prefix="chargehand-", ignore_cleanup_errors=True) as folder:
        yield Path(folder)


def _sit(folder: Path, kept: bool, role: str | None, name: str | None, seed: int | None, wait: float,
         packs: tuple[Path, ...]) -> None:
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        from adapters.terminal.plain import piped  # noqa: PLC0415

        piped(folder, role, name, seed, wait, packs)
        return
    from adapters.terminal.prompt import by_hand  # noqa: PLC0415

    who = "".join(c for c in (name or role or "junior").casefold() if c.isalnum())
    asyncio.run(by_hand(folder, role, name, seed, folder / f"typed-{who}" if kept else None, packs))
    click.echo(f"Kept in {folder}: the same command goes on from here." if kept else "Nothing of this is kept.")
