"""What a step may look at besides its own state: the time, the knowledge release, people, the firm."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Literal

from bot.conversation.release import Release

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
    phone: str = ""
    """For a senior who would rather ring; empty where none is on file."""


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
    handoff_minutes: float = 90.0
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


@dataclass(frozen=True, slots=True)
class PastVisit:
    """An ended visit at the same site."""

    job: str
    ended: datetime
    family: str | None
    label: str
    fault: str | None
    repair: str | None
    tech: str
    outcome: str | None


@dataclass(frozen=True, slots=True)
class Context:
    """Everything outside the state that a step depends on."""

    now: datetime
    release: Release
    firm: Firm
    people: Mapping[str, Person]
    open_jobs: tuple[JobBrief, ...] = ()
    """The other open jobs of the event's person, oldest first."""
    past: tuple[PastVisit, ...] = ()
    """On arrival: the visits of the last ninety days at the job's site, newest first."""
