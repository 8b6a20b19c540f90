"""The state of one visit: what is known, where the talk stands, how the machine stands. Immutable.

What a tech told is a log of facts, each with the message that told it. *Back* withdraws the last turn's facts, an
edit replaces them, and belief is worked out anew from what is left: nothing is patched in place.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import datetime
from enum import StrEnum
from typing import Final, Literal

from pydantic import TypeAdapter


class Phase(StrEnum):
    """Where a visit stands. The moves between them are the table in `phases.py`."""

    INTAKE = "intake"
    CHECKS = "checks"
    FINDING = "finding"
    CONSENT = "consent"
    WAITING = "waiting"
    REPAIR = "repair"
    PROOF = "proof"
    CLOSING = "closing"
    HAZARD = "hazard"
    HANDED_OFF = "handed_off"
    ENDED = "ended"


class Outcome(StrEnum):
    """How a visit ended."""

    FIXED = "fixed"
    PART_ON_ORDER = "part_on_order"
    DECLINED = "declined"
    NO_FAULT_FOUND = "no_fault_found"
    UNSAFE_TAGGED = "unsafe_tagged"
    OTHER_TRADE = "other_trade"
    NO_ACCESS = "no_access"
    NOT_SAFE = "not_safe"
    NOT_FIXED = "not_fixed"
    BEYOND_REPAIR = "beyond_repair"
    HANDED_OFF = "handed_off"
    CONTINUED = "continued"
    """It was only the way to a visit that was open already."""


FactKind = Literal["family", "complaint", "denied", "variant", "result", "repaired", "done_before", "cannot",
                   "declined", "given", "site", "plate", "payer", "photo", "age", "misfit_accepted", "appliance",
                   "verdict", "danger"]


BY_LAYMAN: Final = "layman"


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing told. `turn` is the message (or event) that told it, `withdrawn` the turn that took it back.

    kind result: subject is the check, value the result id, number the reading in SI units (low..high for a range).
    kind appliance: subject is one that we only hand off. kind verdict: subject is the fault, value who named it.
    kind done_before: subject is a repair that somebody made before this visit, and the trouble is there all the same;
    value BY_LAYMAN where it was nobody of the trade, so that it tells nothing of the part.
    kind danger: subject is the hazard, value how it stands ('', the answer to it, or cleared by those in charge).
    kind variant: subject is the axis. kind given: subject watts | volts | ambient_c | leads_ohm, number its value.
    """

    turn: str
    kind: FactKind
    subject: str
    value: str = ""
    number: float | None = None
    low: float | None = None
    high: float | None = None
    withdrawn: str | None = None


QuestionKind = Literal["family", "menu", "complaint", "check", "which_check", "cover", "doubt_reading", "finding",
                       "consent", "payer", "repair", "proof", "closing", "site", "leave", "hazard", "handed_off",
                       "outside", "cleared", "kept_off", "waiting", "thinking", "stuck", "cause", "plate", "age",
                       "surprise", "variant", "callback", "held", "due", "resume", "slip"]


@dataclass(frozen=True, slots=True)
class Question:
    """A question that waits for its answer. `message` is our message that asked it, `values` what choices stand for."""

    id: str
    kind: QuestionKind
    message: str
    values: tuple[str, ...] = ()
    checks: tuple[str, ...] = ()
    asked: int = 1
    data: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Machine:
    """How the machine in front of the tech stands, as far as they were told to bring it there."""

    power: Literal["unknown", "on", "off"] = "unknown"
    covers: tuple[str, ...] = ()
    maybe_open: bool = False
    """A step behind these covers was passed over: nobody said whether they came off."""
    card_shown: bool = False
    since: datetime | None = None
    """When power was last said to be in this state; after a pause it is asked again."""
    stays_dead: bool = False
    """After fire, shock or flood: nothing is powered before the repair is done."""
    proven: bool = True
    """False from when the tech was told to make it dead until something behind it was answered."""
    said: tuple[str, ...] = ()
    """Cautions given already, by their text, so that they are not said twice in a row."""


@dataclass(frozen=True, slots=True)
class Position:
    """The part of the state that *back* restores."""

    phase: Phase = Phase.INTAKE
    question: Question | None = None
    machine: Machine = Machine()
    fault: str | None = None
    repair: str | None = None
    agreed: bool = False
    """Whether the customer said yes to the price of this repair."""
    roots: tuple[str, ...] = ()
    """Root-cause questions already put for this finding."""
    misses: int = 0
    """Messages in a row that were not understood."""
    unplaced: tuple[str, ...] = ()
    """Messages from before the family was known; they are heard again once it is."""
    later: tuple[str, ...] = ()
    """Complaints told while a repair is made; they are looked at once it is proved."""
    interrupted: Question | None = None
    """The question that a side question ('how do we leave it?') put off; it is asked again after it."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A place to go back to: the position before a turn."""

    turn: str
    position: Position


@dataclass(frozen=True, slots=True)
class Asked:
    """A question that was asked earlier, so that late answers and edits land where they belong."""

    question: Question
    turn: str | None = None
    """The message that answered it."""


class Handing(StrEnum):
    """How a hand-off stands."""

    ASKED = "asked"
    TAKEN = "taken"
    GIVEN_BACK = "given_back"
    WITHDRAWN = "withdrawn"
    ENDED = "ended"


@dataclass(frozen=True, slots=True)
class Offered:
    """One person the job was offered to: our message to them and its question."""

    person: str
    message: str
    question: str
    refused: bool = False


@dataclass(frozen=True, slots=True)
class Noting:
    """The question to a senior for a note on the fault that they named: our message, and theirs that gave it."""

    person: str
    fault: str
    message: str
    kept: str = ""


@dataclass(frozen=True, slots=True)
class HandOff:
    """The hand-off that runs, or the last one. `reason` as in the offer; times are UTC."""

    offer: str
    reason: str
    state: Handing
    asked: datetime
    offered: tuple[Offered, ...] = ()
    taker: str | None = None
    words: str = ""
    """The message that caused it."""
    urgent: bool = False
    reminded: int = 0
    yours: str = ""
    """Our message to the taker, whose choices are closed at the end."""
    yours_values: tuple[str, ...] = ("carry_on", "call")
    """What its choices stand for."""
    calling: bool = False
    """The senior rang; the next line they write counts as evidence."""
    heard: datetime | None = None
    """When the senior who has it last said something."""
    said_off: bool = False
    """The junior knows that this senior is off duty and reads it later."""
    spoken: bool = False
    """The senior got something from the junior since the choices were put: a number may answer that."""
    noting: Noting | None = None
    passed_by: str | None = None
    """Who had it before, and passed it on."""
    last_words: str = ""
    """The newest message of a senior's that reached the junior after the case was let go, until that is answered."""


@dataclass(frozen=True, slots=True)
class Spoken:
    """A message of the tech's, shortened, for a senior to read; `followed`: whether the talk made something of it."""

    message: str
    text: str
    followed: bool = True


@dataclass(frozen=True, slots=True)
class Job:
    """One visit (work order). `version` counts the commits; the lane of the job serialises them."""

    id: str
    tech: str
    conversation: str
    release: str
    opened: datetime
    family: str | None = None
    position: Position = Position()
    facts: tuple[Fact, ...] = ()
    asked: tuple[Asked, ...] = ()
    marks: tuple[Mark, ...] = ()
    outcome: Outcome | None = None
    handed_to: str | None = None
    """The senior who holds the case now."""
    handoff: HandOff | None = None
    spoken: tuple[Spoken, ...] = ()
    """The first sentence that the tech wrote, and the last ones."""
    touched: datetime | None = None
    version: int = 0

    @property
    def phase(self) -> Phase:
        """Where the visit stands."""
        return self.position.phase

    @property
    def question(self) -> Question | None:
        """The open question, if one waits."""
        return self.position.question

    def standing(self, *kinds: FactKind) -> tuple[Fact, ...]:
        """The facts that were not taken back, oldest first; of `kinds` only, if any are named."""
        return tuple(f for f in self.facts if f.withdrawn is None and (not kinds or f.kind in kinds))

    def result_of(self, check: str) -> Fact | None:
        """The result of a check that stands, the newest if there are several."""
        return next((f for f in reversed(self.standing("result")) if f.subject == check), None)

    def at(self, **changes: object) -> Job:
        """The job with some fields of its position changed."""
        return replace(self, position=replace(self.position, **changes))  # type: ignore[arg-type]


_JOB: TypeAdapter[Job] = TypeAdapter(Job)


def dump_job(job: Job) -> str:
    """The job as JSON, for the store."""
    return _JOB.dump_json(job).decode()


def load_job(text: str) -> Job:
    """The job that `dump_job` wrote, also by an earlier released version of this program."""
    return _JOB.validate_json(text)
