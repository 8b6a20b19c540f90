"""A case goes to a senior on another platform, whole: the junior on Telegram, the senior in an encrypted room.

One process of `chargehand serve` has both adapters, the homeserver is a real one; the process is killed in mid-relay.
"""

from __future__ import annotations

import asyncio
import io
from collections.abc import AsyncIterator, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from PIL import Image

from bot.conversation.effects import Audit
from bot.conversation.firm import Person
from bot.conversation.job import Handing, Phase
from bot.service.clock import utc_now
from bot.service.people import sign_off
from bot.store.sqlite import SqliteStore
from tests.adapters.matrix.house import House
from tests.adapters.telegram.stage import RUI, picture
from tests.peers.botapi.phone import Phone as TelegramPhone
from tests.peers.botapi.server import TOKEN, BotApiServer
from tests.peers.botapi.world import Message
from tests.peers.matrix_nio import NioPhone
from tests.peers.phone import Heard
from tests.peers.synapse import server as synapse
from tests.peers.synapse.server import Synapse
from tests.service.small import prepared

PATIENCE = 60.0
"""Seconds that anything may take on a machine that does other things, too; it usually takes less than one."""
NOTES = [f"note {number}: the drum turns by hand" for number in range(1, 13)]
WORDS = [f"word {number}: look along the duct" for number in range(1, 13)]


@dataclass
class Firm(House):
    """A firm whose bot is on both platforms."""

    telegram: str = ""

    def settings(self) -> dict[str, object]:
        """The settings file's content."""
        return {**super().settings(), "telegram": {"base_url": self.telegram}}

    def employ_on_telegram(self, user: int, name: str) -> None:
        """A junior who is signed off for live tests."""
        store = SqliteStore(self.data)
        try:
            store.add_person(Person(f"p{user}", name), utc_now(), Audit(what="joined"))
            store.enrol(f"p{user}", "telegram", TOKEN.partition(":")[0], str(user), utc_now())
            sign_off(store, f"p{user}", "live", utc_now())
        finally:
            store.close()


    async def at_rest(self) -> None:
        """Wait until all that came in was worked on, and all that went out is noted as delivered.

        A person takes longer to answer what they see than the bot to note under which id it stands there.
        """
        async with asyncio.timeout(PATIENCE):
            while self.rows("SELECT 1 FROM inbox WHERE state = 'waiting' UNION ALL"
                            " SELECT 1 FROM outbox WHERE state = 'waiting'"):
                await asyncio.sleep(0.1)


class Marta(NioPhone):
    """The senior's phone, in her room with the bot."""

    room = ""

    async def writes(self, text: str, reply_to: str | None = None) -> str:
        """A message of hers; its event."""
        return await self.say(self.room, text, reply_to=reply_to)

    async def hears(self, words: str) -> Heard:
        """The first message with these words."""
        return await self.wait(lambda each: words in each.body and each.edits is None, patience=PATIENCE)

    async def shown(self, after: int) -> bytes:
        """The next picture, decrypted."""
        image = await self.wait(lambda each: each.content.get("msgtype") == "m.image", after=after, patience=PATIENCE)
        return await self.fetch(image.content)

    def answers(self, heard: Heard) -> str | None:
        """The event that a message is shown as a reply to."""
        found: str | None = heard.content.get("m.relates_to", {}).get("m.in_reply_to", {}).get("event_id")
        return found


class Rui(TelegramPhone):
    """The junior's phone."""

    async def sees(self, words: str) -> Message:
        """A message of the bot's with these words."""
        return await self.reads(words, PATIENCE)

    async def asked(self, after: int = 0) -> Message:
        """The one question that has buttons, behind the first `after` messages."""
        await self.until(lambda: any(message.labels for message in self.screen[after:]), PATIENCE)
        return next(message for message in reversed(self.screen) if message.labels)


@pytest.fixture
def homeserver(tmp_path: Path) -> Iterator[Synapse]:
    """A homeserver."""
    synapse.required()
    (tmp_path / "synapse").mkdir()
    running = Synapse(tmp_path / "synapse")
    running.start()
    yield running
    running.stop()


@pytest.fixture
async def firm(tmp_path: Path, homeserver: Synapse, telegram: BotApiServer, monkeypatch: pytest.MonkeyPatch
               ) -> AsyncIterator[Firm]:
    """The firm with its bot running."""
    monkeypatch.setenv("CHARGEHAND_TELEGRAM_TOKEN", TOKEN)
    made = Firm(tmp_path, homeserver.register("leadhand"), homeserver.url, prepared(), telegram=telegram.url)
    await made.start_child(PATIENCE)
    yield made
    await made.stop()


@pytest.fixture
async def rui(firm: Firm, telegram: BotApiServer) -> Rui:
    """The junior."""
    firm.employ_on_telegram(RUI, "Rui")
    return Rui(telegram, RUI, "Rui")


@pytest.fixture
async def marta(tmp_path: Path, firm: Firm, homeserver: Synapse) -> AsyncIterator[Marta]:
    """The senior, in an encrypted room with the bot, which has answered her."""
    account = homeserver.register("marta")
    firm.employ(account.user, "senior", "Marta")
    phone = Marta(tmp_path / "marta")
    await phone.start(homeserver.url, account.user, account.password)
    phone.room = await phone.open(firm.account.user)
    await phone.met(phone.room, firm.account.user)
    await phone.writes("good morning")
    await phone.answer(after=0, patience=PATIENCE)
    yield phone
    await phone.close()


async def test_a_case_across_platforms_with_a_power_cut_in_the_middle(firm: Firm, rui: Rui, marta: Marta) -> None:
    """Brought, taken, relayed both ways through a power cut, checks asked for, the fault named, and taken up."""
    await brought(rui, marta)
    await relayed(firm, rui, marta)
    await cut(firm, rui, marta)
    await checks_asked_for(firm, rui, marta)
    await the_fault_named(firm, rui, marta)
    await firm.at_rest()
    nothing_lost_nothing_twice(firm, rui, marta)


async def brought(rui: Rui, marta: Marta) -> None:
    """The complaint and a photo; then a senior is asked for. She has it all, and takes it."""
    plate = picture("5400 W 240 V")
    await rui.say("electric dryer runs but no heat")
    await rui.asked()
    await rui.photo(plate)
    await rui.sees("kept")
    before = len(marta.heard)
    await rui.say("senior")
    offer = await marta.hears("A junior needs you")
    for part in ("Rui", "dryer", "Signed off for live tests", "no heat", '"electric dryer runs but no heat"', "I lean",
                 "One question", "1. "):
        assert part in offer.body
    assert await marta.shown(before) == plate
    await rui.sees("Put to Marta")
    await marta.writes("1")
    await rui.sees("Marta has it")
    await marta.hears("It's yours")


async def relayed(firm: Firm, rui: Rui, marta: Marta) -> None:
    """Words, a photo, an edit and a reply, each way; a reply stands under what it answers on the other side, too."""
    hers = await marta.writes("how long is the duct")
    there = await rui.sees("Marta: how long is the duct")
    await firm.at_rest()
    his = await rui.say("four metres and flat behind the machine", reply_to=there)
    here = await marta.hears("Rui: four metres")
    assert marta.answers(here) == hers
    await firm.at_rest()
    await marta.writes("how flat", reply_to=here.id)
    assert (await rui.sees("Marta: how flat")).reply_to == his.number

    before, duct = len(marta.heard), picture("the duct")
    await rui.photo(duct, "flat as this")
    assert await marta.shown(before) == duct
    await marta.hears("flat as this")
    sketch = picture("how it should run")
    await marta.photo(marta.room, sketch, "image/jpeg", "like this")
    assert (await rui.sees("like this")).contents == sketch

    await rui.edit(his, "fourteen metres and flat behind the machine")
    assert marta.answers(await marta.hears("Rui (changed): fourteen metres")) == here.id
    await marta.edit(marta.room, hers, "how long is the duct in all")
    assert (await rui.sees("Marta (changed): how long is the duct in all")).reply_to == there.number


async def cut(firm: Firm, rui: Rui, marta: Marta) -> None:
    """Both write on while the bot is killed in the middle of it, and started again: all of it arrives, in order."""
    async def write(some: slice) -> None:
        for note, word in zip(NOTES[some], WORDS[some], strict=True):
            await rui.say(note)
            await marta.writes(word)

    writing = asyncio.create_task(write(slice(0, 8)))
    await rui.sees(WORDS[1])
    await marta.hears(NOTES[1])
    firm.kill()
    assert firm.child is not None
    await firm.child.wait()
    arrived = sum(line.startswith("Marta: word") for line in rui.lines)
    arrived += sum("the drum turns" in each.body for each in marta.heard)
    await writing
    await write(slice(8, 12))
    assert arrived < 16, "it was in the middle"
    await firm.start_child(PATIENCE)
    await rui.sees(WORDS[-1])
    await marta.hears(NOTES[-1])


async def checks_asked_for(firm: Firm, rui: Rui, marta: Marta) -> None:
    """The junior gets each as a proper question; the answer goes to the senior with how belief stands now. At the third
    reading the case comes with a picture of them."""
    for check, answer in (("heating element", "10.9 ohm"), ("thermal fuse", "0.4 ohm"),
                          ("high limit and heater cut-off", "")):
        before, heard = len(rui.screen), len(marta.heard)
        await marta.writes(f"ask {check}")
        question = await rui.asked(before)
        await marta.wait(lambda each: "The answer comes here" in each.body, after=heard, patience=PATIENCE)
        if answer:
            await rui.say(answer)
        else:
            await rui.press(next(label for label in question.labels if "pen" in label), on=question)
        assert "Now:" in (await marta.hears(f"{check}:")).body
        await firm.at_rest()
    assert [firm.result(f"{check}_ohms") for check in ("element", "thermal_fuse", "high_limit")] == [
        "good", "closed", "open"]
    before = len(marta.heard)
    await marta.writes("where")
    drawing = Image.open(io.BytesIO(await marta.shown(before)), formats=["PNG"])
    assert drawing.size[0] == 900 and drawing.size[1] > 500


async def the_fault_named(firm: Firm, rui: Rui, marta: Marta) -> None:
    """Her finding is kept, and the bot takes the visit up with its repair; what Rui does now is the bot's to answer."""
    before = len(rui.screen)
    await marta.writes("found open high limit or heater cut-off")
    await rui.sees("Marta says")
    await marta.hears("Kept as your finding")
    question = await rui.asked(before)
    seen = len(rui.screen)
    await rui.press(question.labels[0], on=question)
    await rui.until(lambda: len(rui.screen) > seen, PATIENCE)
    await firm.at_rest()
    press = "SELECT id FROM inbox WHERE kind = 'pressed' ORDER BY seq DESC LIMIT 1"
    assert firm.rows(f"SELECT DISTINCT person FROM messages WHERE direction = 'out' AND event = ({press})") == [
        (f"p{RUI}",)], "the senior is left in peace"
    job = firm.job()
    assert job.handoff is not None and job.handoff.state is Handing.GIVEN_BACK and job.handed_to is None
    assert job.phase in {Phase.CONSENT, Phase.REPAIR, Phase.FINDING}


def nothing_lost_nothing_twice(firm: Firm, rui: Rui, marta: Marta) -> None:
    """Each message once and in order on Matrix; on Telegram one may have come a second time; in the store each once."""
    messages = [each for each in marta.heard if each.type == "m.room.message" and each.edits is None]
    assert all(each.encrypted for each in messages)
    relayed_to_her = [each.body for each in messages if "the drum turns" in each.body and each.body.startswith("Rui: ")]
    assert relayed_to_her == [f"Rui: {note}" for note in NOTES]  # the case quotes the last of them once more
    said = [each.body for each in messages if each.content["msgtype"] == "m.text"]
    assert len(said) == len(set(said))
    seen = [line for line in rui.lines if line.startswith("Marta: word")]
    assert list(dict.fromkeys(seen)) == [f"Marta: {word}" for word in WORDS]
    again = [line for number, line in enumerate(rui.lines) if line in rui.lines[:number] and line.startswith("Marta")]
    assert len(again) <= 1
    assert firm.rows("SELECT count(*) FROM inbox WHERE state <> 'handled'") == [(0,)]
    assert firm.rows("SELECT count(*) FROM outbox WHERE state <> 'delivered'") == [(0,)]
    relayed = firm.rows("SELECT plain, count(*) FROM messages WHERE direction = 'out' AND (plain LIKE 'Rui: note%'"
                        " OR plain LIKE 'Marta: word%') GROUP BY plain")
    assert sorted(relayed) == sorted([*((f"Rui: {note}", 1) for note in NOTES), *((f"Marta: {w}", 1) for w in WORDS)])
    assert "Traceback" not in (firm.folder / "output").read_text()
    assert firm.rows("SELECT count(*) FROM records WHERE what = 'verdict'") == [(1,)]
    assert [fact.value for fact in firm.job().standing("result") if fact.subject == "high_limit_ohms"] == ["open"]
