"""What the rest of the program may ask of a store.

Every method is one transaction, may be called from any thread, and returns when what it wrote is on disk. Work is
claimed under leases in the name of an owner (one a process), and what may have moved on meanwhile carries a version
that is compared at the commit. So several processes can share a store, and another database can take this one's
place. All instants are UTC. Errors are those of `bot.store.errors`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from pathlib import Path
from typing import Protocol

from bot.conversation.effects import Audit, Invite, SetDuty
from bot.conversation.events import Event, PhotoSeen
from bot.conversation.firm import FirmNote, Person, Signoff
from bot.conversation.job import Job
from bot.store.rows import (
    Accepted,
    Arrival,
    Backlog,
    Choices,
    Claimed,
    Commit,
    Hit,
    Member,
    Met,
    Open,
    Outgoing,
    Outlet,
    Parked,
    Rendered,
    View,
)
from bot.store.rows import Invite as Waiting


class Intake(Protocol):
    """Events in, what they change out."""

    def accept(self, event: Event, now: datetime, platform_ids: Sequence[str] = (), *, claim: bool = False) -> Accepted:
        """Keep an event unless it was seen before. With `claim`, take it to work on if its turn has come."""

    def claim_events(self, now: datetime, limit: int) -> tuple[Claimed, ...]:
        """Take up to `limit` events, each the oldest of its conversation and in nobody's hands."""

    def view(self, event: Event) -> View:
        """What routing this event looks at."""

    def job(self, job_id: str) -> Job | None:
        """A job as last committed."""

    def commit(self, commit: Commit) -> Claimed | None:
        """Write all that an event changes. Raises ConflictError or LeaseLostError, and writes nothing, if late."""

    def fail(self, claimed: Claimed, failure: str, now: datetime, tell: Rendered | None = None) -> Claimed | None:
        """Note a failure: the event to try again, or None once it is parked (`tell` then goes out)."""

    def release_event(self, claimed: Claimed) -> None:
        """Give an event back unworked."""

    def fire_timers(self, now: datetime, limit: int = 100) -> int:
        """Turn due timers into events; how many."""

    def free_dead(self) -> int:
        """Free what owners that are no more had in hand; how many of them there were."""

    def at_work(self, conversation: str) -> bool:
        """Whether something of this conversation waits to be worked on or to be delivered."""

    def in_hand(self, now: datetime) -> bool:
        """Whether anybody works on an event right now."""

    def parked(self) -> tuple[Parked, ...]:
        """Events that failed too often."""

    def requeue(self, event_id: str) -> bool:
        """Let a parked event be tried again; false if there is none of that id."""

    def backlog(self) -> Backlog:
        """What waits."""


class Arrivals(Protocol):
    """What a platform handed over that is no event yet."""

    def keep_arrivals(self, platform: str, account: str, arrivals: Sequence[Arrival], now: datetime) -> None:
        """Keep them in this order; one that is kept already stays where it is."""

    def arrivals(self, platform: str, account: str) -> tuple[Arrival, ...]:
        """All that wait, oldest first."""

    def drop_arrivals(self, platform: str, account: str, keys: Sequence[str]) -> None:
        """They are events now."""

    def fail_arrivals(self, platform: str, account: str, keys: Sequence[str], failure: str) -> None:
        """They could not be made events of; they stay, for whoever looks into it."""


class Outbox(Protocol):
    """Messages out."""

    def claim_outgoing(self, outlet: Outlet, now: datetime, limit: int) -> tuple[Outgoing, ...]:
        """Take up to `limit` rows to deliver, at most one a conversation, in the order of each."""

    def delivered(self, out: Outgoing, platform_ids: Sequence[str], now: datetime,
                  then: Outlet | None = None) -> Outgoing | None:
        """It is there. In the same transaction take the next row of the outlet `then`, if one is given and waits."""

    def later(self, out: Outgoing, not_before: datetime, *, failed: bool = False) -> None:
        """Try again then; `failed`: because the adapter itself failed."""

    def never(self, out: Outgoing, reason: str, now: datetime) -> None:
        """It cannot be delivered: the job gets an Undelivered event."""

    def tell(self, out: Rendered, now: datetime) -> bool:
        """Queue a message that no event asked for; false if it was queued before, or the person has no chat."""

    def our_id(self, conversation: str, platform_id: str) -> str | None:
        """Our id of a message that the platform knows by that id."""

    def platform_ids(self, message: str) -> tuple[str, ...]:
        """The platform's ids of a message."""

    def choices_of(self, message: str) -> Choices | None:
        """What can be chosen under a message of ours, open or closed; None if nothing can."""

    def open_questions(self, conversation: str) -> tuple[Open, ...]:
        """Questions of a conversation that were delivered and still wait for their answer."""


class People(Protocol):
    """The crew."""

    def crew(self) -> Mapping[str, Person]:
        """Everyone, by id. Cheap: read again only after a change."""

    def members(self) -> tuple[Member, ...]:
        """Everyone with their accounts."""

    def meet(self, platform: str, account: str, user: str, address: str, now: datetime) -> Met | None:
        """Who writes from this account, and their conversation at this address; None for a stranger."""

    def room(self, platform: str, account: str, address: str, now: datetime) -> str:
        """The conversation of a room of several people; it is nobody's."""

    def private(self, platform: str, account: str, user: str, room: str) -> Met | None:
        """Who writes in a room of several, and their own chat with us ('' if none); None for a stranger."""

    def readdress(self, platform: str, account: str, old: str, new: str) -> None:
        """The platform moved a chat: what was at the address `old` is at `new`."""

    def add_person(self, person: Person, now: datetime, audit: Audit) -> None:
        """Keep a new person."""

    def update_person(self, person: Person, now: datetime, audit: Audit) -> None:
        """Change a person."""

    def set_duty(self, duty: SetDuty, now: datetime, audit: Audit) -> None:
        """Change when somebody is on duty; what waited for that goes out."""

    def remove_person(self, person: str, now: datetime, audit: Audit) -> None:
        """Shut a person out."""

    def sign_off(self, person: str, what: Signoff, now: datetime, audit: Audit, *, revoke: bool = False) -> None:
        """Grant or take back a sign-off."""

    def note_act(self, audit: Audit, person: str | None, now: datetime) -> None:
        """Put something that changes nobody into the audit log."""

    def enrol(self, person: str, platform: str, account: str, user: str, now: datetime) -> None:
        """This account is that person."""

    def invite(self, invitation: Invite, now: datetime, valid: timedelta, audit: Audit) -> str:
        """Keep an invitation; returns its id."""

    def uninvite(self, name: str, now: datetime, audit: Audit) -> int:
        """Void the codes that wait for somebody of this name; how many there were."""

    def redeem(self, code_hash: str, person: Person, account: tuple[str, str, str], now: datetime) -> Person:
        """Use an invitation up: `person` with the invitation's role and, if it has one, name. Raises RefusedError.

        A code that links an account gives it to its person, who is returned.
        """

    def open_invites(self, now: datetime) -> tuple[Waiting, ...]:
        """Invitations that may still be redeemed."""


class Archive(Protocol):
    """Photos, releases, words."""

    folder: Path
    """The data folder."""

    def keep_photo(self, content: bytes, photo: PhotoSeen, now: datetime) -> None:
        """Keep a photo's file and what was measured; both are on disk when this returns."""

    def photo(self, sha256: str) -> PhotoSeen | None:
        """What was measured of a photo."""

    def photo_file(self, sha256: str) -> Path:
        """Where its file lies."""

    def forget_unused_photos(self, before: datetime) -> int:
        """Delete photos that no message uses; how many."""

    def note_release(self, release: str, families: Sequence[str], now: datetime) -> None:
        """Note that a knowledge release came into use."""

    def learned_in_force(self) -> int:
        """The number of what was learned and is in force; 0 for none. Cheap."""

    def learned(self, number: int) -> str | None:
        """The text of what was learned under that number."""

    def firm_notes(self) -> tuple[FirmNote, ...]:
        """The firm's notes that are not retired, newest first. Cheap: read again only after a change."""

    def search(self, words: str, limit: int = 50) -> tuple[Hit, ...]:
        """Messages that hold these words."""


class Store(Arrivals, Intake, Outbox, People, Archive, Protocol):
    """The whole store, in the name of one owner."""

    owner: str

    def close(self) -> None:
        """Finish what was handed in and let go of everything that was claimed."""
