"""What a step may look at besides its own state: the time, the knowledge release, people, the firm."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from bot.conversation.firm import Firm, FirmNote, JobBrief, PastVisit, Person
from bot.conversation.release import Release
from bot.diagnosis.advice import Adviser, advise


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
    """On arrival: open visits at the job's site that may be taken up, then those of ninety days, newest first."""
    notes: tuple[FirmNote, ...] = ()
    """The firm's notes that are not retired, newest first."""
    links: tuple[str, ...] = ()
    """Where somebody new finds us, a link for each platform; `{code}` stands for their code."""
    chance: bytes = b""
    """Chance for codes, fresh for each event; empty where none is to be made."""
    adviser: Adviser = advise
    """What says which step comes next."""
