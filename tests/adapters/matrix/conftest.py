"""A homeserver for all stories, a bot for each, and phones for the crew."""

from __future__ import annotations

import asyncio
import itertools
from collections.abc import AsyncIterator, Awaitable, Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from bot.conversation.firm import Role
from tests.adapters.matrix.house import House, house_of, today
from tests.peers.matrix_js.client import JsPhone
from tests.peers.matrix_js.client import required as js_required
from tests.peers.matrix_nio import NioPhone
from tests.peers.phone import Heard, Phone
from tests.peers.synapse import server as synapse
from tests.peers.synapse.server import Account, Synapse

_numbers = itertools.count(1)
PhoneOf = Callable[..., Awaitable[Phone]]


@dataclass
class Talk:
    """Someone's chat with the bot."""

    phone: Phone
    room: str
    account: Account

    async def ask(self, text: str, **how: str) -> Heard:
        """Say something; the next message that comes back."""
        return await self.phone.ask(self.room, text, **how)

    async def last_question(self, text: str) -> Heard:
        """Say something; the next message that has choices."""
        before = len(self.phone.heard)
        await self.phone.say(self.room, text)
        return await self.question(before)

    async def question(self, after: int) -> Heard:
        """The next message that has choices."""
        return await self.phone.wait(lambda each: "\n1. " in each.body and each.edits is None, after=after)

    async def spoken(self, words: str, *, after: int = 0) -> Heard:
        """The first message with these words."""
        return await self.phone.wait(lambda each: words in each.body and each.edits is None, after=after)

    async def closed(self, question: Heard) -> Heard:
        """The new version of a question, its choices gone."""
        return await self.phone.wait(lambda each: each.edits == question.id)

    async def quiet(self, seconds: float = 1.0) -> int:
        """How many things come in so many seconds."""
        before = len(self.phone.heard)
        await asyncio.sleep(seconds)
        return len(self.phone.heard) - before


TalkOf = Callable[..., Awaitable[Talk]]


@pytest.fixture(scope="session")
def knowledge(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The packs, read and checked once."""
    folder = tmp_path_factory.mktemp("knowledge") / "releases"
    today(folder)
    return folder


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
async def house_on(tmp_path: Path, knowledge: Path) -> AsyncIterator[Callable[..., House]]:
    """Firms whose bots do not run yet: `house_on(server)`."""
    made: list[House] = []

    def make(server: Synapse, **how: object) -> House:
        number = next(_numbers)
        made.append(house_of(tmp_path / f"house{number}", server, f"bot{number}", knowledge, **how))
        return made[-1]

    yield make
    for house in made:
        await house.stop()


@pytest.fixture
def house(server: Synapse, house_on: Callable[..., House]) -> House:
    """A firm whose bot does not run yet."""
    return house_on(server)


@pytest.fixture
async def phone(tmp_path: Path) -> AsyncIterator[PhoneOf]:
    """Phones, switched off at the end: `await phone(server, account, "js")`."""
    made: list[Phone] = []

    async def make(on: Synapse, account: Account, kind: str = "js") -> Phone:
        if kind == "js":
            js_required()
        one: Phone = JsPhone() if kind == "js" else NioPhone(tmp_path / f"phone{next(_numbers)}")
        made.append(one)
        await one.start(on.url, account.user, account.password)
        return one

    yield make
    for one in made:
        await one.close()


@pytest.fixture
def talk(server: Synapse, phone: PhoneOf) -> TalkOf:
    """Someone of the crew with an open, encrypted chat; the bot runs already."""
    async def make(house: House, kind: str = "js", *, on: Synapse = server, role: Role = "junior", name: str = "Rui"
                   ) -> Talk:
        account = on.register(f"{name.lower()}{next(_numbers)}")
        house.employ(account.user, role, name)
        one = await phone(on, account, kind)
        room = await one.open(house.account.user)
        await one.met(room, house.account.user)
        return Talk(one, room, account)

    return make


def members(server: Synapse, account: Account, room: str) -> set[str]:
    """Who is in a room, as someone who is in it sees it."""
    found = server.call("GET", f"/_matrix/client/v3/rooms/{room}/joined_members", token=account.token)
    return set(found["joined"])
