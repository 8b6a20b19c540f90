"""Notes for the next tech, on the owner's page: read as they were typed, and retired."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.conversation.effects import KeepNote
from bot.store.firm_notes import keep
from tests.adapters.pages.conftest import Served

if TYPE_CHECKING:
    from playwright.sync_api import Page

NOTE = "rust on the pulley <b>eats</b> belts"


def test_a_note_is_retired_by_a_button(page: Page, served: Served) -> None:
    """It is gone from the page and from findings, and the act is in the audit log."""
    store = served.house.store
    marta = next(p.id for p in store.crew().values() if p.name == "Marta")
    note = KeepNote(id="n", job=served.told.belt, family="top_load_washer", fault="drive_belt.worn", text=NOTE,
                    person=marta)
    store._write(lambda conn: keep(conn, note, served.house.clock()))
    page.goto(f"{served.base}/unheard")
    kept = page.locator("section", has=page.get_by_role("heading", name="Notes for the next tech"))
    assert NOTE in kept.inner_text()
    assert "worn drive belt, top-load washer, from Marta" in kept.inner_text()
    kept.get_by_role("button", name="Retire").click()
    assert "no longer shown" in page.get_by_role("status").inner_text()
    assert NOTE not in page.locator("main").inner_text()
    assert store.firm_notes() == ()
    with store._readers.reading() as conn:
        assert conn.execute("SELECT what FROM audit ORDER BY seq DESC LIMIT 1").fetchone() == ("note_retired",)
