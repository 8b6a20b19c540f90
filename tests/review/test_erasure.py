"""Erasing a customer: nothing of it can be found in any byte of the folder, and everybody else's is there."""

from __future__ import annotations

import asyncio
from datetime import timedelta
from pathlib import Path

import pytest

from adapters.demo.fill import Clock, Silent
from adapters.demo.places import plate_photo
from adapters.terminal.seats import FIRM
from bot.review import erasure
from bot.service.opening import opened
from bot.store.erasing import pattern_of
from bot.store.errors import RefusedError
from bot.store.review import ReviewStore
from bot.store.review_rows import Filter
from tests.review.folder import NOON, Random, Telling

SECRETS = ("Quibbleworth", "555 867 1234", "grandmother's parrot", "zzyxplate")
TYPED = "dryer runs no heat, mrs Quibbleworth, 555 867 1234, her grandmother's parrot is here"
KEPT = ("pangolinesque", "9 Weir Street")


async def _two_customers(folder: Path) -> str:
    clock = Clock(NOON)
    with opened(folder, FIRM, clock=clock, deliveries=[Silent()]) as service:
        at = Telling(service, clock)
        at.sit("junior", "Rui")
        await at.typed("Rui", "toploader wont spin, pangolinesque noise")
        at_site = at.job("Rui").id
        await at.typed("Rui", "new")
        await at.typed("Rui", TYPED)
        photo = await at.photo("Rui", plate_photo("dryer", Random(9)), "zzyxplate")
        target = at.job("Rui").id
        # The visit gets its address, as at an ending: the talk to get there is long.
        run = service.store._writer.run  # type: ignore[attr-defined]
        run(lambda conn: conn.execute("UPDATE jobs SET label = 'dryer, 7 Quibbleworth Lane' WHERE id = ?", (target,)))
        await at.typed("Rui", "jobs")  # a list that names the address, and belongs to no visit
        await at.typed("Rui", "1")
        for key, name, job in (("51", "7 Quibbleworth Lane", target), ("52", "9 Weir Street", at_site)):
            row = (key, name.lower(), name)
            run(lambda conn, row=row: conn.execute("INSERT INTO sites VALUES (?, ?, ?)", row))
            run(lambda conn, key=key, job=job: conn.execute("UPDATE jobs SET site = ? WHERE id = ?", (key, job)))
    (folder / "typed-rui").write_text(
        f"\n# 2031\n+{TYPED}\n+pangolinesque\n")
    (folder / "chargehand.log").write_text("WARNING 7 quibbleworth  LANE refused\nWARNING something else\n")
    return photo


def bytes_of(folder: Path) -> dict[Path, bytes]:
    """Every file with its bytes."""
    return {file: file.read_bytes() for file in folder.rglob("*") if file.is_file()}


def holds(folder: Path, word: str) -> list[Path]:
    """The files that hold a word, in any case."""
    return [file for file, content in bytes_of(folder).items() if word.lower().encode() in content.lower()]


def test_nothing_of_an_erased_customer_is_left_in_any_byte(tmp_path: Path) -> None:
    """Words, name, phone, photo, history and log: all were there, none is; the other customer's are."""
    photo = asyncio.run(_two_customers(tmp_path))
    for word in (*SECRETS, *KEPT):
        assert holds(tmp_path, word), f"{word} was never stored: the test would prove nothing"
    assert any(photo in str(file) for file in bytes_of(tmp_path))
    store = ReviewStore(tmp_path)
    found = store.customers("quibbleworth", 5)
    assert [customer.name for customer in found] == ["7 Quibbleworth Lane"]
    removal = erasure.erase_customer(store, found[0].site, None, NOON)
    assert removal.clean
    assert (removal.erased.jobs, removal.erased.photos) == (1, (photo,))
    assert removal.erased.scrubbed > 0
    for word in SECRETS:
        assert holds(tmp_path, word) == []
    assert not any(photo in str(file) for file in bytes_of(tmp_path))
    for word in KEPT:
        assert holds(tmp_path, word)
    assert store.customers("weir", 5)
    with pytest.raises(RefusedError):
        erasure.erase_customer(store, found[0].site, None, NOON)
    store.close()
    assert not holds(tmp_path, "quibbleworth")


def test_what_is_older_than_the_firm_keeps_it_goes(store: ReviewStore, tmp_path: Path) -> None:
    """Nothing is removed before its time, everything after it, and nothing at all if the firm keeps it for good."""
    assert erasure.run_retention(store, NOON + timedelta(days=4000)) is None
    erasure.set_keep_months(store, 3, None, NOON)
    early = erasure.run_retention(store, NOON + timedelta(days=80))
    assert early is not None and early.erased.jobs == 0
    assert holds(store.folder, "wobblyquux")
    late = erasure.run_retention(store, NOON + timedelta(days=100))
    assert late is not None and late.erased.jobs > 2 and late.clean
    assert store.visits(Filter(), 5) == ()
    assert holds(store.folder, "wobblyquux") == []


def test_a_service_goes_on_after_an_erasure(tmp_path: Path) -> None:
    """The chat whose visit was erased opens a new one with the next message."""
    asyncio.run(_two_customers(tmp_path))
    store = ReviewStore(tmp_path)
    erasure.erase_customer(store, "51", None, NOON)
    store.close()

    async def go_on() -> str:
        clock = Clock(NOON + timedelta(hours=1))
        with opened(tmp_path, FIRM, clock=clock, deliveries=[Silent()]) as service:
            at = Telling(service, clock)
            at.sit("junior", "Rui")
            await at.typed("Rui", "new", "dishwasher leaks at the door")
            return str(at.job("Rui").family)

    assert asyncio.run(go_on()) == "dishwasher"


@pytest.mark.parametrize("text", [
    "14 hazel lane", "14  HAZEL\nLane", '{"label":"dryer, 14 Hazel Lane"}', "14\\nHazel Lane"])
def test_names_are_found_however_they_stand(text: str) -> None:
    """In any case and spacing, in plain text and in JSON."""
    pattern = pattern_of("14 Hazel Lane")
    assert pattern is not None and pattern.search(text)


def test_names_are_not_found_in_other_words() -> None:
    """'4 Hazel Lane' does not stand in '14 Hazel Lane', and what is too short is not looked for."""
    pattern = pattern_of("4 Hazel Lane")
    assert pattern is not None and not pattern.search("14 Hazel Lane")
    assert pattern_of("12") is None


def test_months_are_counted_by_the_calendar() -> None:
    """A month before the 31st is the last day of a shorter month; twelve are a year."""
    day = NOON.replace(month=3, day=31)
    assert erasure.months_before(day, 1).isoformat()[:10] == "2031-02-28"
    assert erasure.months_before(day, 12).isoformat()[:10] == "2030-03-31"
    assert erasure.months_before(day, 3).isoformat()[:10] == "2030-12-31"
