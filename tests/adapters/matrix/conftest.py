"""A homeserver for all stories, a bot for each, and phones for the crew."""

from __future__ import annotations

import itertools
from collections.abc import AsyncIterator, Awaitable, Callable, Iterator
from pathlib import Path

import pytest

from tests.adapters.matrix.house import House, house_of
from tests.peers.matrix_js.client import JsPhone
from tests.peers.matrix_js.client import required as js_required
from tests.peers.matrix_nio import NioPhone
from tests.peers.phone import Phone
from tests.peers.synapse import server as synapse
from tests.peers.synapse.server import Synapse

_numbers = itertools.count(1)
PhoneOf = Callable[..., Awaitable[Phone]]


@pytest.fixture(scope="session")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Synapse]:
    """A homeserver that stays up."""
    synapse.required()
    running = Synapse(tmp_path_factory.mktemp("synapse"))
    running.start()
    yield running
    running.stop()


@pytest.fixture
def frail_server(tmp_path: Path) -> Iterator[Synapse]:
    """A homeserver that the story may kill."""
    synapse.required()
    folder = tmp_path / "synapse"
    folder.mkdir()
    running = Synapse(folder)
    running.start()
    yield running
    running.stop()


@pytest.fixture
async def house(server: Synapse, tmp_path: Path) -> AsyncIterator[House]:
    """A firm whose bot does not run yet."""
    made = house_of(tmp_path / "house", server, f"bot{next(_numbers)}")
    yield made
    await made.stop()


@pytest.fixture
async def phone(server: Synapse, tmp_path: Path) -> AsyncIterator[PhoneOf]:
    """Phones, switched off at the end: `await phone("js")` is of someone new, `account=` logs in once more."""
    made: list[Phone] = []

    async def make(kind: str = "js", *, account: object = None, on: Synapse = server) -> Phone:
        number = next(_numbers)
        found = account if account is not None else on.register(f"rui{number}")
        if kind == "js":
            js_required()
        one: Phone = JsPhone() if kind == "js" else NioPhone(tmp_path / f"phone{number}")
        made.append(one)
        await one.start(on.url, found.user, found.password)
        one.account = found
        return one

    yield make
    for one in made:
        await one.close()
