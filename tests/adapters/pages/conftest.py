"""The pages on a told folder: as a server in a thread, and Chromium before it."""

from __future__ import annotations

import asyncio
import shutil
import threading
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from adapters.pages.app import pages_app
from adapters.pages.house import House
from adapters.shared.web import Site
from adapters.terminal.seats import FIRM
from bot.review.access import new_login
from tests.peers.needed import missing
from tests.review.folder import Told, tell

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page


@dataclass(frozen=True)
class Served:
    """Pages that are being served."""

    base: str
    house: House
    told: Told

    def link(self, name: str | None = None) -> str:
        """A one-time link for someone of the crew, or for whoever opened the folder."""
        people = {person.name: person.id for person in self.house.store.crew().values()}
        key = new_login(self.house.store, people[name] if name is not None else None, self.house.clock())
        return f"{self.base}/login?key={key}"


@pytest.fixture(scope="session")
def told_pages(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Told]:
    """A folder that is copied for each test."""
    folder = tmp_path_factory.mktemp("pages")
    return folder, tell(folder)


@pytest.fixture
def served(told_pages: tuple[Path, Told], tmp_path: Path) -> Iterator[Served]:
    """The pages on a copy of the folder, at a free port."""
    folder = tmp_path / "data"
    shutil.copytree(told_pages[0], folder)
    house = House(folder, FIRM)
    loop = asyncio.new_event_loop()
    thread = threading.Thread(target=loop.run_forever, daemon=True)
    thread.start()
    site = Site(pages_app(house), "127.0.0.1", 0)
    port = asyncio.run_coroutine_threadsafe(site.open(), loop).result(30)
    yield Served(f"http://127.0.0.1:{port}", house, told_pages[1])
    asyncio.run_coroutine_threadsafe(site.close(), loop).result(30)
    loop.call_soon_threadsafe(loop.stop)
    thread.join(10)
    house.close()


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    """A headless Chromium. For one module: while it is open a loop runs in this thread, and others want theirs."""
    try:
        from playwright.sync_api import sync_playwright  # noqa: PLC0415
    except ImportError:
        missing("playwright", "pip install '.[test]'")
    program = shutil.which("chromium") or shutil.which("chromium-browser")
    if program is None:
        missing("chromium", "apt-get install chromium")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=["--no-sandbox"])
        yield browser
        browser.close()


@pytest.fixture
def page(chromium: Browser, served: Served) -> Iterator[Page]:
    """A page of the owner's, logged in; it fails at any error of the browser's, and at any request elsewhere."""
    context = chromium.new_context(accept_downloads=True)
    page = context.new_page()
    wrong: list[str] = []
    page.on("dialog", lambda dialog: (wrong.append(f"dialog: {dialog.message}"), dialog.dismiss()))
    page.on("pageerror", lambda error: wrong.append(f"script: {error}"))
    page.on("console", lambda said: wrong.append(f"console: {said.text}") if said.type == "error" else None)
    page.on("request", lambda sent: None if sent.url.startswith(served.base) else wrong.append(f"asks {sent.url}"))
    page.goto(served.link())
    page.get_by_role("button", name="Open the pages").click()
    yield page
    context.close()
    assert wrong == []
