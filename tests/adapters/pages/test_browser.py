"""The owner before the pages, in a real browser: without scripts, without requests elsewhere."""

from __future__ import annotations

import zipfile
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.adapters.pages.conftest import Served
from tests.review.folder import LONG, MARKUP

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

PAGES = ("/", "/?q=belt", "/today", "/figures", "/unheard", "/learned",
         "/unheard/wording?family=dryer&phrase=x", "/keeping?customer=lane")


def test_a_whole_round(page: Page, served: Served) -> None:
    """Log in by link, search, open the talk at the hit, follow its trace, mark, note, export, log out."""
    page.get_by_label("Said anywhere").fill("glazzed belt")
    page.get_by_role("button", name="Search").click()
    assert "glazed" in page.locator(".hint").inner_text()
    assert {"glazed", "belt"} <= set(page.locator("mark").all_inner_texts())
    page.get_by_role("link", name="see it in the talk").first.click()
    assert page.url.startswith(f"{served.base}/visits/{served.told.belt}#m-")
    assert "glazed" in page.locator(".line:target").inner_text()
    page.locator(".trace summary").first.click()
    trace = page.locator(".trace").first
    for heading in ("Understood", "How belief moved", "What the planner weighed"):
        assert trace.get_by_role("heading", name=heading).is_visible()
    page.get_by_role("group", name="Mark this visit").get_by_role("button", name="bot was wrong").click()
    pressed = page.get_by_role("group", name="Mark this visit").get_by_role("button", name="bot was wrong")
    assert pressed.get_attribute("aria-pressed") == "true"
    page.get_by_label("A note").fill("ask Rui about the belt")
    page.get_by_role("button", name="Keep note").click()
    assert "ask Rui about the belt" in page.locator("#notes").inner_text()
    page.goto(f"{served.base}/?wrong=1")
    assert page.locator(".visits a").count() == 1
    page.get_by_role("link", name="Export and erase").click()
    with page.expect_download() as waiting:
        page.get_by_role("button", name="Export").click()
    assert "Dana" not in Path(waiting.value.path()).read_text(encoding="utf-8")
    page.get_by_role("button", name="Log out").click()
    page.goto(f"{served.base}/figures")
    assert page.url.endswith("/login")


def test_adding_a_wording_and_taking_it_back(page: Page, served: Served) -> None:
    """From a message that was not understood, over the preview, into the firm's pack and out of it."""
    page.goto(f"{served.base}/unheard/wording?family=top_load_washer&phrase=the+flappy+bit+is+wobblyquux")
    page.get_by_label("What they mean").select_option("complaint:no_fill")
    page.get_by_role("button", name="See what it changes").click()
    assert "1 would be understood otherwise" in page.locator("main").inner_text()
    page.get_by_role("button", name="Add it").click()
    assert "The wording is kept" in page.get_by_role("status").inner_text()
    overlay = served.house.store.folder / "overlay/top_load_washer/wordings.yaml"
    assert "wobblyquux" in overlay.read_text()
    page.get_by_role("button", name="Take back").click()
    assert "taken back" in page.get_by_role("status").inner_text() and not overlay.exists()


def test_a_wording_that_takes_a_meaning_away_asks_once_more(page: Page, served: Served) -> None:
    """The meaning is found by its words; what is lost is said, and the button has another name."""
    page.goto(f"{served.base}/unheard/wording?family=refrigerator&phrase=ice+only+at+the+trough")
    page.get_by_label("Find among").fill("hums, then clicks off")
    page.get_by_role("button", name="Find").click()
    assert page.get_by_label("words that carry").input_value() == "ice only at the trough"
    found = page.get_by_label("What they mean").locator("option").all_inner_texts()
    assert found == ["compressor hums, then clicks off"]
    page.get_by_role("button", name="See what it changes").click()
    said = page.locator("main").inner_text()
    assert "Today these words are understood as: frost on the evaporator: ice only at the trough." in said
    assert "only where the bot asked for it" in said
    assert not page.get_by_role("button", name="Add it").count()
    assert page.get_by_role("link", name="Leave it as it is").is_visible()
    page.get_by_role("button", name="Use it anyway").click()
    assert "The wording is kept" in page.get_by_role("status").inner_text()


def test_the_meanings_stand_under_their_headings(page: Page, served: Served) -> None:
    """What it does first, then what works, then the answers by their check."""
    page.goto(f"{served.base}/unheard/wording?family=dryer&phrase=floppy+bit")
    groups = page.get_by_label("What they mean").locator("optgroup")
    headings = groups.evaluate_all("all => all.map(each => each.label)")
    assert headings[:2] == ["What it does", "What works"] and len(headings) == len(set(headings)) > 10


def test_no_number_of_months_is_told(page: Page, served: Served) -> None:
    """What to write stands beside the field; nothing was changed, and the next try is taken."""
    page.goto(f"{served.base}/keeping")
    page.get_by_label("Months after which").fill("abc")
    page.get_by_role("button", name="Set").click()
    assert "from 0 to 999" in page.get_by_role("alert").inner_text()
    page.get_by_label("Months after which").fill("24")
    page.get_by_role("button", name="Set").click()
    assert "is set" in page.get_by_role("status").inner_text()
    assert page.get_by_label("Months after which").input_value() == "24"


def test_written_conversations_come_as_an_archive(page: Page, served: Served, tmp_path: Path) -> None:
    """A file a visit."""
    page.goto(f"{served.base}/keeping")
    page.get_by_label("written conversations").check()
    with page.expect_download() as waiting:
        page.get_by_role("button", name="Export").click()
    waiting.value.save_as(tmp_path / "visits.zip")
    assert len(zipfile.ZipFile(tmp_path / "visits.zip").namelist()) >= 3


def test_days_the_wrong_way_round_are_named(page: Page, served: Served) -> None:
    """Nothing fits, and why; one day alone, or another filter, is no such mistake."""
    for where in ("/?since=2026-12-01&until=2026-01-01", "/?q=belt&since=2026-12-01&until=2026-01-01"):
        page.goto(f"{served.base}{where}")
        assert "the first day is after the last one" in page.inner_text("main")
    for where in ("/?since=2099-01-01", "/?tech=nobody", "/?q=belt&tech=nobody"):
        page.goto(f"{served.base}{where}")
        assert "first day" not in page.inner_text("main")


def test_what_people_typed_is_inert(page: Page, served: Served) -> None:
    """Markup is shown as it was typed; text that turns stays in its place; a very long one keeps to its fold."""
    told = served.told
    page.goto(f"{served.base}/visits/{told.hostile}")
    page.get_by_label("A note").fill(MARKUP)
    page.get_by_role("button", name="Keep note").click()
    addresses = (f"/visits/{told.hostile}", f"/visits/{told.senior}", "/?q=script", "/?q=left", "/unheard", "/today",
                 "/?q=%3Cscript%3Ealert(1)%3C/script%3E", "/?family=%22%3E%3Cscript%3E",
                 "/keeping?customer=%3Cscript%3E",
                 "/unheard/wording?family=dryer&phrase=%22%3E%3Cscript%3Ealert(3)%3C/script%3E",
                 "/?since=%22%3E%3Cscript%3E&jobs=%22%3E%3Cscript%3E", "/figures?family=%3Cscript%3E&tech=%22%3E")
    for address in addresses:
        page.goto(f"{served.base}{address}")
        assert page.locator("script, img[src=x], iframe, object").count() == 0, address
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), address
    page.goto(f"{served.base}/visits/{told.hostile}")
    assert MARKUP in page.locator("main").inner_text()
    assert LONG.strip() in page.locator("main").text_content()  # type: ignore[operator]
    isolated = "e => getComputedStyle(e).unicodeBidi"
    assert all(page.locator(".typed").nth(n).evaluate(isolated) == "isolate" for n in range(5))


def test_an_erased_customer_is_gone_from_the_pages(page: Page, served: Served) -> None:
    """Looked for, asked once more, and not found again."""
    store = served.house.store
    store._write(lambda conn: conn.execute("INSERT INTO sites VALUES ('5a', '3 weir street', '3 Weir Street')"))
    store._write(lambda conn: conn.execute("UPDATE jobs SET site = '5a' WHERE id = ?", (served.told.belt,)))
    page.goto(f"{served.base}/keeping?customer=weir")
    page.get_by_role("link", name="3 Weir Street").click()
    page.get_by_label("Remove all of it").check()
    page.get_by_role("button", name="Erase").click()
    assert "nothing of it is left" in page.get_by_role("status").inner_text()
    assert page.request.get(f"{served.base}/visits/{served.told.belt}").status == 404


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [390, 1200])
def test_everybody_can_use_them(page: Page, served: Served, chromium: Browser, scheme: str, width: int) -> None:
    """No finding of axe's at all, no sideways scrolling, at phone and desktop width, in light and dark."""
    from axe_playwright_python.sync_playwright import Axe  # noqa: PLC0415

    context = chromium.new_context(viewport={"width": width, "height": 800}, color_scheme=scheme,  # type: ignore[arg-type]
                                   storage_state=page.context.storage_state())
    look = context.new_page()
    for address in (*PAGES, f"/visits/{served.told.belt}", f"/visits/{served.told.hostile}", "/visits/0", "/login"):
        look.goto(f"{served.base}{address}")
        for fold in look.locator("details:not([open]) > summary").all():
            if fold.is_visible():
                fold.click()
        found = Axe().run(look).response["violations"]
        assert [(each["id"], [node["html"] for node in each["nodes"]][:2]) for each in found] == [], address
        assert look.evaluate("document.documentElement.scrollWidth <= innerWidth"), address
    context.close()


def test_the_keyboard_reaches_everything(page: Page, served: Served) -> None:
    """The first stop leads past the navigation; a fold opens by Enter; what has the focus can be seen."""
    page.goto(f"{served.base}/visits/{served.told.belt}")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "To the content"
    page.keyboard.press("Enter")
    summary = page.locator(".trace summary").first
    for _ in range(60):
        page.keyboard.press("Tab")
        if summary.evaluate("e => e === document.activeElement"):
            break
    assert summary.evaluate("e => getComputedStyle(e).outlineStyle") == "solid"
    page.keyboard.press("Enter")
    assert page.locator(".trace").first.get_attribute("open") is not None


def test_a_visit_can_be_printed(page: Page, served: Served) -> None:
    """Only the talk is on paper: no navigation, no forms."""
    page.goto(f"{served.base}/visits/{served.told.belt}")
    page.emulate_media(media="print")
    assert not page.locator(".top").is_visible() and not page.locator(".newnote").is_visible()
    assert page.locator(".line").first.is_visible()
