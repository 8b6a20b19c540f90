"""The routes of the owner's pages, for a server of their own or beside the health page of `chargehand serve`."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import AsyncIterator
from typing import Final

from aiohttp import web

from adapters.pages import figures, keeping, learning, log, login, today, unheard, visit
from adapters.pages.house import House
from adapters.pages.rendering import FOLDER, Templates
from adapters.pages.web import MOST_FORM, Web
from bot.review.erasure import run_retention
from bot.store.errors import StoreError

logger = logging.getLogger(__name__)

A_DAY: Final = 24 * 3600.0


def pages_app(house: House, *, secure: bool = False) -> web.Application:
    """An application with the pages and a /healthz of its own."""
    app = new_app(house, secure=secure)

    async def healthz(_: web.Request) -> web.Response:
        return web.json_response({"ok": True})

    app.router.add_get("/healthz", healthz)
    return app


def new_app(house: House, *, secure: bool = False) -> web.Application:
    """An application with the pages alone. `secure`: reached by https."""
    pages = Web(house, Templates(house.firm.name, house.zone))
    app = web.Application(middlewares=[pages.guarded], client_max_size=MOST_FORM)
    ask, enter, leave = login.handlers(pages, secure=secure)
    routes = app.router
    routes.add_get("/login", ask)
    routes.add_post("/login", enter)
    routes.add_post("/logout", leave)
    routes.add_static("/static/", FOLDER / "static")
    routes.add_get("/", pages.shows(log.log))
    routes.add_get("/visits/{job:[0-9a-f]{1,64}}", pages.shows(visit.visit))
    routes.add_post("/visits/{job:[0-9a-f]{1,64}}/mark", pages.takes(visit.mark))
    routes.add_post("/visits/{job:[0-9a-f]{1,64}}/note", pages.takes(visit.note))
    routes.add_get("/photos/{sha256:[0-9a-f]{64}}", pages.shows(visit.photo))
    routes.add_get("/today", pages.shows(today.show, owners=True))
    routes.add_get("/figures", pages.shows(figures.show, owners=True))
    routes.add_get("/unheard", pages.shows(unheard.show, owners=True))
    routes.add_get("/unheard/wording", pages.shows(unheard.wording, owners=True))
    routes.add_post("/unheard/preview", pages.takes(unheard.preview, owners=True))
    routes.add_post("/unheard/add", pages.takes(unheard.add, owners=True))
    routes.add_post("/unheard/undo", pages.takes(unheard.undo, owners=True))
    routes.add_post("/unheard/retire", pages.takes(unheard.retire, owners=True))
    routes.add_get("/learned", pages.shows(learning.show, owners=True))
    routes.add_post("/learned/apply", pages.takes(learning.apply, owners=True))
    routes.add_post("/learned/undo", pages.takes(learning.undo, owners=True))
    routes.add_get("/keeping", pages.shows(keeping.show, owners=True))
    routes.add_post("/keeping/export", pages.takes(keeping.download, owners=True))
    routes.add_post("/keeping/months", pages.takes(keeping.months, owners=True))
    routes.add_get("/keeping/customers/{site:[0-9a-f]{1,64}}", pages.shows(keeping.customer, owners=True))
    routes.add_post("/keeping/customers/{site:[0-9a-f]{1,64}}/erase", pages.takes(keeping.erase, owners=True))
    app.cleanup_ctx.append(lambda _: _background(house))
    return app


async def _background(house: House) -> AsyncIterator[None]:
    """Reads what the first page needs, and once a day removes what is older than the firm keeps it."""
    tasks = [asyncio.create_task(_warm(house)), asyncio.create_task(_daily(house))]
    yield
    for task in tasks:
        task.cancel()
    await asyncio.gather(*tasks, return_exceptions=True)


async def _warm(house: House) -> None:
    try:
        await asyncio.to_thread(house.today)
        await asyncio.to_thread(house.vocabulary.refresh, house.store)
    except StoreError as error:
        logger.warning("the log's words could not be read yet: %s", error)


async def _daily(house: House) -> None:
    while True:
        try:
            removal = await asyncio.to_thread(run_retention, house.store, house.clock())
            if removal is not None and removal.erased.jobs:
                house.vocabulary.forget()
                logger.info("%d visits are older than the firm keeps them and were removed", removal.erased.jobs)
        except StoreError as error:
            logger.warning("what is too old could not be removed yet: %s", error)
        await asyncio.sleep(A_DAY)
