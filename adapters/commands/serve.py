"""`chargehand serve`: all configured adapters in one process."""

from __future__ import annotations

import asyncio
import logging
import signal
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from bot.service.config import Config


@click.command(name="serve")
@click.option("--config", "file", required=True, type=click.Path(dir_okay=False, path_type=Path), metavar="FILE",
              help="The settings file.")
@click.option("--verbose", is_flag=True, help="Log more than what needs attention.")
def serve(file: Path, verbose: bool) -> None:
    """Serve all chat platforms of the settings file, until SIGTERM or Ctrl-C; then finish what is in hand.

    GET /healthz on the pages' host and port tells whether all is well.
    """
    from adapters.shared.adapter import AdapterStoppedError  # noqa: PLC0415
    from bot.service.config import ConfigError, load_config  # noqa: PLC0415
    from bot.store.errors import StoreError  # noqa: PLC0415

    _log(verbose)
    try:
        asyncio.run(_until_told(load_config(file)))
    except (ConfigError, StoreError) as error:
        raise click.ClickException(str(error)) from error
    except AdapterStoppedError as error:
        click.echo(f"chargehand: {error}", err=True)
        sys.exit(1)


async def _until_told(config: Config) -> None:
    from adapters.serve import serve  # noqa: PLC0415

    stopping = asyncio.Event()
    loop = asyncio.get_running_loop()
    for each in (signal.SIGTERM, signal.SIGINT):
        loop.add_signal_handler(each, stopping.set)
    await serve(config, stopping)


def _log(verbose: bool) -> None:
    """To standard error, without tokens; what libraries say only when it needs attention."""
    from adapters.telegram.account import Discreet  # noqa: PLC0415

    handler = logging.StreamHandler()
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(name)s: %(message)s"))
    handler.addFilter(Discreet())
    logging.basicConfig(level=logging.WARNING, handlers=[handler], force=True)
    for ours in ("adapters", "bot"):
        logging.getLogger(ours).setLevel(logging.DEBUG if verbose else logging.INFO)
