"""Who may look: one-time login keys and the sessions that they open.

A key is 256 bits of chance and only its hash is kept. It is good once, for ten minutes. A session ends after twelve
hours, at logging out, or when its person leaves the crew.
"""

from __future__ import annotations

import hmac
from dataclasses import dataclass
from datetime import datetime, timedelta
from hashlib import sha256
from secrets import token_urlsafe
from typing import Final

from bot.conversation.effects import Audit
from bot.conversation.firm import Role
from bot.store.errors import RefusedError
from bot.store.review import ReviewStore

LOGIN_VALID: Final = timedelta(minutes=10)
SESSION_VALID: Final = timedelta(hours=12)


@dataclass(frozen=True, slots=True)
class Visitor:
    """Who is logged in. `person` None: whoever opened the folder at its machine, as owner."""

    person: str | None
    name: str
    role: Role

    @property
    def owner(self) -> bool:
        """Whether everything is theirs to see and change."""
        return self.role == "owner"

    @property
    def seen_by(self) -> str | None:
        """The restriction on visits: none for the owner, their own for a senior."""
        return None if self.owner else self.person


def new_login(store: ReviewStore, person: str | None, now: datetime, *, valid: timedelta = LOGIN_VALID) -> str:
    """A one-time key for this person (None: the owner at the machine). Raises RefusedError for who has no pages."""
    if person is not None:
        known = store.crew().get(person)
        if known is None or known.role == "junior":
            raise RefusedError("the pages are for owners and seniors of the crew")
    key = token_urlsafe(32)
    store.add_login(_hash("login", key), person, now, now + valid)
    store.note_act(Audit(what="pages_login_made", data={"person": person}), person, now)
    return key


def log_in(store: ReviewStore, key: str, now: datetime) -> str | None:
    """The session's key, for a login key that still holds; None otherwise."""
    session = token_urlsafe(32)
    good = store.use_login(_hash("login", key), _hash("session", session), now, now + SESSION_VALID)
    return session if good else None


def visitor(store: ReviewStore, session: str, now: datetime) -> Visitor | None:
    """Who holds this session's key; None if it is not, or no longer, one."""
    found = store.session(_hash("session", session), now)
    if found is None:
        return None
    if found.person is None:
        return Visitor(None, "Owner", "owner")
    person = store.crew().get(found.person)
    if person is None or person.role == "junior":
        return None
    return Visitor(person.id, person.name, person.role)


def log_out(store: ReviewStore, session: str) -> None:
    """The session ends."""
    store.end_session(_hash("session", session))


def form_token(session: str) -> str:
    """What a form of this session must bring along, so that no other site can send it."""
    return hmac.new(session.encode(), b"form", sha256).hexdigest()


def _hash(what: str, key: str) -> str:
    return sha256(f"{what}:{key}".encode()).hexdigest()
