"""Long polling: what Telegram may forget, and what comes after a restart, an outage, a crash."""

from __future__ import annotations

import asyncio
import sqlite3

import aiohttp
import pytest

from adapters.shared.adapter import AdapterStoppedError
from bot.store.sqlite import FILE
from tests.adapters.telegram.stage import DANA, RUI, Stage, picture
from tests.peers.botapi.phone import Phone

REFUSING = "CREATE TRIGGER refuse BEFORE INSERT ON {} BEGIN SELECT RAISE(ABORT, 'refused'); END"


@pytest.mark.parametrize("table", ["inbox", "arrivals"])
async def test_telegram_forgets_only_what_is_on_disk(stage: Stage, rui: Phone, table: str) -> None:
    """While the store refuses, the update is asked for again and again; then it is handled once."""
    await rui.say("before")
    await rui.reads("1: before")
    db = sqlite3.connect(stage.folder / FILE, isolation_level=None)
    db.execute(REFUSING.format(table))
    if table == "inbox":
        await rui.say("kept")
    else:
        await rui.photo(picture())
    update = stage.server.world.updates[-1]["update_id"]
    polls = stage.server.polls
    await rui.until(lambda: stage.server.polls >= polls + 3)
    assert stage.server.acknowledged < update
    assert stage.bot is not None and stage.bot.adapter.health().details["problem"]
    db.execute("DROP TRIGGER refuse")
    db.close()
    await rui.reads("2: kept" if table == "inbox" else "2: photo 1")
    await rui.until(lambda: stage.server.acknowledged >= update)
    assert len(rui.lines) == 2


async def test_a_restart_handles_what_came_meanwhile_once(stage: Stage, rui: Phone) -> None:
    """Messages and a press on an old keyboard, sent while the bot was away, are answered in order."""
    await rui.say("ask")
    await rui.reads("1: ask")
    assert stage.bot is not None
    await stage.bot.stop()
    await rui.press("Yes")
    await rui.say("m2")
    await rui.say("m3")
    await stage.begin()
    await rui.reads("4: m3")
    assert rui.lines == ["1: ask\n\n→ 1", "2: pressed 1", "3: m2", "4: m3"]


async def test_an_old_keyboard_still_makes_sense(stage: Stage, rui: Phone) -> None:
    """A phone that still shows buttons of a closed question: the press reaches the core as of that question."""
    await rui.say("ask")
    question = await rui.reads("1: ask")
    buttons = question.buttons
    await rui.press("Yes")
    await rui.until(lambda: not question.labels)
    await stage.restart()
    question.buttons = buttons
    query = await rui.press("No", on=question)
    await rui.reads("3: pressed 2")
    await rui.until(lambda: query in stage.server.world.toasts)
    await rui.until(lambda: not question.labels or len(rui.lines) == 3)


async def test_buttons_of_nobodys_get_a_word(stage: Stage, rui: Phone) -> None:
    """Data that was never ours is answered, and nothing else."""
    await rui.say("ask")
    question = await rui.reads("1: ask")
    query = await rui.press_data("something else", question)
    await rui.until(lambda: query in stage.server.world.toasts)
    assert stage.server.world.toasts[query] == "That button no longer does anything."


async def test_an_answer_that_came_too_late_for_the_button_does_no_harm(stage: Stage, rui: Phone) -> None:
    """Telegram no longer takes the answer to a press; the press counts all the same."""
    stage.server.world.stale_after = -1.0
    await rui.say("ask")
    await rui.reads("1: ask")
    await rui.press("Yes")
    await rui.reads("2: pressed 1")


async def test_a_photo_that_was_being_fetched_is_fetched_after_a_crash(stage: Stage, rui: Phone) -> None:
    """Telegram was told already; photo and the message behind it are on disk, and come in order after the restart."""
    stage.server.faults.plan("file", "hang", times=2)
    await rui.photo(picture(), caption="the plate")
    await rui.say("m1")
    await rui.until(lambda: stage.server.faults.count["hang"] == 1
                    and stage.server.acknowledged >= stage.server.world.updates[-1]["update_id"]
                    if stage.server.world.updates else stage.server.faults.count["hang"] == 1)
    assert stage.bot is not None
    await stage.bot.die()
    await stage.begin()
    await rui.reads("2: m1")
    assert rui.lines == ["1: photo 1", "2: m1"]
    assert stage.bot.store.arrivals("telegram", stage.bot.adapter.account) == ()


async def test_a_photo_that_cannot_be_had_is_said_to_be_missing(stage: Stage, rui: Phone) -> None:
    """Telegram no longer has it: the event goes on without, so that the tech hears of it."""
    await rui.photo(picture())
    stage.server.world.files.clear()
    await rui.reads("1: photo 1")


async def test_updates_that_cannot_be_read_hold_up_nobody(stage: Stage, rui: Phone) -> None:
    """One in a form that this version cannot read is counted and left out; those around it are handled."""
    await rui.say("m0")
    await stage.server.world.update(message={"message_id": 7, "text": "no date"})
    await stage.server.world.update(message={"message_id": 7, "date": 1, "text": "no chat", "from": {
        "id": 1, "is_bot": False, "first_name": "X"}})
    await stage.server.world.update(callback_query={"id": "1"})
    await rui.say("m1")
    await rui.reads("2: m1")
    assert stage.bot is not None and stage.bot.adapter.health().details["unreadable"] == 3


async def test_an_outage_ends_by_itself(stage: Stage, rui: Phone) -> None:
    """Telegram is gone and comes back: what was written meanwhile is answered."""
    await rui.say("m0")
    await rui.reads("1: m0")
    await stage.server.stop()
    await asyncio.sleep(0.3)
    await rui.say("m1")
    await stage.server.start()
    await rui.reads("2: m1")


@pytest.mark.parametrize("kind", ["hang", "torn", "gateway", "flood", "lost"])
async def test_a_poll_that_fails_is_made_again(stage: Stage, rui: Phone, kind: str) -> None:
    """Also one whose answer was lost: nothing was acknowledged, so it comes again."""
    await rui.say("m0")
    await rui.reads("1: m0")
    stage.server.faults.plan("getUpdates", kind)  # type: ignore[arg-type]
    await rui.say("m1")
    await rui.say("m2")
    await rui.reads("3: m2")
    assert rui.lines == ["1: m0", "2: m1", "3: m2"]


async def test_two_pollers_end_in_a_clear_word(stage: Stage, rui: Phone) -> None:
    """Somebody else polls with the same token, again and again: the adapter stops, and says what to do."""
    async def other() -> None:
        async with aiohttp.ClientSession() as session:
            while True:
                async with session.post(f"{stage.server.url}/bot{stage.server.token}/getUpdates",
                                        data={"timeout": "0", "offset": "0"}):
                    await asyncio.sleep(0.02)

    rival = asyncio.create_task(other())
    assert stage.bot is not None
    try:
        with pytest.raises(AdapterStoppedError, match="another program polls"):
            await asyncio.wait_for(stage.bot.tasks[1], 10)
    finally:
        rival.cancel()


async def test_a_refused_token_ends_in_a_clear_word(stage: Stage) -> None:
    """And the word does not hold the token."""
    stage.server.token = "700700:AAanother-token_altogether"
    bot = await stage.begin()
    with pytest.raises(AdapterStoppedError) as caught:
        await asyncio.wait_for(bot.tasks[1], 5)
    assert "token" in str(caught.value) and "AAtest" not in str(caught.value)


async def test_chats_do_not_wait_for_each_other(stage: Stage, rui: Phone) -> None:
    """A call that hangs for Rui's chat leaves Dana's alone."""
    dana = stage.join(DANA, "Dana")
    stage.server.faults.plan("sendMessage", "hang", when=lambda call: call["chat_id"] == str(RUI))
    await rui.say("m0")
    await rui.until(lambda: stage.server.faults.count["hang"] == 1)
    await dana.say("m0")
    await dana.reads("1: m0", seconds=0.8)
    assert rui.lines == []
    await rui.reads("1: m0")
