"""Logging in by a one-time link, and out.

Opening the link only shows a button: chat apps look at links before people do, and would use it up. The button's form
does it.
"""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable

from aiohttp import web

from adapters.pages.web import COOKIE, Page, Web
from bot.review.access import SESSION_VALID, form_token, log_in, log_out

Handler = Callable[[web.Request], Awaitable[web.StreamResponse]]


def handlers(pages: Web, *, secure: bool) -> tuple[Handler, Handler, Handler]:
    """(the page, its form, logging out). `secure`: the cookie is for https only."""
    async def ask(request: web.Request) -> web.StreamResponse:
        if await pages.visitor(request) is not None:
            raise web.HTTPSeeOther("/")
        return pages.page(Page("login.html", {"key": request.query.get("key", "")[:200], "problem": ""}), None)

    async def enter(request: web.Request) -> web.StreamResponse:
        if pages.logins.over(request.remote or ""):
            return pages.page(Page("login.html", {"key": "", "problem": "Too many tries: wait a minute."}, 429), None)
        key = str((await request.post()).get("key", ""))[:200]
        house = pages.house
        session = None if pages.foreign(request) else await asyncio.to_thread(log_in, house.store, key, house.clock())
        if session is None:
            problem = "This link was used already, or is older than ten minutes. Get a new one."
            return pages.page(Page("login.html", {"key": "", "problem": problem}, 403), None)
        response = web.Response(status=303, headers={"Location": "/"})
        response.set_cookie(COOKIE, session, max_age=int(SESSION_VALID.total_seconds()), httponly=True, samesite="Lax",
                            secure=secure, path="/")
        return response

    async def leave(request: web.Request) -> web.StreamResponse:
        key = pages.key(request)
        form = await request.post()
        if key and form.get("token") == form_token(key) and not pages.foreign(request):
            await asyncio.to_thread(log_out, pages.house.store, key)
        response = web.Response(status=303, headers={"Location": "/login"})
        response.del_cookie(COOKIE, path="/")
        return response

    return ask, enter, leave
