"""What is offered to the seniors stands in their group, too: without the customer, taken by a button, edited then."""

from __future__ import annotations

from pathlib import Path

from bot.conversation.release import Release
from bot.service.core import real_core
from tests.adapters.telegram.stage import DANA, MARTA, RUI, staged
from tests.peers.botapi.phone import Phone
from tests.peers.botapi.world import Chat, Message


async def test_an_offer_is_posted_and_taken_there(tmp_path: Path, release: Release) -> None:
    """No address and no words of the junior's; a junior's press takes nothing; Marta's does, and the post says so."""
    async with staged(tmp_path, core=real_core(), release=release, settings={"seniors_group": "-500/7"}) as stage:
        rui, dana, marta = (stage.join(RUI, "Rui"), stage.join(DANA, "Dana"), stage.join(MARTA, "Marta", "senior"))
        group = stage.server.world.chats[-500] = Chat(-500, "supergroup", "Seniors")
        await stage.begin()
        for phone in (marta, dana):
            await phone.say("hello")
            await phone.reads("Which machine is it")
        await rui.say("toploader belt drive wont spin, 14 hazel lane, lady is furious")
        await rui.until(lambda: bool(rui.screen) and bool(rui.screen[-1].labels), 20)
        await rui.say("senior")
        await rui.reads("Put to Marta")
        post = await posted(rui, group)
        assert post.topic == 7
        for piece in ("A junior needs you", "Rui: top-load washer", "no spin"):
            assert piece in post.words
        for secret in ("Hazel", "furious", "hazel"):
            assert secret not in post.words
        await dana.press("I'll take it", on=post)
        await dana.reads("That one is for seniors.")
        await marta.press("I'll take it", on=post)
        await rui.reads("Marta has it.")
        await marta.reads("What you write goes to Rui")
        await marta.until(lambda: post.words.endswith("→ Marta has it."))
        assert post.labels == []
        await marta.say("how shiny is it")
        await rui.reads("Marta: how shiny is it")


async def posted(phone: Phone, group: Chat) -> Message:
    """The message of ours in the group."""
    await phone.until(lambda: bool(group.messages), 20)
    return next(iter(group.messages.values()))
