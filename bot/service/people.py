"""Who belongs to the crew: inviting, redeeming, listing, removing, signing off. Every act is in the audit log."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from hashlib import sha256
from secrets import choice, token_hex
from typing import Final, TypeVar, get_args

from bot.conversation.context import Person, Role, Signoff
from bot.conversation.effects import Audit
from bot.store.errors import RefusedError
from bot.store.protocol import People
from bot.store.rows import Met

T = TypeVar("T", bound=str)
_LETTERS: Final = "ABCDEFGHJKLMNPQRSTUVWXYZ23456789"
"""32 characters, none that is easily taken for another (no I, O, 0, 1)."""
_GROUPS: Final = 3
VALID: Final = timedelta(days=7)
ROLES: Final[tuple[Role, ...]] = get_args(Role)
SIGNOFFS: Final[tuple[Signoff, ...]] = get_args(Signoff)


def invite(store: People, role: str, name: str, now: datetime, *, valid: timedelta = VALID) -> str:
    """A one-time code for someone new, 60 bits of chance. Only its hash is kept. Raises RefusedError."""
    as_role = _one_of(role, ROLES, "role")
    code = "-".join("".join(choice(_LETTERS) for _ in range(4)) for _ in range(_GROUPS))
    audit = Audit(what="invited", data={"role": as_role})
    store.invite(code_hash(code), as_role, _name(name) if name else "", now, valid, audit)
    return code


def redeem(store: People, code: str, platform: str, account: str, user: str, name: str, now: datetime, *,
           language: str = "en", timezone: str = "UTC") -> Person:
    """Make a stranger with a code one of the crew, under `name` if the invitation has none. Raises RefusedError."""
    new = Person(token_hex(10), _name(name) if name.strip() else "new", language=language, timezone=timezone)
    return store.redeem(code_hash(code), new, (platform, account, user), now)


def looks_like_code(text: str) -> bool:
    """Whether a stranger's message may be a code: worth trying, instead of a plain refusal."""
    letters = _letters(text)
    return len(letters) == 4 * _GROUPS and all(letter in _LETTERS for letter in letters)


def remove(store: People, person: str, now: datetime) -> Person:
    """Shut someone out. Raises RefusedError if there is nobody of that id."""
    found = _known(store, person)
    store.remove_person(person, now, Audit(what="removed", data={"person": person}))
    return found


def sign_off(store: People, person: str, what: str, now: datetime, *, revoke: bool = False) -> Person:
    """Grant or take back a sign-off. Raises RefusedError if there is no such person or sign-off."""
    _known(store, person)
    as_signoff = _one_of(what, SIGNOFFS, "sign-off")
    act = "signoff_revoked" if revoke else "signed_off"
    store.sign_off(person, as_signoff, now, Audit(what=act, data={"person": person, "what": as_signoff}), revoke=revoke)
    return store.crew()[person]


def set_duty(store: People, person: str, now: datetime, *, on_duty: bool) -> Person:
    """Note that someone is on duty, or off."""
    changed = replace(_known(store, person), on_duty=on_duty)
    store.update_person(changed, now, Audit(what="duty", data={"person": person, "on_duty": on_duty}))
    return changed


def seat(store: People, platform: str, account: str, user: str, role: str, name: str, now: datetime) -> Met:
    """The person at a seat of this machine (a terminal), made when new, with their conversation there."""
    met = store.meet(platform, account, user, user, now)
    if met is None:
        new = Person(token_hex(10), _name(name), _one_of(role, ROLES, "role"))
        store.add_person(new, now, Audit(what="seated", data={"person": new.id, "role": new.role}))
        store.enrol(new.id, platform, account, user, now)
        met = store.meet(platform, account, user, user, now)
    if met is None:
        raise RefusedError(f"the seat '{user}' could not be taken: try again")
    return met


def code_hash(code: str) -> str:
    """What is kept of a code. Case, spaces and dashes do not matter."""
    return sha256(f"invite:{_letters(code)}".encode()).hexdigest()


def _letters(code: str) -> str:
    return "".join(c for c in code.upper() if c.isalnum())


def _known(store: People, person: str) -> Person:
    found = store.crew().get(person)
    if found is None:
        raise RefusedError(f"no person '{person}': `chargehand people list` shows the ids")
    return found


def _name(name: str) -> str:
    tidy = " ".join("".join(c for c in name if c.isprintable()).split())[:60]
    if not tidy:
        raise RefusedError("a name needs at least one letter")
    return tidy


def _one_of(value: str, known: tuple[T, ...], what: str) -> T:
    for one in known:
        if one == value:
            return one
    raise RefusedError(f"no {what} '{value}': write {', '.join(known[:-1])} or {known[-1]}")
