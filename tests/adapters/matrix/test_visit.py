"""A visit on Matrix, end to end: a real homeserver, a client that shares no code with the bot, encrypted rooms."""

from __future__ import annotations

import pytest

from tests.adapters.matrix.conftest import PhoneOf
from tests.adapters.matrix.house import House

CLIENTS = pytest.mark.parametrize("kind", ["js", "nio"])


@CLIENTS
async def test_a_newcomer_with_a_code_is_let_in_and_helped(house: House, phone: PhoneOf, kind: str):
    """The chat is encrypted, the code opens it, and the first complaint gets the safety card and a question."""
    code = house.code()
    await house.start()
    rui = await phone(kind)
    room = await rui.open(house.account.user)
    welcome = await rui.ask(room, code)
    assert welcome.encrypted
    assert "lead hand for Hazel Lane" in welcome.body
    answer = await rui.ask(room, "top loader belt drive, washes and drains ok but wont spin, belt looks glazed")
    assert answer.encrypted
    print(answer)
