"""Who belongs to the crew: inviting, redeeming, listing, removing, signing off. Every act is in the audit log."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from secrets import token_bytes, token_hex
from typing import Final, TypeVar, get_args

from bot.conversation.crew.codes import GROUPS, code_from, code_hash, looks_like_code
from bot.conversation.crew.duty import read_hours
from bot.conversation.effects import Audit, Invite, SetDuty
from bot.conversation.firm import Person, Role, Signoff
from bot.store.errors import RefusedError
from bot.store.people import VALID
from bot.store.protocol import People
from bot.store.rows import Met

T = TypeVar("T", bound=str)
__all__ = ["SIGNOFFS", "VALID", "invite", "link", "looks_like_code", "redeem", "remove", "seat", "set_duty",
           "set_reach", "sign_off"]
ROLES: Final[tuple[Role, ...]] = get_args(Role)
SIGNOFFS: Final[tuple[Signoff, ...]] = get_args(Signoff)


def invite(store: People, role: str, name: str, now: datetime, *, valid: timedelta = VALID) -> str:
    """A one-time code for someone new, 60 bits of chance. Only its hash is kept. Raises RefusedError."""
    as_role = _one_of(role, ROLES, "role")
    code = code_from(token_bytes(4 * GROUPS))
    invitation = Invite(code_hash=code_hash(code), role=as_role, name=_name(name) if name else "")
    store.invite(invitation, now, valid, Audit(what="invited", data={"role": as_role}))
    return code


def link(store: People, person: str, now: datetime, *, valid: timedelta = VALID) -> str:
    """A one-time code with which somebody of the crew adds an account: they send it from there. Raises RefusedError."""
    known = _known(store, person)
    code = code_from(token_bytes(4 * GROUPS))
    invitation = Invite(code_hash=code_hash(code), role=known.role, name=known.name, person=person)
    store.invite(invitation, now, valid, Audit(what="link_offered", data={"person": person}))
    return code


def redeem(store: People, code: str, platform: str, account: str, user: str, name: str, now: datetime, *,
           language: str = "en", timezone: str = "UTC") -> Person:
    """Make a stranger with a code one of the crew, under `name` if the invitation has none. Raises RefusedError.

    A code of `link` makes the account one more of its person's.
    """
    new = Person(token_hex(10), _name(name) if name.strip() else "new", language=language, timezone=timezone)
    return store.redeem(code_hash(code), new, (platform, account, user), now)


def uninvite(store: People, name: str, now: datetime) -> int:
    """Void the codes that wait for somebody of this name; how many there were."""
    return store.uninvite(name, now, Audit(what="uninvited", data={}))


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


def set_duty(store: People, person: str, now: datetime, *, on_duty: bool | None = None, hours: str | None = None,
             off_until: datetime | None = None) -> Person:
    """Note that someone is on duty or off, until an instant or for good, or their hours. Raises RefusedError.

    `hours` as typed ('mon-fri 7-17'), empty for none; what is None stays, but a word on duty ends what was said before.
    """
    known = _known(store, person)
    as_hours = known.hours if hours is None else read_hours(hours) if hours.strip() else ""
    if as_hours is None:
        raise RefusedError(f"'{hours}' are no hours: write them such as 'mon-fri 7-17, sat 8-12'")
    changed = replace(known, on_duty=known.on_duty if on_duty is None else on_duty, hours=as_hours,
                      off_until=off_until, on_until=None)
    duty = SetDuty(person=person, on_duty=changed.on_duty, hours=changed.hours, off_until=off_until, on_until=None)
    store.set_duty(duty, now, Audit(what="duty", data={"person": person, "on_duty": changed.on_duty,
                                                       "hours": changed.hours, "off_until": off_until}))
    return changed


def set_reach(store: People, person: str, now: datetime, *, timezone: str | None = None, phone: str | None = None
              ) -> Person:
    """Change someone's time zone or phone. Raises RefusedError."""
    known = _known(store, person)
    changed = replace(known, timezone=known.timezone if timezone is None else timezone,
                      phone=known.phone if phone is None else phone)
    store.update_person(changed, now, Audit(what="reach", data={"person": person, "timezone": changed.timezone}))
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
