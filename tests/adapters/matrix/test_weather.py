"""Bad weather: servers and bots that are killed, dead lines, limits, long absences. Nothing is lost or doubled."""

from __future__ import annotations

import asyncio
import random
from collections.abc import AsyncIterator, Callable

import pytest

from bot.conversation.firm import Firm, Person
from bot.conversation.release import Release
from bot.simulation.chat import Chat, Said
from tests.adapters.matrix.conftest import Talk, TalkOf
from tests.adapters.matrix.house import House
from tests.adapters.matrix.test_door import create, rooms_of, say
from tests.adapters.matrix.test_talk import until
from tests.peers.frail_line import FrailLine, Spoilt
from tests.peers.synapse.server import Synapse

COMPLAINT = "top loader belt drive, washes and drains ok but wont spin"
ANSWERS = ("2", "skip")


@pytest.fixture
async def line(server: Synapse) -> AsyncIterator[FrailLine]:
    """The bot's line to the homeserver; the crew have lines of their own."""
    frail = FrailLine(server.url)
    await frail.open()
    yield frail
    await frail.close()


def mirror_of(release: Release) -> Chat:
    """The same talk without any network."""
    return Chat(release, Person("rui", "Rui"), Firm(name="Hazel Lane Appliance Repair"))


def bodies(said: list[Said]) -> list[str]:
    """What the core's messages look like on a phone."""
    return ["\n".join([*each.paragraphs, *(f"{n}. {choice}" for n, choice in enumerate(each.choices, 1))])
            for each in said]


async def all_of(rui: Talk, expected: list[str], seconds: float = 25.0) -> None:
    """Exactly these messages come, in this order, each once."""
    async with asyncio.timeout(seconds):
        while len(rui.phone.words()) < len(expected):
            await asyncio.sleep(0.05)
    await asyncio.sleep(0.5)  # for what would be too much
    assert rui.phone.words() == expected


async def test_the_server_is_killed_in_mid_visit(frail_server: Synapse, house_on: Callable[..., House], talk: TalkOf,
                                                 release: Release):
    """Killed right behind a message, and again while answers are under way: each answer comes, once."""
    house = house_on(frail_server)
    await house.start()
    rui = await talk(house, on=frail_server)
    mirror = mirror_of(release)
    expected = bodies(mirror.send(COMPLAINT))
    await rui.phone.say(rui.room, COMPLAINT)
    frail_server.kill()
    await asyncio.sleep(1.0)
    frail_server.start()
    await all_of(rui, expected)
    for pause, text in ((0.0, ANSWERS[0]), (0.15, ANSWERS[1])):
        expected += bodies(mirror.send(text))
        await rui.phone.say(rui.room, text)
        await asyncio.sleep(pause)
        frail_server.kill()
        frail_server.start()
        await all_of(rui, expected)


async def test_the_bot_is_killed_again_and_again(house: House, talk: TalkOf, release: Release):
    """Killed at any moment after a message was sent and started again: every answer comes, once, in its order."""
    await house.start_child()
    rui = await talk(house)
    mirror, expected, chance = mirror_of(release), [], random.Random(5)
    for text in (COMPLAINT, *ANSWERS):
        expected += bodies(mirror.send(text))
        await rui.phone.say(rui.room, text)
        await asyncio.sleep(chance.uniform(0.0, 0.6))
        house.kill()
        await house.start_child()
        await all_of(rui, expected)
    inbox = house.rows("SELECT count(*), count(DISTINCT id) FROM inbox WHERE kind = 'typed'")
    assert inbox == [(3, 3)]


async def test_the_line_goes_bad_for_a_while(house: House, talk: TalkOf, line: FrailLine):
    """A long poll that is never answered, connections that break, 429, a proxy's error page: shown on the health page,
    not hammered at, and over as soon as the line is good again.
    """
    house.homeserver = line.url
    await house.start()
    rui = await talk(house)
    await rui.ask("hi")
    adapter = house.adapter
    assert adapter is not None
    ways: tuple[Spoilt, ...] = ("dead", "cut", "limited", "rubbish")
    for how in ways:
        line.spoil(how)
        before, heard = len(line.seen), len(rui.phone.heard)
        await rui.phone.say(rui.room, "thanks")
        await until(lambda: adapter.health().details["problem"] is not None)
        await asyncio.sleep(1.0)
        assert len(line.seen) - before < 20
        line.mend()
        assert (await rui.phone.answer(after=heard)).body == "Any time."
        await until(lambda: adapter.health().details["problem"] is None)
        assert adapter.health().alive


async def test_answers_wait_while_sending_is_limited(house: House, talk: TalkOf, line: FrailLine):
    """429 on sending alone, then a sending that dies: the answers come when they may, once, in order."""
    house.homeserver = line.url
    await house.start()
    rui = await talk(house)
    line.spoil("limited", "/send/")
    await rui.phone.say(rui.room, "hi")
    await asyncio.sleep(1.0)
    assert rui.phone.words() == []
    line.spoil("cut", "/send/")
    await rui.phone.say(rui.room, "thanks")
    await asyncio.sleep(1.0)
    line.mend()
    async with asyncio.timeout(20):
        while len(rui.phone.words()) < 2:
            await asyncio.sleep(0.05)
    assert await rui.quiet() == 0
    assert rui.phone.words() == ["Which machine is it, and what does it do or not do?", "Any time."]


async def test_a_key_that_could_not_be_handed_out_is_handed_out_before_the_message(house: House, talk: TalkOf,
                                                                                  line: FrailLine):
    """The server takes the message and not its key: then the message waits, so that it can be read when it comes."""
    house.homeserver = line.url
    await house.start()
    rui = await talk(house)
    line.spoil("rubbish", "/sendToDevice/m.room.encrypted")
    await rui.phone.say(rui.room, "hi")
    await asyncio.sleep(1.5)
    assert rui.phone.words() == []
    line.mend()
    assert "Which machine" in (await rui.phone.answer(after=0)).body
    assert not any(each.failed for each in rui.phone.heard)
    assert await rui.quiet() == 0


async def test_a_long_absence_is_filled_from_history(server: Synapse, house: House, talk: TalkOf):
    """While the bot was away more was said than a sync holds, in clear and encrypted: all of it is there, in order."""
    await house.start()
    rui = await talk(house)
    await rui.ask("hi")
    dana = server.register("danaaway")
    house.employ(dana.user, name="Dana")
    room = create(server, dana, house.account.user)
    await until(lambda: room in rooms_of(server, house.account))
    await house.stop()
    told = [f"note {number}" for number in range(130)]
    for text in told:
        await asyncio.to_thread(say, server, dana, room, text)
    locked = [f"line {number}" for number in range(60)]
    for text in locked:
        await rui.phone.say(rui.room, text)
    await house.start()

    def kept(name: str) -> list[str]:
        return [plain for (plain,) in house.rows(
            f"SELECT plain FROM messages m JOIN persons p ON p.id = m.person WHERE direction = 'in' AND name = '{name}'"
            " AND plain NOT IN ('hi') ORDER BY seq")]

    await until(lambda: len(kept("Dana")) >= 130 and len(kept("Rui")) >= 60, seconds=30)
    assert kept("Dana") == told
    assert kept("Rui") == locked


async def test_a_room_that_cannot_be_joined_holds_nobody_up(house: House, talk: TalkOf, server: Synapse,
                                                            line: FrailLine):
    """The join of one room gets no answer: everybody else is answered, and it is tried again."""
    house.homeserver = line.url
    await house.start()
    rui = await talk(house)
    dana = server.register("danajoins")
    house.employ(dana.user, name="Dana")
    line.spoil("rubbish", "/join/")
    room = create(server, dana, house.account.user)
    await until(lambda: line.count("/join/") > 1)
    assert "Which machine" in (await rui.ask("hi")).body
    line.mend()
    await until(lambda: room in rooms_of(server, house.account))
