"""All configured adapters in one process on one data folder, with a health page, until told to stop."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from typing import Final

from aiohttp import web
from platformdirs import user_cache_path

from adapters.pages.app import new_app
from adapters.pages.beside import links, send_lists
from adapters.pages.house import House
from adapters.shared.adapter import Adapter, AdapterStoppedError
from adapters.shared.stopping import unless_stopped
from adapters.shared.web import Site
from bot.service.clock import utc_now
from bot.service.config import Config, ConfigError
from bot.service.opening import opened
from bot.service.service import Service

log = logging.getLogger(__name__)

STOPPING: Final = 20.0
"""Seconds that adapters get to stop taking."""
STUCK: Final = 120.0
"""Seconds in hand after which a piece of work counts as stuck."""

Open = Callable[[Config, Service], Sequence[Adapter]]


def check(config: Config) -> None:
    """Whether what the settings name is there, before anything is opened. Raises ConfigError."""
    if config.telegram is None and config.matrix is None:
        raise ConfigError("nothing to serve: add a section [telegram] or [matrix] to the settings file")
    if config.telegram is not None:
        from adapters.telegram.account import check  # noqa: PLC0415

        check(config.telegram)


def adapters_of(config: Config, service: Service) -> list[Adapter]:
    """An adapter for each section of the settings that has one. Raises ConfigError."""
    found: list[Adapter] = []
    if config.telegram is not None:
        from adapters.telegram.adapter import TelegramAdapter  # noqa: PLC0415

        found.append(TelegramAdapter(config.telegram, service, timezone=config.firm.timezone))
    if config.matrix is not None:
        from adapters.matrix.adapter import MatrixAdapter  # noqa: PLC0415

        found.append(MatrixAdapter(config.matrix, service, timezone=config.firm.timezone))
    return found


async def serve(config: Config, stopping: asyncio.Event, *, adapters: Open = adapters_of) -> None:
    """Serve until `stopping`, then finish what is in hand. Raises ConfigError, AdapterStoppedError, StoreError."""
    check(config)
    overlays = [config.firm.overlay] if config.firm.overlay is not None else []
    opening = opened(config.store.path, config.firm.firm(), overlays=overlays, learning=config.firm.learning,
                     cache=user_cache_path("chargehand") / "releases")
    service = await asyncio.to_thread(opening.__enter__)
    try:
        found = adapters(config, service)
        for adapter in found:
            service.add(adapter.delivery)
        house = await asyncio.to_thread(House, config.store.path, config.firm.firm(), overlays=overlays,
                                        cache=user_cache_path("chargehand") / "releases",
                                        learning=config.firm.learning)
        app = new_app(house, secure=(config.pages.public_url or "").startswith("https:"))
        site = Site(health_app(service, found, app), config.pages.host, config.pages.port)
        base = config.pages.public_url or f"http://{config.pages.host}:{config.pages.port}"
        service.aside = links(house, base)
        try:
            await site.open()
            beside = [asyncio.create_task(send_lists(house, service)), asyncio.create_task(service.make_ready())]
            try:
                await _together(service, found, stopping)
            finally:
                for task in beside:
                    task.cancel()
                await asyncio.gather(*beside, return_exceptions=True)
                await site.close()
        finally:
            house.close()
    finally:
        await asyncio.to_thread(opening.__exit__, None, None, None)


async def _together(service: Service, adapters: Sequence[Adapter], stopping: asyncio.Event) -> None:
    """Run it all. First the taking ends, then the work in hand and its answers, then the connections."""
    working = asyncio.create_task(service.run())
    taking = [asyncio.create_task(adapter.run()) for adapter in adapters]
    log.info("serving %s", ", ".join(adapter.name for adapter in adapters))
    try:
        await unless_stopped(stopping, _first_end([working, *taking]))
    finally:
        log.info("stopping: no more is taken, what is in hand is finished")
        for adapter in adapters:
            adapter.stop()
        await asyncio.wait(taking, timeout=STOPPING)
        for task in taking:
            task.cancel()
        ended = await asyncio.gather(*taking, return_exceptions=True)
        service.stop()
        await working
        for adapter in adapters:
            await adapter.close()
    for error in ended:
        if isinstance(error, Exception):
            raise error


async def _first_end(tasks: Sequence[asyncio.Task[None]]) -> None:
    await asyncio.wait(tasks, return_when=asyncio.FIRST_COMPLETED)


def health_app(service: Service, adapters: Sequence[Adapter], app: web.Application | None = None) -> web.Application:
    """The health page, in `app` if one is given: 200 when every adapter is alive and the work moves, else 503.

    No words of anybody's are on it.
    """
    async def healthz(_: web.Request) -> web.Response:
        health = await service.health()
        states = {adapter.name: adapter.health() for adapter in adapters}
        stuck = [section for section, age in health.in_hand.items() if age > STUCK]
        good = all(state.alive for state in states.values()) and not health.problems and not stuck
        backlog = health.backlog
        return web.json_response({
            "ok": good,
            "adapters": {name: {"alive": state.alive, **state.details} for name, state in states.items()},
            "events_waiting": backlog.events, "oldest_event_seconds": _age(backlog.oldest_event),
            "parked": backlog.parked, "messages_waiting": backlog.outgoing,
            "oldest_message_seconds": _age(backlog.oldest_outgoing), "timers": backlog.timers,
            "in_hand_seconds": {section: round(age, 1) for section, age in health.in_hand.items()},
            "done": health.done, "problems": health.problems,
        }, status=200 if good else 503)

    app = web.Application() if app is None else app
    app.router.add_get("/healthz", healthz)
    return app


def _age(since: datetime | None) -> float | None:
    return None if since is None else round((utc_now() - since.astimezone(UTC)).total_seconds(), 1)


__all__ = ["AdapterStoppedError", "adapters_of", "check", "health_app", "serve"]
