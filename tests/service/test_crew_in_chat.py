"""An owner keeps the crew in a private chat, and others are told honestly that they cannot."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from bot.conversation.crew.words import order_in
from bot.service.people import redeem
from bot.store.errors import RefusedError
from tests.service.crew import typed
from tests.service.real import OPENING, House, house_of

CODE = re.compile(r"[A-Z2-9]{4}-[A-Z2-9]{4}-[A-Z2-9]{4}")


@pytest.fixture
def firm(tmp_path: Path) -> Iterator[House]:
    """Ines the owner, Marta and João seniors, Rui a junior."""
    with house_of(tmp_path) as house:
        for name, role in (("Ines", "owner"), ("Marta", "senior"), ("João", "senior"), ("Rui", "junior")):
            house.seat(name, role)
        yield house


async def test_an_owner_invites_by_role(firm: House) -> None:
    """She gets a code and the links; who has the code is one of the crew, once, in that role."""
    firm.service.invite_by("telegram", "https://t.me/hazel_bot?start={code}")
    said = await firm.says("Ines", "invite junior sam")
    (code,) = set(CODE.findall(said))
    assert "Sam, junior" in said
    assert f"https://t.me/hazel_bot?start={code}" in said
    sam = redeem(firm.service.store, code, "telegram", "bot", "9", "", firm.clock())
    assert (sam.name, sam.role) == ("Sam", "junior")
    with pytest.raises(RefusedError, match="used already"):
        redeem(firm.service.store, code, "telegram", "bot", "10", "", firm.clock())
    assert ("invited", "Ines") in firm.audit()


async def test_an_invitation_is_taken_back(firm: House) -> None:
    """The code opens nothing from then on; one for somebody else still does."""
    sam = CODE.findall(await firm.says("Ines", "invite junior sam"))[0]
    ana = CODE.findall(await firm.says("Ines", "invite junior ana"))[0]
    assert "Sam is not on the crew" in await firm.says("Ines", "remove sam")
    with pytest.raises(RefusedError):
        redeem(firm.service.store, sam, "telegram", "bot", "9", "", firm.clock())
    assert redeem(firm.service.store, ana, "telegram", "bot", "9", "", firm.clock()).name == "Ana"
    assert ("uninvited", "Ines") in firm.audit()


async def test_a_code_is_forgotten_once_it_was_delivered(firm: House, tmp_path: Path) -> None:
    """It stands in the chat, and nowhere in the data folder any more."""
    code = CODE.findall(await firm.says("Ines", "invite a senior called Ana"))[0]
    firm.service.store.close()
    kept = b"".join(file.read_bytes() for file in tmp_path.rglob("*.db*"))
    assert code.encode() not in kept
    assert b"forgotten once it was delivered" in kept


@pytest.mark.parametrize("words", ["invite junior Sam", "people", "remove Marta", "sign off Rui for gas",
                                   "take back live from Marta", "phone Rui 555-0100"])
@pytest.mark.parametrize("who", ["Marta", "Rui"])
async def test_others_get_an_honest_refusal(firm: House, who: str, words: str) -> None:
    """A senior and a junior hear whom to ask, and nothing changes."""
    before = dict(firm.service.store.crew()), firm.audit()
    assert await firm.says(who, words) == "Only an owner can do that. Ask Ines."
    assert (dict(firm.service.store.crew()), firm.audit()) == before


async def test_not_where_others_read_along(firm: House) -> None:
    """The same words of the owner in a shared room give nothing away."""
    event = replace(typed(firm.seats["Ines"], "invite junior Sam", firm.clock), shared=True)
    await firm.service.accept(event)
    await firm.service.drain()
    assert firm.told("Ines") == "Not in here, too many read along. Write that to me directly."
    assert firm.service.store.open_invites(firm.clock()) == ()


async def test_who_there_is(firm: House) -> None:
    """Name, role, duty, sign-offs and where they write from; and how to change that."""
    said = await firm.says("Ines", "people")
    assert "Marta, senior: on duty. Signed off for: nothing yet. Writes from: Terminal." in said
    assert "`invite junior Sam`" not in said  # markup is the adapter's
    assert "invite junior Sam" in said


async def test_sign_offs_are_given_and_taken(firm: House) -> None:
    """At once, by name, each in the log."""
    assert await firm.says("Ines", "sign off Rui for live testing") == "Rui is signed off for: live tests."
    assert await firm.says("Ines", "signed off rui: heavy lifting") == "Rui is signed off for: lifting, live tests."
    rui = firm.seats["Rui"].person
    assert firm.service.store.crew()[rui].signoffs == {"live", "lifting"}
    assert await firm.says("Ines", "take back live from Rui") == "Rui is signed off for: lifting."
    assert [act for act in firm.audit() if act[1] == "Ines"] == [
        ("signed_off", "Ines"), ("signed_off", "Ines"), ("signoff_revoked", "Ines")]


async def test_removed_at_once(firm: House) -> None:
    """Rui's next word meets a stranger's door; a name that nobody has is said to be none."""
    assert "Bob is not on the crew" in await firm.says("Ines", "remove Bob")
    assert await firm.says("Ines", "remove rui") == "Rui is out, as of now. What they did stays in the log."
    assert firm.service.store.meet("terminal", "local", "rui", "rui", firm.clock()) is None
    assert ("removed", "Ines") in firm.audit()


async def test_a_senior_removed_while_holding_a_case(firm: House) -> None:
    """Without a word of the junior's: he hears it, and the others are asked at once."""
    for words in (OPENING, "1", "senior"):
        await firm.says("Rui", words)
    await firm.presses("Marta", 1)
    await firm.says("Ines", "remove Marta")
    assert "Your senior is no longer on it. I'm asking the others." in firm.told("Rui")
    await firm.presses("João", 1)
    assert firm.job_of("Rui").handed_to == firm.seats["João"].person


async def test_the_last_owner_stays(firm: House) -> None:
    """A firm without an owner could not be mended from a chat."""
    assert "only owner" in await firm.says("Ines", "remove Ines")
    assert firm.seats["Ines"].person in firm.service.store.crew()


async def test_two_of_a_name(firm: House) -> None:
    """The ids tell them apart."""
    second = firm.service.store.meet("terminal", "local", "rui", "rui", firm.clock())
    code = CODE.findall(await firm.says("Ines", "invite junior Rui"))[0]
    other = redeem(firm.service.store, code, "telegram", "bot", "9", "", firm.clock())
    said = await firm.says("Ines", "remove Rui")
    assert other.id in said
    assert second is not None
    assert second.person in said
    await firm.says("Ines", f"remove {other.id}")
    assert other.id not in firm.service.store.crew()


@pytest.mark.parametrize("words", [
    "remove the belt", "remove pump filter and look", "link is broken on the lid switch", "sign off the job", "off",
    "power back on", "its off today and on tomorrow", "hours?", "number 5 ohm", "invite", "1",
    "phone line is cut at the house"])
def test_talk_about_machines_is_left_alone(words: str) -> None:
    """No such sentence is an act, whoever writes it; or its name is nobody's."""
    order = order_in(words)
    assert order is None or order.act in {"remove", "phone"}


async def test_remove_the_belt_is_about_the_machine(firm: House) -> None:
    """An owner on a visit of her own is a tech."""
    await firm.says("Ines", OPENING)
    assert "nobody on the crew" not in await firm.says("Ines", "remove the belt")


async def test_an_owner_writes_it_as_she_would_say_it(firm: House) -> None:
    """Short forms, another order of the words, a slip of the finger."""
    assert "Sam, junior" in await firm.says("Ines", "invite jr Sam")
    assert await firm.says("Ines", "sign rui off for live tests") == "Rui is signed off for: live tests."
    assert await firm.says("Ines", "sign off Rui for gass") == "Rui is signed off for: gas, live tests."
    assert "Marta, senior: on duty" in await firm.says("Ines", "people?")
    assert "On now: " in await firm.says("Ines", "who is working today?")


async def test_what_is_missing_is_asked_for(firm: House) -> None:
    """A role, a number, or the right words: the owner is told what to write."""
    assert await firm.says("Ines", "invite sam") == "Sam as what? Write invite junior Sam, or senior, or owner."
    assert await firm.says("Ines", "phone marta") == "No number of Marta's yet. phone Marta and the number keeps one."
    await firm.says("Ines", "phone marta 555-0100")
    assert await firm.says("Ines", "phone marta?") == "Marta: 555-0100."
    assert (await firm.says("Ines", "signoff rui for boilers")).startswith("Rui for what? Write sign off Rui for live")
    assert (await firm.says("Ines", "remove")).startswith("About the crew? Write it like this: ")
    assert (await firm.says("Rui", "off a bit")).startswith("About your hours? ")


async def test_whoever_removes_the_last_senior_hears_what_follows(firm: House) -> None:
    """Cases come to the owners then."""
    assert "No senior is left" not in await firm.says("Ines", "remove Marta")
    assert "No senior is left: cases come to you until there is one." in await firm.says("Ines", "remove João")


@pytest.mark.parametrize("words", ["phone marta", "invite sam", "sign off the job for gas"])
async def test_such_words_of_a_tech_are_no_order(firm: House, words: str) -> None:
    """Nobody is invited, and no number is shown."""
    await firm.says("Rui", OPENING)
    assert "555" not in (said := await firm.says("Rui", words))
    assert "as what?" not in said
