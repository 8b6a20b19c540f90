"""A job that waits for its part goes on in another tech's hands, over the real core and store."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from bot.conversation.job import Outcome, Phase
from bot.service import people
from bot.simulation.transcript import FIRM
from tests.service.crew import Clock, typed
from tests.service.real import OPENING, House, house_of

MONDAY = datetime(2026, 3, 2, 16, 0, tzinfo=UTC)


@pytest.fixture
def firm(tmp_path: Path) -> Iterator[House]:
    """Marta a senior, Rui and Dana juniors, Ines the owner, in Chicago."""
    with house_of(tmp_path, Clock(MONDAY), replace(FIRM, timezone="America/Chicago")) as house:
        for name, role in (("Marta", "senior"), ("Rui", "junior"), ("Dana", "junior"), ("Ines", "owner")):
            house.seat(name, role)
        yield house


async def on_order(firm: House) -> str:
    """Rui's washer at Hazel Lane waits for a belt; its job."""
    await firm.says("Rui", f"{OPENING} at 14 hazel lane")
    await firm.says("Rui", "senior")
    await firm.presses("Marta", 1)
    await firm.says("Marta", "found worn drive belt")
    await firm.says("Rui", "order it")
    await firm.says("Rui", "yes")
    await firm.says("Rui", "ABC-123 / 999")
    assert "Noted: Thursday" in await firm.says("Rui", "thursday")
    return firm.job_of("Rui").id


async def test_dana_takes_up_what_rui_ordered(firm: House) -> None:
    """She names the address, hears of the job, gets its history and its question; Rui is told; the reminder is gone."""
    job = await on_order(firm)
    await firm.at(MONDAY + timedelta(days=2))
    said = await firm.says("Dana", "14 Hazel Lane, got the belt for the top loader")
    assert "A job is open here: worn drive belt, Rui, 2 days ago. It waits for its part." in said
    said = await firm.presses("Dana", 1)
    for piece in ("From Rui: Top-load washer, belt drive: no spin", "Finding: worn drive belt. On order: ",
                  "Plate: ABC-123 / 999", "1) Part is here"):
        assert piece.lower() in said.lower()
    assert "Dana takes up top-load washer, 14 Hazel Lane. It's off your list." in firm.told("Rui")
    assert firm.job_of("Dana").id == job
    assert "Good, on with it." in await firm.says("Dana", "part is here")
    assert firm.job_of("Dana").phase is Phase.REPAIR
    await firm.at(MONDAY + timedelta(days=4))
    assert "should be there today" not in firm.told("Rui") + firm.told("Dana")
    assert firm.service.store.view(typed(firm.seats["Rui"], "?", firm.clock)).open_jobs == ()


async def test_another_machine_at_the_same_place(firm: House) -> None:
    """No, thank you: the visit goes on with its own question, Rui keeps his."""
    await on_order(firm)
    await firm.says("Dana", "dryer electric runs no heat, 14 hazel lane")
    assert "A job is open here" not in firm.told("Dana")  # another family
    await firm.says("Dana", "new")
    await firm.says("Dana", "top loader leaks at 14 hazel lane")
    before = firm.job_of("Dana").position.interrupted
    await firm.presses("Dana", 2)
    assert firm.job_of("Dana").question.kind == before.kind
    assert len(firm.service.store.view(typed(firm.seats["Rui"], "?", firm.clock)).open_jobs) == 1


async def test_two_take_it_up_at_once(firm: House) -> None:
    """The first has it; the second hears that somebody has, and nothing of his is lost."""
    await on_order(firm)
    firm.seat("Sam")
    for name in ("Dana", "Sam"):
        await firm.says(name, "14 Hazel Lane, top loader")
    await firm.presses("Dana", 1)
    await firm.says("Dana", "part is here")
    said = await firm.presses("Sam", 1)
    assert "Somebody else has that one by now." in said
    assert firm.job_of("Dana").tech == firm.seats["Dana"].person


async def test_the_job_of_a_junior_who_left(firm: House) -> None:
    """Rui is gone in mid-visit: whoever goes there next takes it up where it stood."""
    await firm.says("Rui", f"{OPENING} at 14 hazel lane")
    await firm.says("Rui", "1")
    stood = firm.job_of("Rui").question
    people.remove(firm.service.store, firm.seats["Rui"].person, firm.clock())
    said = await firm.says("Dana", "top loader wont spin, 14 hazel lane")
    assert "A job is open here: top-load washer, Rui, today." in said
    said = await firm.presses("Dana", 1)
    assert "So far: Top-load washer, belt drive: no spin" in said
    job = firm.job_of("Dana")
    assert (job.tech, job.question.kind, job.question.data) == (firm.seats["Dana"].person, stood.kind, stood.data)
    assert "Which kind is it?" not in said


async def test_nothing_is_made_safe_for_the_next_tech(firm: House) -> None:
    """Rui had it unplugged and open; to Dana it is said anew before she reaches in."""
    await firm.says("Rui", "belt drive toploader at 14 hazel lane, wont spin, drains ok")
    job = firm.job_of("Rui")
    assert "Pull the plug" in await firm.says("Rui", "runs, basket just sits there")
    assert firm.job_of("Rui").position.machine.power == "off"
    people.remove(firm.service.store, firm.seats["Rui"].person, firm.clock())
    await firm.says("Dana", "top loader wont spin, 14 hazel lane")
    before = firm.told("Dana").count("Pull the plug")
    await firm.presses("Dana", 1)
    assert firm.job_of("Dana").id == job.id
    assert firm.told("Dana").count("Pull the plug") == before + 1


async def test_the_way_to_it_is_no_visit(firm: House) -> None:
    """What was opened to find the job ends as 'went on', and is not shown as a past visit."""
    await on_order(firm)
    await firm.says("Dana", "14 Hazel Lane, top loader")
    way = firm.job_of("Dana").id
    await firm.presses("Dana", 1)
    assert firm.service.store.job(way).outcome is Outcome.CONTINUED
    firm.seat("Sam")
    await firm.says("Sam", "14 Hazel Lane, top loader wont spin")
    assert "left otherwise" not in firm.told("Sam")


async def test_asked_in_the_morning_and_not_at_night(firm: House) -> None:
    """Rui begins at six: on Thursday at six he is asked, once, whenever the clock is looked at."""
    people.set_duty(firm.service.store, firm.seats["Rui"].person, firm.clock(), hours="mon-fri 6-14")
    await on_order(firm)
    await firm.at(datetime(2026, 3, 5, 11, 59, tzinfo=UTC))
    assert "should be there today" not in firm.told("Rui")
    await firm.at(datetime(2026, 3, 5, 12, 0, tzinfo=UTC))
    assert firm.told("Rui").count("should be there today") == 1
    await firm.at(datetime(2026, 3, 7, 12, 0, tzinfo=UTC))
    assert firm.told("Rui").count("should be there today") == 1
