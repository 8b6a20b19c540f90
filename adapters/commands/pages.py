"""`chargehand pages`: the owner's pages on a data folder."""

from __future__ import annotations

import asyncio
import contextlib
import signal
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from adapters.pages.house import House


@click.command(name="pages")
@click.option("--data", required=True, type=click.Path(file_okay=False, path_type=Path), metavar="DIR",
              help="The data folder of `try`, `demo` or `serve`.")
@click.option("--host", default="127.0.0.1", show_default=True, metavar="H", help="Listen here.")
@click.option("--port", default=8765, show_default=True, type=click.IntRange(0, 65535), metavar="P",
              help="At this port; 0: any that is free.")
@click.option("--config", "file", type=click.Path(dir_okay=False, path_type=Path), metavar="FILE",
              help="The settings file, for the firm's name, time zone and packs.")
@click.option("--person", metavar="ID", help="Whose login: an owner or senior (see `chargehand people list`).")
def pages(data: Path, host: str, port: int, file: Path | None, person: str | None) -> None:
    """Serve the pages on DIR until Ctrl-C, and print a link that logs in once, within ten minutes.

    Whoever can read the folder is let in as its owner. The pages are plain http: keep them on this machine, or put a
    server with a certificate in front.
    """
    from adapters.shared.adapter import AdapterStoppedError  # noqa: PLC0415
    from bot.store.errors import StoreError  # noqa: PLC0415

    try:
        with contextlib.suppress(KeyboardInterrupt):
            asyncio.run(_serve(_house(data, file), host, port, person))
    except (StoreError, AdapterStoppedError) as error:
        raise click.ClickException(str(error)) from error


def _house(data: Path, file: Path | None) -> House:
    from platformdirs import user_cache_path  # noqa: PLC0415

    from adapters.pages.house import House  # noqa: PLC0415
    from adapters.terminal.seats import FIRM  # noqa: PLC0415
    from bot.service.config import ConfigError, load_config  # noqa: PLC0415

    if file is None:
        return House(data, FIRM, cache=user_cache_path("chargehand") / "releases")
    try:
        firm = load_config(file).firm
    except ConfigError as error:
        raise click.ClickException(str(error)) from error
    return House(data, firm.firm(), overlays=[firm.overlay] if firm.overlay is not None else [],
                 learning=firm.learning)


async def _serve(house: House, host: str, port: int, person: str | None) -> None:
    from adapters.pages.app import pages_app  # noqa: PLC0415
    from adapters.shared.web import Site  # noqa: PLC0415
    from bot.review.access import LOGIN_VALID, new_login  # noqa: PLC0415

    stopping = asyncio.Event()
    loop = asyncio.get_running_loop()
    for each in (signal.SIGTERM, signal.SIGINT):
        loop.add_signal_handler(each, stopping.set)
    try:
        site = Site(pages_app(house), host, port, "--port")
        taken = await site.open()
        try:
            key = new_login(house.store, person, house.clock())
            shown = "127.0.0.1" if host in {"0.0.0.0", "::"} else f"[{host}]" if ":" in host else host
            click.echo(f"http://{shown}:{taken}/login?key={key}")
            click.echo(f"Good once, for {LOGIN_VALID.seconds // 60} minutes. Ctrl-C ends.", err=True)
            await stopping.wait()
        finally:
            await site.close()
    finally:
        house.close()
