"""The pages beside the chats: links on request, lists in the morning, each once."""

from __future__ import annotations

import asyncio
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from pathlib import Path

from adapters.demo.fill import Clock
from adapters.pages.beside import links, lists
from adapters.pages.house import House
from adapters.terminal.seats import FIRM
from bot.conversation.markup import plain
from bot.review.access import log_in, visitor
from bot.service.opening import opened
from bot.store.rows import Outgoing, Outlet
from tests.review.folder import NOON, Telling, Told
from tests.service.crew import Screen


def test_who_asks_for_the_pages_gets_a_link_and_a_junior_does_not(told_pages: tuple[Path, Told],
                                                                  tmp_path: Path) -> None:
    """The owner's chat holds a link that logs them in; a junior's word goes to the talk as any other."""
    folder = _copied(told_pages[0], tmp_path)
    clock = Clock(NOON + timedelta(hours=2))
    screen = Screen(Outlet("terminal", "local"))

    async def ask() -> None:
        with opened(folder, FIRM, clock=clock, deliveries=[screen]) as service:
            at = Telling(service, clock)
            at.sit("owner", "Ines"), at.sit("junior", "Rui")
            service.aside = links(house, "https://pages.example")
            await at.typed("Ines", " Pages ")
            await at.typed("Rui", "pages")

    house = House(folder, FIRM, clock=clock)
    with ThreadPoolExecutor(1) as pool:
        pool.submit(lambda: asyncio.run(ask())).result()
    sent = [row for row in screen.rows if "https://pages.example/login?key=" in _words(row)]
    assert len(sent) == 1
    key = _words(sent[0]).partition("key=")[2].splitlines()[0]
    session = log_in(house.store, key, clock())
    assert session is not None
    ines = visitor(house.store, session, clock())
    assert ines is not None and (ines.name, ines.role) == ("Ines", "owner")
    house.close()


def test_the_morning_lists_go_out_in_the_morning_to_whom_they_concern(told_pages: tuple[Path, Told],
                                                                      tmp_path: Path) -> None:
    """The owner's and the senior's, with the same id all morning and another the next day; none at night."""
    house = House(_copied(told_pages[0], tmp_path), FIRM)
    names = house.store.names()
    morning = NOON.replace(hour=8) + timedelta(days=1)
    out = list(lists(house, morning))
    assert {names[each.say.to] for each in out} == {"Ines", "Marta"}
    assert {each.say.id for each in lists(house, morning + timedelta(hours=2))} == {each.say.id for each in out}
    assert not {each.say.id for each in lists(house, morning + timedelta(days=1))} & {each.say.id for each in out}
    assert list(lists(house, morning.replace(hour=3))) == []
    house.close()


def test_a_message_of_our_own_is_queued_once(told_pages: tuple[Path, Told], tmp_path: Path) -> None:
    """However often the program is started on that day."""
    folder = _copied(told_pages[0], tmp_path)
    house = House(folder, FIRM)
    message = next(iter(lists(house, NOON.replace(hour=8) + timedelta(days=1))))
    with opened(folder, FIRM) as service:
        assert [service.store.tell(message, NOON) for _ in range(2)] == [True, False]
    house.close()


def _words(row: Outgoing) -> str:
    return "\n".join(map(plain, row.paragraphs))


def _copied(folder: Path, tmp_path: Path) -> Path:
    import shutil  # noqa: PLC0415

    return Path(shutil.copytree(folder, tmp_path / "data"))
