"""The values that go in and out of the store. Instants are UTC."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Literal

from bot.conversation.desk import Desk
from bot.conversation.effects import Effect, Say
from bot.conversation.events import Event
from bot.conversation.firm import JobBrief, PastVisit, Person, Role, Signoff
from bot.conversation.job import Job
from bot.conversation.markup import Paragraph


@dataclass(frozen=True, slots=True)
class Arrival:
    """What a platform handed over, as it sent it (`payload`), under its own id (`key`).

    Those of a `lane` (a chat) become events in their order; those of a `batch` (an album) become one.
    """

    key: str
    lane: str
    payload: str
    batch: str | None = None
    failure: str | None = None
    """Why it could not be made an event of, if that was tried in vain."""


@dataclass(frozen=True, slots=True)
class Claimed:
    """An event that this process works on until its lease lapses. `attempts` failed before."""

    event: Event
    seq: int
    attempts: int = 0


@dataclass(frozen=True, slots=True)
class Accepted:
    """`new` is false for an event that was seen before. `claimed` is set if this process may work on it at once."""

    new: bool
    claimed: Claimed | None = None


@dataclass(frozen=True, slots=True)
class Target:
    """What an event points at: a message of either side, its job, the question that it asked."""

    message: str | None = None
    job: str | None = None
    question: str | None = None
    offer: tuple[str, str, int] | None = None
    """For plain words: the newest open question in this chat about somebody else's job (an offer to a senior), as
    job, question and how many choices it has."""


@dataclass(frozen=True, slots=True)
class View:
    """What routing looks at. `open_jobs` are the person's, oldest first."""

    desk: Desk
    target: Target
    open_jobs: tuple[JobBrief, ...]
    past: tuple[PastVisit, ...] = ()
    """For a timer of a job: ended visits at its site."""


@dataclass(frozen=True, slots=True)
class Rendered:
    """A message to a person, ready for an adapter: its paragraphs and the labels of its choices."""

    say: Say
    paragraphs: tuple[Paragraph, ...]
    labels: tuple[Paragraph, ...] = ()
    held_until: datetime | None = None
    """It waits for its reader's duty; what comes after it in the conversation may pass it."""


@dataclass(frozen=True, slots=True)
class Commit:
    """Everything that one event changes, written in one transaction or not at all.

    `job.version` and each `desk.version` are the versions that were read (0: not stored yet); the store checks
    them, raises ConflictError if one moved on, and writes the next ones.
    """

    claimed: Claimed
    now: datetime
    desks: tuple[Desk, ...] = ()
    job: Job | None = None
    label: str = ""
    """How the job is named to its tech."""
    site: str | None = None
    """The address or work order, as typed."""
    messages_in: tuple[str, ...] = ()
    """Messages of the person's that this concerned: they belong to the job from now on."""
    effects: tuple[Effect, ...] = ()
    messages_out: tuple[Rendered, ...] = ()
    posts: Mapping[str, tuple[Rendered, ...]] = field(default_factory=dict)
    """Id of a Post -> the message for each room."""
    answers: Mapping[str, Paragraph] = field(default_factory=dict)
    """Message id -> the rendered answer of an Alter."""
    claim_next: bool = False
    """Claim the conversation's next event in the same transaction."""


@dataclass(frozen=True, slots=True)
class Outlet:
    """Whose outbox an adapter empties: a platform's account, or one conversation of it (a terminal's seat)."""

    platform: str
    account: str
    conversation: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Outgoing:
    """One row of the outbox, claimed for delivery.

    kind send: a new message. kind alter: `sent_as` is to be changed: its choices are closed as `closed` says, with
    `answer` where one was given. `key` is the same on every attempt, for platforms that drop repeats by a key.
    """

    row: int
    key: str
    kind: Literal["send", "alter"]
    message: str
    conversation: str
    platform: str
    account: str
    address: str
    person: str
    paragraphs: tuple[Paragraph, ...]
    question: str | None = None
    choices: tuple[Paragraph, ...] = ()
    photos: tuple[str, ...] = ()
    reply_to: tuple[str, ...] = ()
    sent_as: tuple[str, ...] = ()
    closed: str | None = None
    answer: Paragraph | None = None
    failures: int = 0
    """How often the adapter itself failed on this row before."""
    urgent: bool = False


@dataclass(frozen=True, slots=True)
class Parked:
    """An event that failed too often and waits for the owner."""

    id: str
    person: str
    conversation: str
    kind: str
    event: str
    """The event as stored (JSON)."""
    failure: str
    attempts: int
    since: datetime


@dataclass(frozen=True, slots=True)
class Met:
    """Who wrote, and in which conversation."""

    person: str
    conversation: str


@dataclass(frozen=True, slots=True)
class Member:
    """A person of the crew with what the owner's list shows."""

    person: Person
    created: datetime
    identities: tuple[tuple[str, str, str], ...] = ()
    """(platform, account, user)."""


@dataclass(frozen=True, slots=True)
class Invite:
    """An invitation that waits to be redeemed. The code itself is known to nobody but whom it was given to."""

    id: str
    role: Role
    name: str
    expires: datetime
    links: str | None = None
    """The person of the crew whom the code gives another account; None for somebody new."""


@dataclass(frozen=True, slots=True)
class Open:
    """A question that still waits in a conversation."""

    message: str
    job: str | None
    question: str
    paragraphs: tuple[Paragraph, ...]
    choices: tuple[Paragraph, ...]
    asked: datetime


@dataclass(frozen=True, slots=True)
class Choices:
    """A question of ours and what can be chosen: what each choice stands for, and its label."""

    question: str
    choices: tuple[tuple[str, Paragraph], ...]


@dataclass(frozen=True, slots=True)
class Hit:
    """A message that a search found. `snippet` marks nothing; it is plain text."""

    message: str
    conversation: str
    job: str | None
    at: datetime
    snippet: str


@dataclass(frozen=True, slots=True)
class Backlog:
    """What waits, for the health page: counts, and since when the oldest of each waits."""

    events: int
    oldest_event: datetime | None
    parked: int
    outgoing: int
    oldest_outgoing: datetime | None
    timers: int
    next_timer: datetime | None


__all__ = [
    "Accepted", "Arrival", "Backlog", "Choices", "Claimed", "Commit", "Hit", "Invite", "Member", "Met", "Open",
    "Outgoing",
    "Outlet", "Parked", "Person", "Rendered", "Role", "Signoff", "Target", "View",
]
