"""The pages beside the chats: the link that an owner or senior asks for, and the lists that come by themselves.

Whoever writes `pages` gets a link that lets them in once. In the morning owners and seniors on duty get what waits for
them, if anything does, and owners the week on Mondays. Each list has an id made of its day, so that it goes out once
however often the program is started.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable, Iterable
from datetime import datetime
from typing import Final

from adapters.pages.house import House
from bot.conversation.crew.duty import is_on
from bot.conversation.effects import Say, Text
from bot.conversation.events import Event, Typed
from bot.conversation.firm import Person
from bot.conversation.ids import derive
from bot.conversation.markup import Span
from bot.review.access import LOGIN_VALID, new_login
from bot.review.daily import morning, weekly
from bot.service.service import Service
from bot.store.errors import StoreError
from bot.store.rows import Rendered

log = logging.getLogger(__name__)

WORDS: Final = ("pages", "/pages", "log in", "login")
FROM: Final = 7
"""The hour, in the firm's time, from which the lists go out; after UNTIL they wait for the next day."""
UNTIL: Final = 11
MONDAY: Final = 0
LOOK: Final = 300.0


def links(house: House, base: str) -> Callable[[Event], Rendered | None]:
    """Answers `pages` of an owner or senior with a link; leaves everything else alone."""
    def answer(event: Event) -> Rendered | None:
        if not isinstance(event, Typed) or event.text.strip().lower() not in WORDS:
            return None
        person = house.store.crew().get(event.person)
        if person is None or person.role == "junior":
            return None
        key = new_login(house.store, person.id, house.clock())
        minutes = LOGIN_VALID.seconds // 60
        lines = (f"{base}/login?key={key}", f"Lets you in once, within {minutes} minutes.")
        return _message(derive("pages", event.id), person.id, lines, event.conversation)

    return answer


def lists(house: House, now: datetime) -> Iterable[Rendered]:
    """What goes out now: nothing outside the morning hours."""
    local = now.astimezone(house.zone)
    if not FROM <= local.hour < UNTIL:
        return
    for person in house.store.crew().values():
        if person.role != "junior" and is_on(person, now, house.firm):
            yield from _of(house, person, now, local)


def _of(house: House, person: Person, now: datetime, local: datetime) -> Iterable[Rendered]:
    owner = person.role == "owner"
    text = morning(house.store, house.today(), now, seen_by=None if owner else person.id)
    if text is not None:
        yield _message(derive("morning", person.id, local.date().isoformat()), person.id, text.splitlines())
    if owner and local.weekday() == MONDAY:
        week = weekly(house.store, house.today(), now)
        yield _message(derive("weekly", person.id, local.date().isoformat()), person.id, week.splitlines())


async def send_lists(house: House, service: Service) -> None:
    """Look every few minutes whether a list is due, until cancelled."""
    while True:
        try:
            for message in await asyncio.to_thread(lambda: list(lists(house, house.clock()))):
                await service.tell(message)
        except StoreError as error:
            log.warning("the morning's lists wait: %s", error)
        await asyncio.sleep(LOOK)


def _message(key: str, to: str, lines: Iterable[str], conversation: str | None = None) -> Rendered:
    texts = tuple(lines)
    say = Say(id=key, to=to, texts=tuple(Text("raw", {"text": line}) for line in texts), conversation=conversation,
              forget=conversation is not None)
    return Rendered(say, tuple((Span(line),) for line in texts))
