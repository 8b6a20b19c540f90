"""What was learned, on the owner's page: seen, applied, undone."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

import pytest

from bot.followup.gate import LEAST
from tests.adapters.pages.conftest import Served
from tests.review.confirmed import confirm, handed_off

if TYPE_CHECKING:
    from playwright.sync_api import Page

FAMILY = "refrigerator"
WORDS = ("mice chewed the <b>damper</b> wire", "<b>damper</b> wire chewed by mice", "chewed <b>damper</b> wire, mice")


@pytest.fixture
def learned(served: Served) -> str:
    """A firm whose refrigerators have stuck dampers all the time; the fault's name."""
    pack = served.house.today().knowledge.packs[FAMILY]
    rui = next(p.id for p in served.house.store.crew().values() if p.name == "Rui")
    release = "0" * 32
    fault = next(f for f, entry in pack.faults.items() if entry.trade is None and f != "usage.normal")
    now = served.house.clock()
    confirm(served.house.store.folder, pack, [fault] * LEAST, now - timedelta(days=31), rui, release)
    handed_off(served.house.store.folder, pack, WORDS, now - timedelta(days=2), rui, release)
    return str(pack.faults[fault].name)


def test_seen_applied_and_undone(page: Page, served: Served, learned: str) -> None:
    """The gate is open, the button puts it in force, another undoes it; each act is in the audit log."""
    page.goto(f"{served.base}/figures")
    page.get_by_role("link", name="Learned").click()
    row = page.locator("tbody tr").first
    assert row.get_by_role("rowheader").inner_text() == learned
    pack, in_force, visits, share = (float(cell.split()[0]) for cell in row.get_by_role("cell").all_inner_texts())
    assert pack == in_force < share and LEAST * 0.9 < visits <= LEAST
    assert WORDS[0] in page.locator(".wordings").inner_text()  # as it was typed
    page.get_by_role("button", name="Apply").click()
    assert "It is in force" in page.get_by_role("status").inner_text()
    assert "Nothing is ready" in page.locator("main").inner_text()
    assert float(page.locator("tbody tr").first.get_by_role("cell").nth(1).inner_text().split()[0]) == share
    page.get_by_role("button", name="Undo").click()
    assert "It is undone" in page.get_by_role("status").inner_text()
    assert page.get_by_role("button", name="Apply").is_visible()
    with served.house.store._readers.reading() as conn:
        acts = [what for (what,) in conn.execute("SELECT what FROM audit WHERE what LIKE 'learning%' ORDER BY seq")]
    assert acts == ["learning_applied", "learning_undone"]


def test_easy_to_use(page: Page, served: Served, learned: str) -> None:
    """No finding of axe's, and nothing to scroll sideways for on a phone."""
    from axe_playwright_python.sync_playwright import Axe  # noqa: PLC0415

    page.set_viewport_size({"width": 360, "height": 800})
    page.goto(f"{served.base}/learned")
    page.locator("summary").first.click()
    assert [each["id"] for each in Axe().run(page).response["violations"]] == []
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_what_changed_meanwhile_is_looked_at_again(page: Page, served: Served, learned: str) -> None:
    """Applied is what was on the page; undone is what was in force on it; switched off, nothing is applied."""
    page.goto(f"{served.base}/learned")
    token = page.locator("[name=token]").first.get_attribute("value") or ""
    for address, form, why in (("apply", {"seen": "x"}, "look at it again"), ("undo", {"number": "7"}, "no longer"),
                               ("undo", {"number": "seven"}, "no longer")):
        answer = page.request.post(f"{served.base}/learned/{address}", form={"token": token, **form})
        assert answer.status == 400 and why in answer.text()
    served.house.learning = False
    page.goto(f"{served.base}/learned")
    assert "switched off" in page.locator("main").inner_text()
    assert page.get_by_role("button", name="Apply").is_disabled()
