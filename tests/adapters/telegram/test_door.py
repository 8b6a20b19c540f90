"""Who may talk with the bot: the crew, and whoever has a code. Nobody else learns anything."""

from __future__ import annotations

import asyncio

from bot.service.clock import utc_now
from bot.service.people import remove
from tests.adapters.telegram.stage import DANA, MARTA, RUI, STRANGER, Stage, picture
from tests.peers.botapi.phone import Phone
from tests.peers.botapi.world import Chat

REFUSAL = "This is a private line. If you were given a code, send it here."
WRONG = "That code does not open anything. Ask whoever gave it to you for a new one."


async def test_a_link_with_a_code_brings_in_a_new_tech(stage: Stage) -> None:
    """Opening the link sends /start and the code: from then on Dana is one of the crew, and the code is used up."""
    await stage.begin()
    dana = Phone(stage.server, DANA, "Dana Example")
    code = stage.invited("junior", "Dana")
    await dana.say(f"/start {code}")
    await dana.reads("1: /start")
    await dana.say("no heat")
    await dana.reads("2: no heat")
    assert stage.bot is not None
    (member,) = stage.bot.store.members()
    assert (member.person.name, member.person.role) == ("Dana", "junior")
    stranger = Phone(stage.server, STRANGER, "Nobody")
    await stranger.say(f"/start {code}")
    await stranger.reads(WRONG)


async def test_a_code_may_be_typed(stage: Stage) -> None:
    """In any case, with or without dashes; the name is the one on Telegram if the invitation has none."""
    await stage.begin()
    dana = Phone(stage.server, DANA, "Dana")
    await dana.say(stage.invited().lower().replace("-", " "))
    await dana.reads("1: /start")
    assert stage.bot is not None and stage.bot.store.members()[0].person.name == "Dana"


async def test_the_code_is_not_kept(stage: Stage) -> None:
    """Neither the inbox nor the messages hold it."""
    await stage.begin()
    dana = Phone(stage.server, DANA, "Dana")
    code = stage.invited()
    await dana.say(f"/start {code}")
    await dana.reads("1: /start")
    assert stage.bot is not None
    rows = stage.bot.store._read(lambda conn: conn.execute(
        "SELECT event FROM inbox UNION ALL SELECT plain FROM messages").fetchall())
    assert rows and all(code not in text for (text,) in rows)


async def test_strangers_are_refused_once_in_a_while(stage: Stage) -> None:
    """The same words whatever they write, then silence; nothing of theirs is kept or fetched."""
    await stage.begin()
    stranger = Phone(stage.server, STRANGER, "Nobody")
    await stranger.say("washer wont spin, who works here?")
    await stranger.reads(REFUSAL)
    await stranger.say("/help")
    await stranger.photo(picture())
    await stranger.other(location={"latitude": 1.0, "longitude": 2.0})
    rui = stage.join(RUI, "Rui")
    await rui.say("hello")
    await rui.reads("1: hello")
    await asyncio.sleep(0.2)
    assert stranger.lines == [REFUSAL]
    assert "getFile" not in {method for _, method, _ in stage.server.world.calls}
    assert stage.bot is not None
    assert stage.bot.store._read(lambda conn: conn.execute(
        "SELECT count(*) FROM inbox WHERE person <> 'p101'").fetchone()) == (0,)


async def test_guessing_codes_ends_soon(stage: Stage) -> None:
    """After five wrong codes not even a right one opens for an hour."""
    await stage.begin()
    stranger = Phone(stage.server, STRANGER, "Nobody")
    for number in range(5):
        await stranger.say(f"AAAA-BBBB-CCC{number + 2}")
    await stranger.until(lambda: stranger.lines == [WRONG] * 5)
    await stranger.say(stage.invited())
    await stranger.reads(REFUSAL)
    assert stage.bot is not None and stage.bot.store.members() == ()


async def test_who_was_removed_is_a_stranger(stage: Stage, rui: Phone) -> None:
    """From that moment on; their old buttons do nothing."""
    await rui.say("ask")
    await rui.reads("1: ask")
    assert stage.bot is not None
    remove(stage.bot.store, "p101", utc_now())
    query = await rui.press("Yes")
    await rui.say("hello?")
    await rui.reads(REFUSAL)
    assert stage.server.world.toasts[query] == "That button no longer does anything."


async def test_groups_are_not_talked_to(stage: Stage, rui: Phone) -> None:
    """Words in a group are nobody's complaint; a senior may ask for the address of theirs."""
    stage.join(MARTA, "Marta", "senior")
    marta = Phone(stage.server, MARTA, "Marta")
    group = stage.server.world.chats[-500] = Chat(-500, "supergroup", "Seniors")
    await rui.say_in(group, "washer wont spin")
    await rui.say_in(group, "/id")
    await marta.say_in(group, "/id@lead_hand_bot", topic=7)
    await rui.until(lambda: bool(stage.server.world.sent[-500]))
    await rui.say("hello")
    await rui.reads("1: hello")
    assert [m.words for m in stage.server.world.sent[-500]] == ['seniors_group = "-500/7"']


async def test_a_press_in_the_seniors_group_counts_in_private(stage: Stage) -> None:
    """An offer posted to the group's topic is taken by button there; the answer comes to Marta's own chat."""
    rui, marta = stage.join(RUI, "Rui"), stage.join(MARTA, "Marta", "senior")
    stage.settings = {"seniors_group": "-500/7"}
    stage.server.world.chats[-500] = Chat(-500, "supergroup", "Seniors")
    bot = await stage.begin()
    await rui.say("ask")
    offered = await rui.reads("1: ask")
    group_message = type(offered)(1, -500, stage.server.world.bot_id, text="Rui needs a senior",
                                  buttons=offered.buttons, topic=7)
    stage.server.world.chats[-500].messages[1] = group_message
    await marta.press("Yes", on=group_message)
    await rui.reads("2: pressed 1")
    await marta.say("hello")
    await marta.reads("1: hello")
    rows = bot.store._read(lambda conn: conn.execute(
        "SELECT i.person, c.address FROM inbox i JOIN conversations c ON c.id = i.conversation"
        " WHERE i.kind = 'pressed'").fetchall())
    assert rows == [("p201", str(MARTA))]
