"""Between aiohttp and the pages: who asks, forms that are theirs, headers, limits; pages are plain functions.

A page is a function from what was asked to what is answered. It runs in a thread; nothing in it knows of aiohttp.
"""

from __future__ import annotations

import asyncio
import logging
import time
from collections import OrderedDict, deque
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from hmac import compare_digest
from typing import Any, Final

from aiohttp import web

from adapters.pages.house import House
from adapters.pages.rendering import Templates
from bot.review.access import Visitor, form_token, visitor
from bot.store.errors import RefusedError, StoreError

log = logging.getLogger(__name__)

COOKIE: Final = "chargehand"
HEADERS: Final = {
    "Content-Security-Policy": "default-src 'none'; style-src 'self'; img-src 'self'; form-action 'self';"
                               " base-uri 'none'; frame-ancestors 'none'",
    "X-Content-Type-Options": "nosniff", "X-Frame-Options": "DENY", "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin", "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=()", "Cache-Control": "no-store"}
A_MINUTE: Final = 60.0
REQUESTS: Final = 240
"""Requests a minute of one address. A page is one, with its style and a few photos."""
LOGINS: Final = 10
MOST_FORM: Final = 64 * 1024


@dataclass(frozen=True, slots=True)
class Asked:
    """A request, of somebody who is logged in."""

    house: House
    visitor: Visitor
    query: Mapping[str, str]
    form: Mapping[str, str]
    path: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Page:
    """A page made of a template."""

    template: str
    values: Mapping[str, Any] = field(default_factory=dict)
    status: int = 200


@dataclass(frozen=True, slots=True)
class Redirect:
    """On to another page, which says `notice` on top (a key of rendering.NOTICES)."""

    to: str
    notice: str | None = None


@dataclass(frozen=True, slots=True)
class Download:
    """A file. `chunks` are made while it is sent."""

    name: str
    mime: str
    chunks: Iterable[bytes]
    inline: bool = False


Answer = Page | Redirect | Download
Show = Callable[[Asked], Answer]


class Gone(Exception):  # noqa: N818  not an error of ours: there is no such page
    """There is no such thing, or it is not this visitor's to see."""


class Limits:
    """How often an address asked within the last minute."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._asked: OrderedDict[str, deque[float]] = OrderedDict()

    def over(self, who: str) -> bool:
        """Count one; whether that is too many."""
        now = time.monotonic()
        times = self._asked.setdefault(who, deque())
        self._asked.move_to_end(who)
        while times and now - times[0] > A_MINUTE:
            times.popleft()
        times.append(now)
        while len(self._asked) > 5000:
            self._asked.popitem(last=False)
        return len(times) > self._most


class Web:
    """Makes aiohttp's handlers of pages."""

    def __init__(self, house: House, templates: Templates) -> None:
        self.house = house
        self.templates = templates
        self.requests = Limits(REQUESTS)
        self.logins = Limits(LOGINS)

    def shows(self, show: Show, *, owners: bool = False) -> Callable[[web.Request], Any]:
        """A page to look at."""
        async def handler(request: web.Request) -> web.StreamResponse:
            who = await self.visitor(request)
            if who is None:
                raise web.HTTPSeeOther("/login")
            return await self._answered(request, show, who, {}, owners)

        return handler

    def takes(self, show: Show, *, owners: bool = False) -> Callable[[web.Request], Any]:
        """A form: it must come from a page of this session."""
        async def handler(request: web.Request) -> web.StreamResponse:
            who = await self.visitor(request)
            if who is None:
                return self.page(Page("refused.html", {"why": "You are not logged in."}, 403), None)
            form = {key: value for key, value in (await request.post()).items() if isinstance(value, str)}
            if self.foreign(request) or not compare_digest(form.get("token", "").encode(),
                                                           form_token(self.key(request)).encode()):
                why = "This form is out of date, or came from somewhere else. Go back, load the page again, and retry."
                return self.page(Page("refused.html", {"why": why}, 403), who)
            return await self._answered(request, show, who, form, owners)

        return handler

    async def visitor(self, request: web.Request) -> Visitor | None:
        """Who asks."""
        key = self.key(request)
        return await asyncio.to_thread(visitor, self.house.store, key, self.house.clock()) if key else None

    @staticmethod
    def key(request: web.Request) -> str:
        """The session's key; empty without one."""
        return request.cookies.get(COOKIE, "")

    @staticmethod
    def foreign(request: web.Request) -> bool:
        """Whether the browser says that another site sends this."""
        return request.headers.get("Sec-Fetch-Site", "same-origin") not in {"same-origin", "none"}

    async def _answered(self, request: web.Request, show: Show, who: Visitor, form: Mapping[str, str],
                        owners: bool) -> web.StreamResponse:
        if owners and not who.owner:
            return self.page(Page("refused.html", {"why": "This page is the owner's."}, 403), who)
        asked = Asked(self.house, who, dict(request.query), form, dict(request.match_info))
        try:
            answer = await asyncio.to_thread(show, asked)
        except Gone:
            answer = Page("refused.html", {"why": "There is no such page here, or it is not yours to see."}, 404)
        except RefusedError as error:
            answer = Page("refused.html", {"why": f"That was not done: {error}."}, 400)
        match answer:
            case Page():
                return await asyncio.to_thread(self.page, answer, who, self.key(request), asked.query.get("said"))
            case Redirect(to=to, notice=notice):
                place, _, anchor = to.partition("#")
                said = f"{'&' if '?' in place else '?'}said={notice}" if notice else ""
                raise web.HTTPSeeOther(f"{place}{said}{'#' if anchor else ''}{anchor}")
            case Download():
                return await self._sent(request, answer)

    def page(self, page: Page, who: Visitor | None, key: str = "", notice: str | None = None) -> web.Response:
        """A page, rendered."""
        text = self.templates.render(page.template, page.values, who, form_token(key) if key else "", notice)
        return web.Response(text=text, content_type="text/html", status=page.status)

    async def _sent(self, request: web.Request, file: Download) -> web.StreamResponse:
        how = "inline" if file.inline else "attachment"
        response = web.StreamResponse(headers={"Content-Type": file.mime, **HEADERS,
                                               "Content-Disposition": f'{how}; filename="{file.name}"'})
        await response.prepare(request)
        chunks = iter(file.chunks)
        while (chunk := await asyncio.to_thread(next, chunks, None)) is not None:
            await response.write(chunk)
        await response.write_eof()
        return response

    @web.middleware
    async def guarded(self, request: web.Request, handler: Callable[[web.Request], Any]) -> web.StreamResponse:
        """Headers on everything, a limit on how often, and no trace of an error's inside."""
        if request.path != "/healthz" and self.requests.over(request.remote or ""):
            return web.Response(status=429, text="Too many requests: wait a minute.",
                                headers={**HEADERS, "Retry-After": "60"})
        try:
            response: web.StreamResponse = await handler(request)
        except web.HTTPException as error:
            if error.status == 404:
                response = self.page(Page("refused.html", {"why": "There is no such page."}, 404), None)
            else:
                error.headers.update(HEADERS)
                raise
        except StoreError as error:
            log.warning("a page could not be made: %s", error)
            why = f"The data cannot be read at the moment: {error}."
            response = self.page(Page("refused.html", {"why": why}, 503), None)
        except (ConnectionResetError, asyncio.CancelledError):
            raise
        except Exception:
            log.exception("a page failed")
            why = "Something of ours failed; the log of the program says where."
            response = self.page(Page("refused.html", {"why": why}, 500), None)
        if not response.prepared:
            for name, value in HEADERS.items():
                response.headers.setdefault(name, value)
        return response
