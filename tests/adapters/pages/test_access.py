"""Who gets in, and what a form needs: asked as a browser asks, by aiohttp's own client."""

from __future__ import annotations

from collections.abc import AsyncIterator
from pathlib import Path

import pytest
from aiohttp import ClientSession
from aiohttp.test_utils import TestClient, TestServer

from adapters.pages.app import pages_app
from adapters.pages.house import House
from adapters.pages.web import LOGINS
from adapters.terminal.seats import FIRM
from bot.review.access import form_token, new_login
from tests.review.folder import Told

OWNERS = ("/today", "/figures", "/unheard", "/unheard/wording", "/learned", "/keeping", "/keeping/customers/5a")


@pytest.fixture
async def at(told_pages: tuple[Path, Told], tmp_path: Path) -> AsyncIterator[tuple[TestClient, House, Told]]:  # type: ignore[type-arg]
    """A client that keeps cookies, the house, and what was told in it."""
    import shutil  # noqa: PLC0415

    folder = tmp_path / "data"
    shutil.copytree(told_pages[0], folder)
    house = House(folder, FIRM)
    async with TestClient(TestServer(pages_app(house))) as client:
        yield client, house, told_pages[1]
    house.close()


async def log_in(client: TestClient, house: House, name: str | None = None) -> str:  # type: ignore[type-arg]
    """Log in; the session's form token."""
    people = {person.name: person.id for person in house.store.crew().values()}
    key = new_login(house.store, people[name] if name is not None else None, house.clock())
    answer = await client.post("/login", data={"key": key}, allow_redirects=False)
    assert answer.status == 303
    return form_token(answer.cookies["chargehand"].value)


async def test_nothing_is_seen_without_a_login(at) -> None:  # type: ignore[no-untyped-def]
    """Every page leads to the login, every form is refused; the health page and the style are open to all."""
    client, _, told = at
    for address in ("/", f"/visits/{told.belt}", f"/photos/{told.photo}", *OWNERS, "/?q=belt"):
        answer = await client.get(address, allow_redirects=False)
        assert (answer.status, answer.headers["Location"]) == (303, "/login"), address
    for address in (f"/visits/{told.belt}/mark", "/keeping/export", "/unheard/add", "/keeping/customers/5a/erase",
                    "/learned/apply", "/learned/undo", "/unheard/retire"):
        assert (await client.post(address, data={"token": "x"})).status == 403, address
    assert (await client.get("/healthz")).status == 200
    assert (await client.get("/static/pages.css")).status == 200
    assert (await client.get("/static/../app.py")).status == 404


async def test_a_link_is_good_once_and_looking_does_not_use_it_up(at) -> None:  # type: ignore[no-untyped-def]
    """A chat app that looks at the link leaves it good; the button uses it up; the cookie is out of scripts' reach."""
    client, house, _ = at
    key = new_login(house.store, None, house.clock())
    for _ in range(3):
        assert "Open the pages" in await (await client.get(f"/login?key={key}")).text()
    answer = await client.post("/login", data={"key": key}, allow_redirects=False)
    cookie = answer.cookies["chargehand"]
    assert cookie["httponly"] and cookie["samesite"] == "Lax"
    async with ClientSession() as stranger:
        again = await stranger.post(client.make_url("/login"), data={"key": key})
        assert again.status == 403 and not again.cookies


async def test_a_form_of_another_site_does_nothing(at) -> None:  # type: ignore[no-untyped-def]
    """Without the session's token, with another's, or sent from elsewhere."""
    client, house, told = at
    token = await log_in(client, house)
    address, mark = f"/visits/{told.belt}/mark", {"message": "", "mark": "good"}
    for form in (mark, {**mark, "token": ""}, {**mark, "token": form_token("another")}):
        assert (await client.post(address, data=form)).status == 403
    elsewhere = await client.post(address, data={**mark, "token": token}, headers={"Sec-Fetch-Site": "cross-site"})
    assert elsewhere.status == 403 and not house.store.marks(told.belt)
    assert (await client.post(address, data={**mark, "token": token})).status == 200
    assert [each.mark for each in house.store.marks(told.belt)] == ["good"]


async def test_a_senior_sees_what_is_theirs(at) -> None:  # type: ignore[no-untyped-def]
    """The visits that they had in hand, found and searched; no others, no figures, no photos of others' visits."""
    client, house, told = at
    token = await log_in(client, house, "Marta")
    text = await (await client.get("/")).text()
    assert told.senior in text and told.belt not in text
    assert told.belt not in await (await client.get("/?q=belt")).text()
    assert (await client.get(f"/visits/{told.senior}")).status == 200
    assert (await client.get(f"/visits/{told.belt}")).status == 404
    assert (await client.get(f"/photos/{told.photo}")).status == 404
    for address in OWNERS:
        assert (await client.get(address)).status == 403, address
    refused = await client.post(f"/visits/{told.belt}/note", data={"token": token, "note": "mine"})
    assert refused.status == 404 and not house.store.notes(told.belt)
    assert (await client.post("/keeping/export", data={"token": token, "format": "csv"})).status == 403


async def test_who_leaves_the_crew_is_out(at) -> None:  # type: ignore[no-untyped-def]
    """With the next request."""
    client, house, _ = at
    await log_in(client, house, "Marta")
    house.store._write(lambda conn: conn.execute("UPDATE persons SET removed = '2031' WHERE name = 'Marta'"))
    assert (await client.get("/", allow_redirects=False)).headers["Location"] == "/login"


async def test_every_answer_has_its_guards(at) -> None:  # type: ignore[no-untyped-def]
    """No scripts, no frames, no types made up by the browser, nothing kept by caches; photos come as what they are."""
    client, house, told = at
    await log_in(client, house)
    for address in ("/", f"/visits/{told.belt}", f"/photos/{told.photo}", "/login", "/nothing", "/static/pages.css"):
        answer = await client.get(address)
        policy = answer.headers["Content-Security-Policy"]
        assert "default-src 'none'" in policy and "script" not in policy and "unsafe" not in policy, address
        assert answer.headers["X-Content-Type-Options"] == "nosniff"
    photo = await client.get(f"/photos/{told.photo}")
    assert photo.headers["Content-Type"] == "image/jpeg" and (await photo.read())[:2] == b"\xff\xd8"


async def test_trying_keys_is_slowed(at) -> None:  # type: ignore[no-untyped-def]
    """After ten tries within a minute even a good key has to wait."""
    client, house, _ = at
    for _ in range(LOGINS):
        assert (await client.post("/login", data={"key": "guess"})).status == 403
    key = new_login(house.store, None, house.clock())
    assert (await client.post("/login", data={"key": key})).status == 429


@pytest.mark.parametrize("address", [
    "/?before=nonsense", "/?q=belt&before=-1", "/?since=9999-12-31&until=9999-12-31", "/?since=0001-01-01",
    "/?jobs=,,,",
    "/?q=" + "a%00%22" * 50, "/?mark=none", "/visits/0", "/visits/%3Cscript%3E", "/photos/" + "0" * 64,
    "/unheard/wording?family=none&phrase=x", "/keeping/customers/0", "/figures?since=x&family=none",
    "/?q=%F0%9F%94%A7"])
async def test_odd_addresses_are_answered(at, address: str) -> None:  # type: ignore[no-untyped-def]
    """With a page, or with a word that there is none; never with an error of ours."""
    client, house, _ = at
    await log_in(client, house)
    assert (await client.get(address)).status in {200, 404}


