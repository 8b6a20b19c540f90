"""Which rooms the bot is in: chats of two with people of the crew, the seniors' room, and no others."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from tests.adapters.matrix.conftest import PhoneOf, TalkOf
from tests.adapters.matrix.house import House
from tests.adapters.matrix.test_talk import until
from tests.peers.synapse.server import Account, Synapse

CREATE = "/_matrix/client/v3/createRoom"


def create(server: Synapse, account: Account, *invited: str, direct: bool = True, preset: str = "private_chat") -> str:
    """A room that is not encrypted."""
    return str(server.call("POST", CREATE, {"invite": list(invited), "is_direct": direct, "preset": preset},
                           account.token)["room_id"])


def rooms_of(server: Synapse, account: Account) -> set[str]:
    """The rooms that someone is in."""
    return set(server.call("GET", "/_matrix/client/v3/joined_rooms", token=account.token)["joined_rooms"])


def standing(server: Synapse, account: Account, room: str, user: str) -> str:
    """How someone stands to a room: invite, join, leave."""
    path = f"/_matrix/client/v3/rooms/{room}/state/m.room.member/{user}"
    return str(server.call("GET", path, token=account.token)["membership"])


def words(server: Synapse, account: Account, room: str, sender: str) -> list[str]:
    """What someone said in a room in clear, oldest first."""
    found = server.call("GET", f"/_matrix/client/v3/rooms/{room}/messages?dir=b&limit=50", token=account.token)
    return [str(event["content"]["body"]) for event in reversed(found["chunk"])
            if event["type"] == "m.room.message" and event["sender"] == sender]


def say(server: Synapse, account: Account, room: str, text: str, **more: Any) -> str:
    """Say something in clear."""
    path = f"/_matrix/client/v3/rooms/{room}/send/m.room.message/{abs(hash((room, text, str(more))))}"
    return str(server.call("PUT", path, {"msgtype": "m.text", "body": text, **more}, account.token)["event_id"])


async def test_strangers_get_in_only_while_a_code_waits(server: Synapse, house: House, phone: PhoneOf):
    """Without an invitation out, a stranger's chat is declined. With one, they are refused until they send the code;
    a wrong one is no code.
    """
    await house.start()
    me, stranger = house.account.user, server.register("stranger")
    room = create(server, stranger, me)
    await until(lambda: standing(server, stranger, room, me) == "leave")
    code = house.code()
    someone = await phone(server, server.register("someone"))
    chat = await someone.open(me)
    await someone.met(chat, me)
    refusal = await someone.ask(chat, "hello, are you there")
    assert "private line" in refusal.body
    wrong = await someone.ask(chat, "ABCD-EFGH-JKLM")
    assert "does not open anything" in wrong.body
    welcome = await someone.ask(chat, code)
    assert "lead hand" in welcome.body
    assert house.rows("SELECT count(*) FROM inbox WHERE event LIKE '%are you there%' OR event LIKE '%ABCD%'") == [(0,)]


async def test_whoever_was_removed_is_refused_and_left(server: Synapse, house: House, talk: TalkOf):
    """Someone who is of the crew no more hears one refusal, and the bot leaves."""
    await house.start()
    rui = await talk(house)
    assert "Which machine" in (await rui.ask("hi")).body
    house.dismiss("Rui")
    assert "private line" in (await rui.ask("dryer won't heat")).body
    await until(lambda: rui.room not in rooms_of(server, house.account))


async def test_an_empty_room_is_left(server: Synapse, house: House, talk: TalkOf):
    """When the other one goes, the bot goes too, also if that happened while it was down."""
    await house.start()
    rui, dana = await talk(house), await talk(house, "nio", name="Dana")
    await rui.phone.leave(rui.room)
    await until(lambda: rui.room not in rooms_of(server, house.account))
    await house.stop()
    await dana.phone.leave(dana.room)
    await house.start()
    await until(lambda: dana.room not in rooms_of(server, house.account))


async def test_a_chat_in_clear_is_encrypted_where_that_is_allowed(server: Synapse, house: House):
    """In a direct chat without encryption the bot turns it on; where it may not, it says so once and helps all the
    same.
    """
    await house.start()
    me, rui = house.account.user, server.register("ruiclear")
    house.employ(rui.user)
    room = create(server, rui, me, preset="trusted_private_chat")
    await until(lambda: encrypted(server, rui, room))

    other = create(server, rui, me, preset="private_chat")
    await until(lambda: len(words(server, rui, other, me)) == 1)
    assert "isn't encrypted" in words(server, rui, other, me)[0]
    say(server, rui, other, "hi")
    await until(lambda: any("Which machine" in each for each in words(server, rui, other, me)))
    assert not encrypted(server, rui, other)
    assert sum("isn't encrypted" in each for each in words(server, rui, other, me)) == 1
    assert house.adapter is not None
    assert house.adapter.health().details["unencrypted_chats"] == 1


async def test_the_bot_talks_in_chats_of_two_only(server: Synapse, house: House):
    """Asked into a larger room, it says where to write instead, and goes."""
    await house.start()
    me, rui, dana = house.account.user, server.register("ruitwo"), server.register("danatwo")
    house.employ(rui.user)
    room = create(server, rui, dana.user, me, direct=False)
    server.call("POST", f"/_matrix/client/v3/join/{room}", {}, dana.token)
    await until(lambda: any("chat of two" in each for each in words(server, rui, room, me)))
    await until(lambda: room not in rooms_of(server, house.account))


async def test_an_offer_stands_in_the_seniors_room(server: Synapse, house_on: Callable[..., House], talk: TalkOf):
    """Without the customer; taken by a reply there, the case comes to Marta's own chat, and the post says who has it.

    What seniors say among themselves, and what a stranger says, is not heard.
    """
    marta_there, stranger = server.register("ana"), server.register("guest")
    room = create(server, marta_there, direct=False, preset="trusted_private_chat")
    house = house_on(server, seniors_room=room)
    await house.start()
    me = house.account.user
    marta = await talk(house, "nio", role="senior", name="Marta")
    for account in (stranger, marta.account):
        server.call("POST", f"/_matrix/client/v3/rooms/{room}/invite", {"user_id": account.user}, marta_there.token)
        server.call("POST", f"/_matrix/client/v3/join/{room}", {}, account.token)
    server.call("POST", f"/_matrix/client/v3/rooms/{room}/invite", {"user_id": me}, marta.account.token)
    await until(lambda: room in rooms_of(server, house.account))
    await marta.ask("hello")
    rui = await talk(house, "nio")
    await rui.last_question("toploader belt drive wont spin, 14 hazel lane, lady is furious")
    await rui.phone.say(rui.room, "senior")
    await until(lambda: len(posts(server, marta_there, room, me)) == 1)
    (post,) = posts(server, marta_there, room, me)
    assert "Rui: top-load washer" in post["content"]["body"]
    assert not any(secret in str(post) for secret in ("Hazel", "hazel", "furious"))
    say(server, marta.account, room, "anyone seen my meter")
    answer = {"m.relates_to": {"m.in_reply_to": {"event_id": post["event_id"]}}}
    say(server, stranger, room, "1", **answer)
    say(server, marta.account, room, "1", **answer)
    await rui.spoken("Marta has it.")
    await marta.spoken("What you write goes to Rui")
    await until(lambda: any("→ Marta has it." in each for each in words(server, marta_there, room, me)))
    await marta.phone.say(marta.room, "how shiny is it")
    await rui.spoken("Marta: how shiny is it")
    assert not any("meter" in each.body for each in rui.phone.heard)


async def test_a_senior_without_a_chat_of_their_own(server: Synapse, house_on: Callable[..., House]):
    """Who writes to us in the seniors' room and nowhere else is told where."""
    marta = server.register("marta")
    room = create(server, marta, direct=False)
    house = house_on(server, seniors_room=room)
    house.employ(marta.user, "senior", "Marta")
    await house.start()
    me = house.account.user
    server.call("POST", f"/_matrix/client/v3/rooms/{room}/invite", {"user_id": me}, marta.token)
    await until(lambda: room in rooms_of(server, house.account))
    say(server, marta, room, "dryer, no heat", **{"m.mentions": {"user_ids": [me]}})
    await until(lambda: any("Write to me directly" in each for each in words(server, marta, room, me)))
    assert house.rows("SELECT plain FROM messages WHERE direction = 'in'") == []


def posts(server: Synapse, account: Account, room: str, sender: str) -> list[dict[str, Any]]:
    """What someone posted in a room, edits left out."""
    found = server.call("GET", f"/_matrix/client/v3/rooms/{room}/messages?dir=b&limit=50", token=account.token)
    return [event for event in reversed(found["chunk"]) if event["type"] == "m.room.message"
            and event["sender"] == sender and "m.new_content" not in event["content"]]


def encrypted(server: Synapse, account: Account, room: str) -> bool:
    """Whether a room is encrypted."""
    state = server.call("GET", f"/_matrix/client/v3/rooms/{room}/state", token=account.token)
    return any(event["type"] == "m.room.encryption" for event in state)
