"""The firm, its people, their jobs and its notes, as a step knows them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Literal

from bot.diagnosis.thresholds import HANDOFF_MINUTES

Role = Literal["junior", "senior", "owner"]
Signoff = Literal["live", "gas", "refrigerant", "lifting"]


@dataclass(frozen=True, slots=True)
class Person:
    """Someone of the crew."""

    id: str
    name: str
    role: Role = "junior"
    language: str = "en"
    timezone: str = "UTC"
    signoffs: frozenset[Signoff] = frozenset()
    on_duty: bool = True
    """The standing switch; whether somebody is on duty at an instant says `bot.conversation.crew.duty`."""
    phone: str = ""
    """For a senior who would rather ring; empty where none is on file."""
    hours: str = ""
    """Working hours in the person's time zone, such as 'mon-fri 07:00-17:00'; empty for always."""
    off_until: datetime | None = None
    on_until: datetime | None = None
    """Duty said for once: off until, or on in spite of the hours until (UTC)."""
    reached_on: tuple[str, ...] = ()
    """The platforms on which they have an account."""


@dataclass(frozen=True, slots=True)
class Firm:
    """The firm's settings. `words` replaces our words by local ones (outlet -> socket)."""

    name: str = "the firm"
    timezone: str = "UTC"
    currency: str = "USD"
    locale: str = "en"
    mains: str = "120/240 V 60 Hz split"
    temperature: Literal["F", "C"] = "F"
    emergency_number: str = "the emergency number"
    gas_number: str = "the gas company's emergency number"
    words: Mapping[str, str] = field(default_factory=dict)
    handoff_minutes: float = HANDOFF_MINUTES
    follow_up_days: int = 0
    """Days after a proven repair at which the tech is asked whether it held; 0: never."""


@dataclass(frozen=True, slots=True)
class JobBrief:
    """An open job of a person, as routing and greetings need it."""

    id: str
    family: str | None
    label: str
    phase: str
    question: str | None = None
    checks: tuple[str, ...] = ()
    """What is asked just now, if it is a check."""
    taken: bool = False
    """It is somebody else's, and this person has it in hand as a senior."""


@dataclass(frozen=True, slots=True)
class PastVisit:
    """An ended visit at the same site, or an open one that somebody may take up."""

    job: str
    ended: datetime
    family: str | None
    label: str
    fault: str | None
    repair: str | None
    tech: str
    outcome: str | None
    open: bool = False
    """It is not ended: it waits for a part, or its tech has left the crew. `ended` is when it was last touched."""


@dataclass(frozen=True, slots=True)
class FirmNote:
    """What a senior wrote for the next tech with this fault. `number` is what people call it by."""

    number: int
    family: str
    fault: str
    text: str
    person: str
    name: str
