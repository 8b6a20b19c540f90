"""What a senior knows about a fault is kept for the next tech, shown under their name, and taken away again."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from bot.conversation.events import Edited, Redacted
from bot.review.erasure import erase_customer, erase_older
from bot.service.opening import opened
from bot.simulation.transcript import FIRM
from bot.store.review import ReviewStore
from tests.service.crew import typed
from tests.service.real import OPENING, House, house_of

NOTE = "check the motor pulley for rust before you blame the belt"


@pytest.fixture
def firm(tmp_path: Path) -> Iterator[House]:
    """Marta and João seniors, Rui and Dana juniors, Ines the owner."""
    with house_of(tmp_path) as house:
        for name, role in (("Marta", "senior"), ("João", "senior"), ("Rui", "junior"), ("Dana", "junior"),
                           ("Ines", "owner")):
            house.seat(name, role)
        yield house


async def named(firm: House, tech: str = "Rui", senior: str = "Marta", where: str = "") -> str:
    """A senior names the belt in a junior's case; what the senior is told."""
    await firm.says(tech, OPENING + where)
    await firm.says(tech, "senior")
    await firm.presses(senior, 1)
    return await firm.says(senior, "found worn drive belt")


async def test_asked_once_kept_and_shown_to_the_next(firm: House) -> None:
    """Under its writer's name, at that fault's finding, also when another senior named it."""
    assert "Keep a note for the next tech with this fault? Type it, or no." in await named(firm)
    assert "Kept." in await firm.says("Marta", NOTE)
    assert "Keep a note" in await named(firm, "Dana", "João")
    assert f"Note from Marta: {NOTE}" in firm.told("Dana")
    assert await firm.says("João", "no") == "No note, then."
    await firm.says("Dana", "new")
    assert "Keep a note" not in await named(firm, "Dana", "Marta")  # hers is there already


async def test_no_is_no(firm: House) -> None:
    """And the next words are about something else."""
    await named(firm)
    await firm.says("Marta", "No.")
    said = await firm.says("Marta", "dryer electric runs no heat")
    assert "Kept" not in said
    assert firm.service.store.firm_notes() == ()


async def test_who_turned_to_another_case_writes_about_that(firm: House) -> None:
    """Marta did not answer; what she writes to Dana's case goes to Dana."""
    await named(firm)
    await firm.says("Dana", "dryer electric runs no heat")
    await firm.says("Dana", "senior")
    await firm.presses("Marta", 1)
    await firm.says("Marta", "is the vent hose crushed")
    assert "Marta: is the vent hose crushed" in firm.told("Dana")
    assert firm.service.store.firm_notes() == ()


async def test_a_note_after_the_job_is_done(firm: House) -> None:
    """Within two hours it is still the note, though the visit has ended; after that it is not asked for any more."""
    await named(firm)
    await firm.says("Rui", "stop")
    await firm.says("Rui", "fixed already")
    assert "Kept." in await firm.says("Marta", NOTE, seconds=3600)
    await named(firm, "Dana", "João")
    await firm.at(firm.clock() + timedelta(hours=2, minutes=1))
    await firm.says("João", "hello")
    assert len(firm.service.store.firm_notes()) == 1


async def test_a_changed_note(firm: House) -> None:
    """Editing the message changes it, taking the message back takes it away."""
    await named(firm)
    marta = firm.seats["Marta"]
    note = typed(marta, NOTE, firm.clock)
    await firm.service.accept(note)
    await firm.service.drain()
    common = {"at": firm.clock(), "person": marta.person, "conversation": marta.conversation, "target": note.message}
    await firm.service.accept(Edited(id="e1", text="look for rust on the pulley", **common))
    await firm.service.drain()
    assert [n.text for n in firm.service.store.firm_notes()] == ["look for rust on the pulley"]
    await firm.service.accept(Redacted(id="e2", **common))
    await firm.service.drain()
    assert firm.service.store.parked() == ()
    assert firm.service.store.firm_notes() == ()


async def test_retired_by_a_word(firm: House) -> None:
    """The owner, or who wrote it; never shown again. A junior has no say in it."""
    await named(firm)
    await firm.says("Marta", NOTE)
    assert f"1 worn drive belt, Marta: {NOTE}" in await firm.says("João", "notes")
    assert "They or an owner" in await firm.says("João", "retire note 1")
    assert "for seniors and owners" in await firm.says("Dana", "notes")
    assert await firm.says("Ines", "retire note 1") == "Note 1 is no longer shown."
    assert await firm.says("Ines", "retire note 1") == "There is no note 1. notes lists them."
    await named(firm, "Dana", "João")
    assert "Note from" not in firm.told("Dana")
    assert ("note_retired", "Ines") in firm.audit()


async def test_a_note_cannot_become_markup(firm: House) -> None:
    """What is typed is shown as it was typed."""
    await named(firm)
    await firm.says("Marta", "**bold** `how` {fault} <b>x</b>")
    await named(firm, "Dana", "João")
    assert "Note from Marta: **bold** `how` {fault} <b>x</b>" in firm.told("Dana")


async def test_erasing_a_customer_takes_the_notes_of_their_visits(firm: House, tmp_path: Path) -> None:
    """Old visits that are removed leave theirs, with the visit's address overwritten."""
    await named(firm, where=" at 14 hazel lane")
    await firm.says("Marta", f"{NOTE}, as at 14 Hazel Lane")
    store = ReviewStore(tmp_path)
    (customer,) = store.customers("hazel", 5)
    store.close()
    firm.service.store.close()
    again = ReviewStore(tmp_path)
    erase_customer(again, customer.site, None, firm.clock())
    assert again.firm_notes() == ()
    again.close()
    assert b"motor pulley for rust" not in b"".join(f.read_bytes() for f in tmp_path.rglob("*.db*"))


async def test_old_visits_leave_their_notes(firm: House, tmp_path: Path) -> None:
    """The firm's knowledge outlives the visit, without the address in it."""
    await named(firm, where=" at 14 hazel lane")
    await firm.says("Marta", f"{NOTE}, as at 14 Hazel Lane")
    await firm.says("Rui", "stop")
    await firm.says("Rui", "fixed already")
    firm.service.store.close()
    store = ReviewStore(tmp_path)
    erase_older(store, firm.clock() + timedelta(days=1), None, firm.clock())
    (note,) = store.firm_notes()
    store.close()
    assert note.text == f"{NOTE}, as at [erased]"
    with opened(tmp_path, replace(FIRM), clock=firm.clock) as service:
        assert [n.text for n in service.store.firm_notes()] == [note.text]
