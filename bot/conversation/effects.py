"""What should happen because of a step. The core returns these; the service carries them out in one commit."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Final, Literal

from pydantic import TypeAdapter

from bot.conversation.firm import Role, Signoff
from bot.conversation.picture import Picture

ROOM: Final = "room"
"""The reader that stands for the seniors' rooms: nobody of the crew."""


@dataclass(frozen=True, slots=True)
class Text:
    """One paragraph: a message key of the wording and its parameters. A parameter may be a Text itself."""

    key: str
    params: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Choice:
    """One choice of a question: what it stands for, and its label (two or three words)."""

    value: str
    label: Text


@dataclass(frozen=True, slots=True, kw_only=True)
class Say:
    """A message to a person. `id` is our message id. With `choices` it is a question, closed by its answer.

    It goes to the person's preferred conversation unless `conversation` names one.
    """

    kind: Literal["say"] = "say"
    id: str
    to: str
    texts: tuple[Text, ...]
    conversation: str | None = None
    job: str | None = None
    question: str | None = None
    choices: tuple[Choice, ...] = ()
    reply_to: str | None = None
    """Our id of a message that it answers, in this chat or in another one that it was passed on from or to."""
    photos: tuple[str, ...] = ()
    """Content hashes of photos to go with it."""
    picture: Picture | None = None
    """A drawing to go with it, before the photos."""
    urgent: bool = False
    """Delivered even to people off duty or in the night."""
    forget: bool = False
    """Its words are overwritten once it was delivered: they hold a code."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Alter:
    """Change an earlier message of ours: close its choices, mark the answer or the withdrawal."""

    kind: Literal["alter"] = "alter"
    message: str
    closed: Literal["answered", "withdrawn", "passed", "lapsed"]
    answer: Text | None = None
    reader: str | None = None
    """Who reads it: the answer is worded in their language. None: whoever's event it was."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Post:
    """A message to the rooms that the firm set up for its seniors; nothing where there is none.

    Several people read there: no name, address or words of a customer. An `Alter` of `id` changes it in every room.
    """

    kind: Literal["post"] = "post"
    id: str
    job: str
    texts: tuple[Text, ...]
    question: str | None = None
    choices: tuple[Choice, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """Offer a job to the seniors on duty (or to `to` alone)."""

    kind: Literal["offer"] = "offer"
    id: str
    job: str
    reason: str
    to: tuple[str, ...] = ()
    urgent: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SetTimer:
    """Wake the job at `at` (UTC) with a `Due` event. Setting the same id again moves it."""

    kind: Literal["set_timer"] = "set_timer"
    id: str
    at: datetime
    name: str
    job: str
    person: str
    conversation: str
    data: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class CancelTimer:
    """Forget a timer; nothing happens if it is gone already."""

    kind: Literal["cancel_timer"] = "cancel_timer"
    id: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """A label kept for good: a finding, a proof, an outcome, a senior's verdict, a follow-up."""

    kind: Literal["record"] = "record"
    id: str
    job: str
    what: Literal["finding", "consent", "repair", "proof", "outcome", "verdict", "callback", "hazard", "unsafe",
                  "handoff", "misunderstood", "not_followed"]
    data: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Audit:
    """A privileged act, for the audit log."""

    kind: Literal["audit"] = "audit"
    what: str
    data: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Invite:
    """Keep an invitation by its code's hash. With `person` the code gives that person one more account."""

    kind: Literal["invite"] = "invite"
    code_hash: str
    role: Role
    name: str
    person: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Uninvite:
    """Void the codes that wait for somebody of this name."""

    kind: Literal["uninvite"] = "uninvite"
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Remove:
    """Shut a person out."""

    kind: Literal["remove"] = "remove"
    person: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SignOff:
    """Grant or take back a sign-off."""

    kind: Literal["sign_off"] = "sign_off"
    person: str
    what: Signoff
    revoke: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SetDuty:
    """When a person is on duty from now on; fields as in `Person`."""

    kind: Literal["set_duty"] = "set_duty"
    person: str
    on_duty: bool
    hours: str
    off_until: datetime | None
    on_until: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SetReach:
    """A person's time zone and phone."""

    kind: Literal["set_reach"] = "set_reach"
    person: str
    timezone: str
    phone: str


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepNote:
    """A note of the firm for a fault; the same id again changes its words, without words it is forgotten."""

    kind: Literal["keep_note"] = "keep_note"
    id: str
    job: str
    family: str
    fault: str
    text: str
    person: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RetireNote:
    """A note that is no longer shown."""

    kind: Literal["retire_note"] = "retire_note"
    number: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Trace:
    """What a step understood, believed and weighed; the owner's pages read it as it was."""

    kind: Literal["trace"] = "trace"
    what: Literal["understood", "belief", "weighed", "routed"]
    data: dict[str, Any] = field(default_factory=dict)


CrewChange = Invite | Uninvite | Remove | SignOff | SetDuty | SetReach
Effect = (Say | Alter | Post | Offer | SetTimer | CancelTimer | Record | Audit | CrewChange | KeepNote | RetireNote
          | Trace)

_EFFECTS: TypeAdapter[tuple[Effect, ...]] = TypeAdapter(tuple[Effect, ...])


def dump_effects(effects: tuple[Effect, ...]) -> str:
    """The effects as JSON, for the store and for tests."""
    return _EFFECTS.dump_json(effects).decode()


def load_effects(text: str) -> tuple[Effect, ...]:
    """The effects that `dump_effects` wrote."""
    return _EFFECTS.validate_json(text)
