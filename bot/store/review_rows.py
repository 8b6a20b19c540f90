"""The values that the owner's pages get from the store. Instants are UTC."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Literal

from bot.conversation.job import Job
from bot.conversation.markup import Paragraph

MarkKind = Literal["good", "wrong", "training"]


@dataclass(frozen=True, slots=True)
class Filter:
    """Which visits. None: no matter. `seen_by`: only those that this senior had in hand."""

    since: datetime | None = None
    until: datetime | None = None
    tech: str | None = None
    family: str | None = None
    fault: str | None = None
    """The proved fault, or the finding where none was proved."""
    outcome: str | None = None
    """An outcome, or 'open'."""
    handed_off: str | None = None
    """A reason, or 'any'."""
    came_back: bool = False
    wrong: bool = False
    mark: MarkKind | None = None
    jobs: tuple[str, ...] = ()
    """Just these."""
    seen_by: str | None = None


@dataclass(frozen=True, slots=True)
class Listed:
    """A visit as the log lists it."""

    job: str
    place: str
    """Where it stands in the order of the log."""
    label: str
    tech: str
    family: str | None
    phase: str
    outcome: str | None
    opened: datetime
    ended: datetime | None
    site: str | None
    finding: str | None
    finding_p: float | None
    proved: str | None
    verdict: str | None
    offered: str | None
    taken_by: str | None
    wrong: bool
    came_back: bool
    marks: tuple[str, ...]
    release: str


@dataclass(frozen=True, slots=True)
class Found:
    """A message that a search found. In `snippet` hits stand between \\ue000 and \\ue001."""

    place: int
    message: str
    job: str | None
    label: str | None
    family: str | None
    person: str
    direction: Literal["in", "out"]
    at: datetime
    snippet: str
    said: tuple[tuple[str, str], ...] = ()
    """Of a message of ours: the key and the words of each paragraph."""


@dataclass(frozen=True, slots=True)
class Line:
    """Something that happened in the talk of a visit.

    kind in: typed or sent by `person`. kind out: said to `person`. kind press: a choice that `person` pressed.
    """

    kind: Literal["in", "out", "press"]
    id: str
    event: str
    person: str
    at: datetime
    text: str
    paragraphs: tuple[Paragraph, ...] = ()
    choices: tuple[Paragraph, ...] = ()
    question: str | None = None
    closed: str | None = None
    answer: Paragraph | None = None
    photos: tuple[str, ...] = ()
    first: str | None = None
    """What stood there before it was edited or taken back."""
    taken_back: bool = False
    what: str = ""
    """For what cannot be read: voice, video, ..."""
    failed: str | None = None
    """Why it was never delivered."""


@dataclass(frozen=True, slots=True)
class Step:
    """A trace: what a step understood, believed or weighed."""

    event: str
    what: str
    data: Mapping[str, Any]
    at: datetime


@dataclass(frozen=True, slots=True)
class Remark:
    """A label kept of a visit."""

    what: str
    person: str
    data: Mapping[str, Any]
    at: datetime
    event: str


@dataclass(frozen=True, slots=True)
class Mark:
    """A mark of the owner's. `message` is empty where the whole visit is meant."""

    job: str
    message: str
    mark: MarkKind
    person: str | None


@dataclass(frozen=True, slots=True)
class Note:
    """A note of the owner's."""

    id: str
    job: str
    message: str | None
    note: str
    person: str | None
    at: datetime


@dataclass(frozen=True, slots=True)
class Wording:
    """A phrase that was added to the firm's own pack. `meaning` as in `bot.review.wordings`."""

    id: str
    family: str
    meaning: str
    language: str
    phrase: str
    person: str | None
    at: datetime
    undone: datetime | None = None


@dataclass(frozen=True, slots=True)
class Unheard:
    """A typed message that was not understood, with the visit that it belongs to."""

    message: str
    job: str
    family: str | None
    person: str
    at: datetime
    text: str


@dataclass(frozen=True, slots=True)
class Asked:
    """A typed message of a visit, and what it was taken for at the time."""

    message: str
    job: str
    family: str | None
    at: datetime
    text: str


@dataclass(frozen=True, slots=True)
class VisitRow:
    """What figures are made of."""

    job: str
    tech: str
    family: str | None
    opened: datetime
    ended: datetime | None
    outcome: str | None
    finding: str | None
    finding_p: float | None
    found: datetime | None
    proved: str | None
    repair: str | None
    verdict: str | None
    failed: int
    ordered: bool
    unsafe: bool
    hazard: str | None
    offered: str | None
    taken_by: str | None
    misses: int
    wrong: bool
    came_back: bool


@dataclass(frozen=True, slots=True)
class Waiting:
    """A visit that somebody has to look after."""

    job: str
    label: str
    tech: str
    family: str | None
    phase: str
    outcome: str | None
    opened: datetime
    touched: datetime
    ended: datetime | None
    handed_to: str | None
    offered_at: datetime | None
    hazard: str | None
    unsafe: bool
    ordered_at: datetime | None
    """When a part was last ordered, if it has not been fitted since."""
    back_from: str | None
    """An earlier visit at that address, ended at most 30 days before."""


@dataclass(frozen=True, slots=True)
class EndedVisit:
    """An ended visit with what was proved or named in it."""

    job: str
    ended: datetime
    outcome: str | None
    placed: bool
    """Whether its address is known."""
    came_back: bool
    same: frozenset[bool | None]
    """What was said at later visits there: the same trouble, another, don't know (None)."""
    marked_wrong: bool
    state: Job
    records: tuple[Remark, ...]
    """Its proofs and verdicts, in order."""


@dataclass(frozen=True, slots=True)
class LearnedRow:
    """What was learned, as it was applied."""

    number: int
    data: str
    person: str | None
    at: datetime
    undone: datetime | None


@dataclass(frozen=True, slots=True)
class Customer:
    """An address or work order with how much is kept of it."""

    site: str
    name: str
    jobs: tuple[str, ...]
    messages: int
    photos: int
    last: datetime | None


@dataclass(frozen=True, slots=True)
class Erased:
    """What was removed. `texts`: the words that were typed, for whoever keeps files of their own."""

    jobs: int = 0
    messages: int = 0
    photos: tuple[str, ...] = ()
    scrubbed: int = 0
    """Other rows that named the customer."""
    texts: tuple[str, ...] = ()
