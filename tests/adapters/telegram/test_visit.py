"""A visit with the whole core on Telegram: pressed, typed, taken back, and buttons of questions long gone."""

from __future__ import annotations

from pathlib import Path

from bot.conversation.release import Release
from bot.service.core import real_core
from tests.adapters.telegram.stage import RUI, picture, staged
from tests.peers.botapi.phone import Phone
from tests.peers.botapi.world import Message

COMPLAINT = "toploader belt drive, washes ok but wont spin, belt looks glazed"


def open_questions(phone: Phone) -> list[Message]:
    """The messages on the screen that still have buttons."""
    return [message for message in phone.screen if message.labels]


async def next_question(phone: Phone, after: Message | None = None) -> Message:
    """Wait until one question is open, and it is another than `after`."""
    await phone.until(lambda: len(open_questions(phone)) == 1 and open_questions(phone)[0] is not after, 20)
    return open_questions(phone)[0]


async def test_a_visit_on_the_phone(tmp_path: Path, release: Release) -> None:
    """One question at a time has buttons; back closes it as taken back; an old button still gets a sensible answer."""
    async with staged(tmp_path, core=real_core(), release=release) as stage:
        rui = stage.join(RUI, "Rui")
        await stage.begin()
        await rui.say(COMPLAINT)
        first = await next_question(rui)
        asked, buttons, label = first.words, first.buttons, first.labels[0]
        await rui.press(label)
        second = await next_question(rui, first)
        assert first.words == f"{asked}\n\n→ {label}"
        await rui.say("back")
        again = await next_question(rui, second)
        assert second.words.endswith("→ Taken back.")
        await rui.press(again.labels[0])
        third = await next_question(rui, again)
        await stage.restart()
        first.buttons = buttons
        seen = len(rui.screen)
        await rui.press(label, on=first)
        await rui.until(lambda: len(rui.screen) > seen, 20)
        first.buttons = []
        await rui.photo(picture())
        await rui.until(lambda: len(rui.screen) > seen + 1, 20)
        await rui.until(lambda: len(open_questions(rui)) == 1, 20)
        assert open_questions(rui)[0] is rui.screen[-1] and rui.screen[-1] is not third
