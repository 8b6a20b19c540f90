"""A visit on Matrix, end to end: a real homeserver, clients of two kinds, encrypted rooms."""

from __future__ import annotations

import re

import pytest

from bot.conversation.firm import Firm, Person
from bot.conversation.job import Phase
from bot.conversation.release import Release
from bot.simulation.chat import Chat, Said
from tests.adapters.matrix.conftest import PhoneOf, Talk, TalkOf
from tests.adapters.matrix.house import House
from tests.peers.phone import Heard
from tests.peers.synapse.server import Synapse

COMPLAINT = "top loader belt drive, washes and drains ok but wont spin, belt looks glazed"
HOPED_FOR = ("got_part", "do_it", "yes", "holds", "done", "all_done", "result:watch_spin/runs_no_spin")
BOTH_AT_ONCE = "no grip, dry. free, teeth sharp"
"""What two checks behind one cover show, which have no numbered choices."""
KEYCAP = "\N{VARIATION SELECTOR-16}\N{COMBINING ENCLOSING KEYCAP}"


@pytest.mark.parametrize("kind", ["js", "nio"])
async def test_a_newcomer_with_a_code_is_let_in_and_helped(server: Synapse, house: House, phone: PhoneOf, kind: str):
    """The chat is encrypted, the code opens it, once, and the first complaint is answered."""
    code = house.code()
    await house.start()
    rui = await phone(server, server.register(f"new{kind}"), kind)
    room = await rui.open(house.account.user)
    await rui.met(room, house.account.user)
    welcome = await rui.ask(room, code)
    assert welcome.encrypted
    assert "lead hand for Hazel Lane" in welcome.body
    answer = await rui.ask(room, COMPLAINT)
    assert answer.encrypted
    assert "Top-load washer" in answer.body
    assert ("enrolled" in str(house.audit())) or house.rows("SELECT count(*) FROM identities") == [(1,)]


async def test_a_whole_visit_says_what_the_core_says(house: House, talk: TalkOf, release: Release):
    """From the complaint to the end, answered by number, by words and by reaction: word for word the same as without
    any network.
    """
    await house.start()
    rui = await talk(house)
    mirror = Chat(release, Person("rui", "Rui"), Firm(name="Hazel Lane Appliance Repair"))
    said = mirror.send(COMPLAINT)
    heard = await told(rui, 0, COMPLAINT, said)
    for turn in range(25):
        assert mirror.job is not None
        if mirror.job.phase is Phase.ENDED:
            break
        question = mirror.job.question
        assert question is not None
        values = question.values
        choice = next((n for n, value in enumerate(values, 1) if value in HOPED_FOR), 1)
        before = len(rui.phone.heard)
        choices = mirror.heard["rui"][-1].choices
        if turn % 3 == 2 and choices:
            said = mirror.press(choice)
            await rui.phone.react(rui.room, heard[-1].id, f"{choice}{KEYCAP}")
            heard = await told(rui, before, None, said)
            continue
        text = BOTH_AT_ONCE if not choices else str(choice) if turn % 3 == 0 else choices[choice - 1]
        said = mirror.send(text)
        heard = await told(rui, before, text, said)
    assert mirror.job is not None
    assert mirror.job.phase is Phase.ENDED
    assert all(each.encrypted for each in rui.phone.heard if each.type == "m.room.message")
    assert house.rows("SELECT outcome FROM jobs") == [(str(mirror.job.outcome),)]


async def told(talk: Talk, before: int, text: str | None, said: list[Said]) -> list[Heard]:
    """Type a line, if there is one; what comes back is what the core says, in order."""
    if text is not None:
        await talk.phone.say(talk.room, text)
    heard: list[Heard] = []
    after = before
    for each in said:
        found = await talk.phone.answer(after=after)
        choices = [f"{number}. {choice}" for number, choice in enumerate(each.choices, 1)]
        assert timeless(found.body) == timeless("\n".join([*each.paragraphs, *choices]))
        after = talk.phone.heard.index(found) + 1
        heard.append(found)
    return heard


def timeless(words: str) -> str:
    """Without how long the visit has taken: the core's clock here and the machine's differ."""
    return re.sub(r"\d+ min in\b", "so many min in", words)
