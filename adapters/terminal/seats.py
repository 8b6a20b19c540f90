"""Who sits at the terminal: someone of the crew, with a conversation of their own.

A data folder without anybody gets the crew of an invented firm. Whoever can open the folder can sit down in any
seat: the folder's permissions are the lock.
"""

from __future__ import annotations

import time
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from adapters.terminal.example import CREW, FIRM_NAME
from bot.conversation.firm import Firm, Person
from bot.service.people import seat, sign_off
from bot.store.errors import RefusedError
from bot.store.protocol import People
from bot.store.rows import Member, Outlet

PLATFORM: Final = "terminal"
ACCOUNT: Final = "local"
FIRM: Final = Firm(name=FIRM_NAME)
PATIENCE, A_MOMENT = 30, 0.1
"""How often it is looked again, and after how many seconds, whether all of the example's crew are there."""


@dataclass(frozen=True, slots=True)
class Seat:
    """Who sits here, and which conversation is theirs."""

    person: Person
    conversation: str

    @property
    def outlet(self) -> Outlet:
        """Only this seat's messages: another terminal may be open on the same folder."""
        return Outlet(PLATFORM, ACCOUNT, self.conversation)


def take_seat(store: People, role: str | None, name: str | None, now: datetime) -> Seat:
    """Sit down as `name`, or as the first of the crew in that role (a junior, if nothing is said).

    Raises RefusedError, which says who is there.
    """
    if not store.members():
        for each, as_role, signoffs in CREW:
            met = seat(store, PLATFORM, ACCOUNT, each.casefold(), as_role, each, now)
            for what in signoffs:
                sign_off(store, met.person, what, now)
    members = store.members()
    member = _member(members, role, name)
    for _ in range(PATIENCE):
        if member is not None or not _is_beginning(members):
            break
        time.sleep(A_MOMENT)  # another terminal begins this folder just now, and seats them one by one
        members = store.members()
        member = _member(members, role, name)
    if member is not None:
        user = next((u for p, a, u in member.identities if (p, a) == (PLATFORM, ACCOUNT)), None)
        if user is None:
            user = member.person.id
            store.enrol(member.person.id, PLATFORM, ACCOUNT, user, now)
    elif name is not None and _is_example(members):
        user = name.casefold()
    else:
        there = ", ".join(f"{m.person.name} ({m.person.role})" for m in members)
        raise RefusedError(f"nobody of this crew is {name or f'a {role}'}; there are {there}."
                           " `chargehand people invite` brings in someone new")
    met = seat(store, PLATFORM, ACCOUNT, user, role or "junior", name or "", now)
    return Seat(store.crew()[met.person], met.conversation)


def _is_beginning(members: tuple[Member, ...]) -> bool:
    """Whether these are some of the example's crew, in its order, and nobody else."""
    names = [each for each, _, _ in CREW]
    return 0 < len(members) < len(names) and {m.person.name for m in members} == set(names[:len(members)])


def _member(members: tuple[Member, ...], role: str | None, name: str | None) -> Member | None:
    if name is None:
        fitting = [m for m in members if m.person.role == (role or "junior")]
        names = [each for each, _, _ in CREW]
        fitting.sort(key=lambda m: names.index(m.person.name) if m.person.name in names else len(names))
        return fitting[0] if fitting else None
    found = next((m for m in members if m.person.name.casefold() == name.strip().casefold()), None)
    if found is not None and role not in (None, found.person.role):
        raise RefusedError(f"{found.person.name} is a {found.person.role} here: write --as {found.person.role}")
    return found


def _is_example(members: tuple[Member, ...]) -> bool:
    """Whether this folder was begun by a terminal: then a new name is a new person."""
    return {each for each, _, _ in CREW} <= {m.person.name for m in members}
