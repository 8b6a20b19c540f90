"""Who is off is left alone, what waits comes when they are back, and one person writes from several accounts."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from adapters.shared.linking import Door, Knock
from bot.service import people
from bot.simulation.transcript import FIRM
from bot.store.rows import Outlet
from tests.service.crew import Clock, Screen, typed
from tests.service.real import OPENING, House, house_of

MONDAY = datetime(2026, 3, 2, 16, 0, tzinfo=UTC)
"""Ten in the morning in Chicago."""
CODE = re.compile(r"[A-Z2-9]{4}-[A-Z2-9]{4}-[A-Z2-9]{4}")


@pytest.fixture
def firm(tmp_path: Path) -> Iterator[House]:
    """Ines the owner, Marta a senior, Rui a junior, in Chicago."""
    with house_of(tmp_path, Clock(MONDAY), replace(FIRM, timezone="America/Chicago")) as house:
        for name, role in (("Ines", "owner"), ("Marta", "senior"), ("Rui", "junior")):
            house.seat(name, role)
        yield house


async def asked_for_a_senior(firm: House) -> str:
    """Rui's case is offered; what he was told last."""
    await firm.says("Rui", OPENING)
    await firm.says("Rui", "1")
    return await firm.says("Rui", "senior")


async def test_off_today(firm: House) -> None:
    """Marta is not asked; the owner is, and Rui hears why. From midnight on she is asked again."""
    assert "back tomorrow; until" in await firm.says("Marta", "off today")
    told = await asked_for_a_senior(firm)
    assert "No senior is on duty now. Put to Ines." in told
    assert "A junior needs you" not in firm.told("Marta")
    assert "A junior needs you" in firm.told("Ines")
    assert ("duty", "Marta") in firm.audit()


async def test_back_on(firm: House) -> None:
    """One word undoes it."""
    await firm.says("Marta", "off duty")
    assert await firm.says("Marta", "back on") == "You're back on."
    assert "Put to Marta." in await asked_for_a_senior(firm)


async def test_a_hazard_wakes_everybody(firm: House) -> None:
    """Whatever their hours."""
    await firm.says("Marta", "off today")
    await firm.says("Rui", "dryer, i smell gas real strong")
    assert "Hazard: gas" in firm.told("Marta")


async def test_hours_in_a_persons_own_zone(firm: House) -> None:
    """Said in the chat; outside of them the next morning is promised, and kept."""
    firm.service.store.remove_person(firm.seats["Ines"].person, firm.clock(), people.Audit(what="removed"))
    assert "on duty" in await firm.says("Marta", "hours mon-fri 7-17")
    await firm.at(MONDAY.replace(hour=23, minute=30))  # half past five
    told = await asked_for_a_senior(firm)
    assert "Nobody is on duty" in told
    assert "Marta is on from tomorrow 07:00. I put it to them then" in told
    assert "A junior needs you" not in firm.told("Marta")
    await firm.at(datetime(2026, 3, 3, 13, 0, tzinfo=UTC))
    assert "A junior needs you" in firm.told("Marta")
    assert "Put to Marta." in firm.told("Rui")


async def test_what_a_senior_sees_of_their_duty(firm: House) -> None:
    """`duty` says it; nonsense is told what to write."""
    await firm.says("Marta", "my hours mon-thu 7-17, fri 7-12")
    assert await firm.says("Marta", "duty") == "You are on duty, hours mon-thu 07:00-17:00, fri 07:00-12:00."
    assert "hours mon-fri 7-17" in await firm.says("Marta", "hours whenever")
    assert "back Thursday 07:00" in await firm.says("Marta", "off until thursday")
    assert "clock is Europe/Lisbon" in await firm.says("Marta", "timezone Europe/Lisbon")
    assert "no such time zone" in await firm.says("Marta", "timezone Mars/Base")
    assert await firm.says("Rui", "who's on") == "On now: Ines (owner)."


async def test_the_holder_goes_off_duty_and_others_are_on(firm: House) -> None:
    """A quarter of an hour after her last word, Rui's next one takes the case to the owner; Marta reads so later."""
    await asked_for_a_senior(firm)
    await firm.presses("Marta", 1)
    assert "You still have top-load washer" in await firm.says("Marta", "off today")
    await firm.says("Rui", "still there?", seconds=60)
    assert "Rui: still there?" not in firm.told("Marta")  # waits for her duty
    await firm.says("Rui", "anybody?", seconds=1200)
    assert "Marta is off duty. I'm asking the others." in firm.told("Rui")
    assert 'Last words: "anybody?"' in firm.told("Ines")
    await firm.presses("Ines", 1)
    assert firm.job_of("Rui").handed_to == firm.seats["Ines"].person
    await firm.at(MONDAY + timedelta(hours=15))
    assert "Rui: still there?" in firm.told("Marta")
    assert "the case went to the others" in firm.told("Marta")


async def test_the_holder_goes_off_duty_and_nobody_else_is_on(firm: House) -> None:
    """Rui hears, once, when it will be read; it is read when Marta writes or is back on."""
    await asked_for_a_senior(firm)
    await firm.presses("Marta", 1)
    await firm.says("Ines", "off today")
    await firm.says("Marta", "off today")
    told = await firm.says("Rui", "belt is shiny", seconds=1200)
    assert told == "Marta is off duty and back tomorrow. They read it then; carry on takes it back."
    assert await firm.says("Rui", "and it squeaks a bit") == ""
    assert "belt is shiny" not in firm.told("Marta")
    assert "Rui: belt is shiny" in await firm.says("Marta", "duty")
    assert "Rui: and it squeaks a bit" in firm.told("Marta")


async def test_what_is_urgent_passes_what_waits(firm: House) -> None:
    """A held row does not hold up the hazard behind it."""
    await asked_for_a_senior(firm)
    await firm.presses("Marta", 1)
    await firm.says("Ines", "off today")
    await firm.says("Marta", "off today")
    await firm.says("Rui", "belt is shiny", seconds=1200)
    await firm.says("Rui", "new")
    await firm.says("Rui", "dryer, i smell gas real strong")
    assert "belt is shiny" not in firm.told("Marta")
    assert "Hazard: gas" in firm.told("Marta")


async def test_passed_to_somebody_who_is_off(firm: House) -> None:
    """Not done, and said."""
    await asked_for_a_senior(firm)
    await firm.presses("Marta", 1)
    await firm.says("Ines", "off today")
    assert "Ines is off duty" in await firm.says("Marta", "pass to ines")
    assert firm.job_of("Rui").handed_to == firm.seats["Marta"].person


async def test_one_person_from_two_accounts(firm: House) -> None:
    """Rui links Matrix to his terminal: one code, once. Each answer comes where he wrote last, his job goes along."""
    await firm.says("Rui", OPENING)
    code = CODE.findall(await firm.says("Rui", "link"))[0]
    door = Door(firm.service, "matrix", "@bot:example.org", firm.clock)
    assert await door.knock("@rui:example.org", "rui", "en", code) is Knock.LINKED
    assert await door.knock("@thief:example.org", "thief", "en", code) is Knock.WRONG_CODE
    phone = await door.who("@rui:example.org", "!room:example.org")
    assert phone is not None
    assert phone.person == firm.seats["Rui"].person
    screen = Screen(Outlet("matrix", "@bot:example.org"))
    firm.service.add(screen)
    firm.seats["Phone"], firm.screens["Phone"] = phone, screen
    assert "Noted: motor silent in spin." in await firm.says("Phone", "1")  # answers the question of the other chat
    assert len(firm.service.store.view(typed(phone, "?", firm.clock)).open_jobs) == 1
    assert firm.job_of("Phone").conversation == phone.conversation
    assert ("account_linked", "Rui") in firm.audit()
    assert "This chat is yours already, Rui." in await firm.says("Phone", code)


async def test_a_code_to_link_dies_with_its_person(firm: House) -> None:
    """Removed before it was used: it opens nothing."""
    code = CODE.findall(await firm.says("Rui", "link"))[0]
    await firm.says("Ines", "remove Rui")
    door = Door(firm.service, "matrix", "@bot:example.org", firm.clock)
    assert await door.knock("@rui:example.org", "rui", "en", code) is Knock.WRONG_CODE


async def test_the_junior_leaves_while_a_senior_has_his_case(firm: House) -> None:
    """She is told at once; what she writes cannot be passed on, and says so; `end` closes it."""
    await firm.says("Rui", f"{OPENING}, 14 hazel lane")
    await firm.says("Rui", "senior")
    await firm.presses("Marta", 1)
    await firm.says("Ines", "remove Rui")
    assert "The junior of the case at 14 Hazel Lane is no longer with us." in firm.told("Marta")
    assert "no longer with us" in await firm.says("Marta", "where")
    assert await firm.says("Marta", "end") == "Closed, with you."
