"""Messages on their way out, and what Telegram and the network do to them."""

from __future__ import annotations

import time
from dataclasses import replace

import pytest

from adapters.telegram.delivery import TelegramDelivery
from bot.conversation.markup import Span
from bot.service.clock import utc_now
from bot.service.delivery import Delivered
from bot.service.photos import take_photo
from bot.store.rows import Outgoing
from tests.adapters.telegram.stage import DANA, MARTA, RUI, Stage, picture
from tests.peers.botapi.faults import Kind
from tests.peers.botapi.phone import Phone
from tests.peers.botapi.world import Chat


def outbox(stage: Stage) -> list[tuple[str, str, str | None]]:
    """(kind, state, reason) of every row."""
    assert stage.bot is not None
    return stage.bot.store._read(lambda conn: conn.execute(
        "SELECT kind, state, reason FROM outbox ORDER BY seq").fetchall())


@pytest.mark.parametrize("kind", ["error", "gateway", "cut", "hang", "flood"])
async def test_a_message_that_did_not_get_through_comes_once(stage: Stage, rui: Phone, kind: Kind) -> None:
    """Whatever kept it away, it is sent until it is there, and what follows stays behind it."""
    stage.server.faults.plan("sendMessage", kind)
    await rui.say("m0")
    await rui.say("m1")
    await rui.reads("2: m1")
    assert rui.lines == ["1: m0", "2: m1"]
    assert stage.server.faults.count[kind] == 1


@pytest.mark.parametrize("kind", ["lost", "torn", "late"])
async def test_a_lost_answer_repeats_one_message_once(stage: Stage, rui: Phone, kind: Kind) -> None:
    """It was there, nobody can know, it is sent again: one repeat, in its place."""
    stage.server.faults.plan("sendMessage", kind)
    await rui.say("m0")
    await rui.say("m1")
    await rui.reads("2: m1")
    assert rui.lines == ["1: m0", "1: m0", "2: m1"]


async def test_a_flood_limit_holds_up_one_chat_alone(stage: Stage, rui: Phone) -> None:
    """Told to wait a second, the bot waits a second with Rui, and answers Dana at once."""
    dana = stage.join(DANA, "Dana")
    stage.server.faults.plan("sendMessage", "flood", when=lambda call: call["chat_id"] == str(RUI))
    await rui.say("hello")
    await rui.until(lambda: stage.server.faults.count["flood"] == 1)
    flooded = time.monotonic()
    await dana.say("hello")
    await dana.reads("1: hello")
    assert time.monotonic() - flooded < 0.8 and rui.lines == []
    await rui.reads("1: hello")
    assert time.monotonic() - flooded >= 1.0


async def test_who_blocked_the_bot_is_on_record_and_may_come_back(stage: Stage, rui: Phone) -> None:
    """The message counts as undeliverable with Telegram's reason, the job is told, and the talk can go on later."""
    await rui.say("m0")
    await rui.reads("1: m0")
    rui.chat.blocked = True
    await rui.say("m1")
    await rui.until(lambda: [state for _, state, _ in outbox(stage)] == ["delivered", "failed", "failed"])
    rui.chat.blocked = False
    await rui.say("m2")
    await rui.reads("4: m2")  # the third thing that the job heard is that its answer could not be delivered
    reason = "Telegram refuses this chat: Forbidden: bot was blocked by the user"
    assert [why for _, _, why in outbox(stage)] == [None, reason, reason, None]
    assert stage.bot is not None
    assert stage.bot.store._read(lambda conn: conn.execute(
        "SELECT json_extract(event, '$.reason') FROM inbox WHERE kind = 'undelivered'").fetchall()) == [(reason,)]


async def test_a_change_that_was_made_already_is_a_success(stage: Stage, rui: Phone) -> None:
    """The answer to the edit was lost; the second time Telegram says that nothing changes: fine."""
    await rui.say("ask")
    question = await rui.reads("1: ask")
    stage.server.faults.plan("editMessageText", "lost")
    await rui.press("Yes")
    await rui.reads("2: pressed 1")
    await rui.until(lambda: all(state == "delivered" for _, state, _ in outbox(stage)))
    assert question.edits == 1 and question.words.endswith("→ 1")


async def test_a_message_that_is_gone_cannot_be_changed(stage: Stage, rui: Phone) -> None:
    """Rui deleted the question: its change is given up, with the reason, and the talk goes on."""
    await rui.say("ask")
    question = await rui.reads("1: ask")
    await rui.press("Yes")
    del rui.chat.messages[question.number]
    await rui.say("and on")
    await rui.reads("3: and on")
    assert ("alter", "failed", "Telegram refuses it: Message to edit not found") in outbox(stage)


async def test_markup_that_telegram_cannot_read_goes_without_styles(stage: Stage, rui: Phone) -> None:
    """The words matter more than their looks."""
    stage.server.faults.plan("sendMessage", "markup")
    await rui.say("a < b")
    message = await rui.reads("1: a < b")
    assert message.html is None


async def test_the_parts_that_are_there_are_not_sent_again(stage: Stage, rui: Phone) -> None:
    """The second half of a long answer failed: only that is repeated."""
    stage.server.faults.plan("sendMessage", "error", when=lambda call: "reply_markup" in call)
    story = " ".join(f"Sentence number {n} about the belt." for n in range(125))
    await rui.say("ask " + story)
    await rui.until(lambda: len(rui.screen) == 2)
    await rui.say("more")
    await rui.reads("2: more")
    assert len(rui.screen) == 3


async def test_a_group_that_was_upgraded_gets_its_messages(stage: Stage, rui: Phone) -> None:
    """Telegram names the new address: the conversation moves there, topic and all."""
    marta = stage.join(MARTA, "Marta", "senior")
    world = stage.server.world
    world.chats[-500] = Chat(-500, "group", "Seniors", moved_to=-600)
    world.chats[-600] = Chat(-600, "supergroup", "Seniors")
    assert stage.bot is not None
    await stage.bot.service.meet("telegram", stage.bot.adapter.account, str(MARTA), "-500/7")
    await rui.say("elsewhere p201")
    await rui.until(lambda: bool(world.sent[-600]))
    assert [(m.words, m.topic) for m in world.sent[-600]] == [("psst", 7)] and marta.lines == []


async def test_after_an_outage_the_newest_question_is_last(stage: Stage, rui: Phone) -> None:
    """Nothing gets out for a while; then all of it comes in order, and the one open question stands at the end."""
    await rui.say("ask")
    await rui.reads("1: ask")
    stage.server.faults.plan("sendMessage", "cut", times=2)
    stage.server.faults.plan("editMessageText", "cut", times=2)
    await rui.press("Yes")
    await rui.say("m2")
    await rui.say("ask again")
    await rui.reads("4: ask again", seconds=15)
    assert rui.lines == ["1: ask\n\n→ 1", "2: pressed 1", "3: m2", "4: ask again"]
    assert [bool(m.labels) for m in rui.screen] == [False, False, False, True]


async def test_a_crash_repeats_at_most_one_message(stage: Stage, rui: Phone) -> None:
    """The bot dies between Telegram's taking a message and the note of it: that message comes twice, no other."""
    await rui.say("m0")
    await rui.reads("1: m0")
    stage.server.faults.plan("sendMessage", "late")
    await rui.say("m1")
    await rui.reads("2: m1")
    assert stage.bot is not None
    await stage.bot.die()
    await stage.begin()
    await rui.say("m2")
    await rui.reads("3: m2")
    assert rui.lines == ["1: m0", "2: m1", "2: m1", "3: m2"]


async def test_pictures_go_out(stage: Stage, rui: Phone) -> None:
    """A single one carries the words as its caption; more of them come as an album before the words."""
    assert stage.bot is not None
    store = stage.bot.store
    kept = [take_photo(store, picture(f"{n}"), utc_now()).sha256 or "" for n in range(3)]
    delivery = TelegramDelivery(stage.bot.adapter.bot, stage.bot.adapter.account, store)
    row = Outgoing(row=1, key="k", kind="send", message="m", conversation="c", platform="telegram",
                   account=stage.bot.adapter.account, address=str(RUI), person="p", question="q1",
                   paragraphs=((Span("Rui sent this."),),), choices=((Span("Take it"),),), photos=(kept[0],))
    one = await delivery.deliver(row)
    assert isinstance(one, Delivered) and len(one.platform_ids) == 1
    (shown,) = rui.screen
    assert (shown.caption, shown.labels, shown.contents) == ("Rui sent this.", ["Take it"], picture("0"))
    closed = replace(row, kind="alter", key="k2", sent_as=one.platform_ids, closed="answered",
                     answer=(Span("Take it"),))
    assert isinstance(await delivery.deliver(closed), Delivered)
    assert (shown.caption, shown.labels) == ("Rui sent this.\n\n→ Take it", [])
    many = await delivery.deliver(replace(row, key="k3", photos=tuple(kept)))
    assert isinstance(many, Delivered) and len(many.platform_ids) == 4
    assert [bool(m.album) for m in rui.screen[1:]] == [True, True, True, False]
    assert rui.screen[-1].words == "Rui sent this." and rui.screen[-1].labels == ["Take it"]
